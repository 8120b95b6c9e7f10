"""A defect put right on the vehicle: what was done, and the remark that it settles."""

from __future__ import annotations

from partsvc.domain.desk import Draft
from partsvc.domain.effects import Remarked
from partsvc.domain.effects_variants import Repaired
from partsvc.domain.job_state import Happened
from partsvc.domain.plan import Position
from partsvc.domain.this_vehicle import settled
from partsvc.errors import Invalid, NotFound

MAY_JUDGE = frozenset({"quality", "lead"})


def repair(draft: Draft, position: Position, words: str, settles: str | None) -> None:
    """The position carries the repair from now on; the remark named is closed by it.

    Whether a repair is good enough is for quality or the lead to say; anybody else is objected to.
    """
    if settles is not None:
        _is_of_here(draft, position, _remark(draft, settles))
    elif open_remarks(draft, position):
        draft.warn(
            f"A remark on {position.where} is still open. Name it in `settles` if this repair "
            "closes it."
        )
    if not draft.doing.roles & MAY_JUDGE:
        draft.objection(
            "repair-not-judged",
            f"{position.where}: “{words}” changes the vehicle. Have quality or the lead look at "
            "it and record it.",
        )
    draft.effect(Repaired(position=position.id, words=words, settles=settles or ""))


def _remark(draft: Draft, key: str) -> Happened:
    found = next((one for one in draft.desk.state.remarks if one.act == key), None)
    if found is None:
        raise NotFound("There is no such remark on this job. Look at the findings.", act=key)
    return found


def _is_of_here(draft: Draft, position: Position, happened: Happened) -> None:
    said = happened.effect
    step = draft.desk.plan.home_step[position.id].id
    if isinstance(said, Remarked) and (
        said.position not in ("", position.id) or said.step not in ("", step)
    ):
        raise Invalid(
            f"The remark “{said.words}” is of another place. Say at which `position` it was "
            "repaired.",
            field="settles",
        )


def open_remarks(draft: Draft, position: Position) -> tuple[Happened, ...]:
    """The remarks on a position that no repair has settled."""
    closed = settled(draft.desk.state)
    return tuple(
        one
        for one in draft.desk.state.remarks
        if isinstance(one.effect, Remarked)
        and one.effect.position == position.id
        and one.act not in closed
    )
