"""What is not in order with what people did: second looks not taken, queued acts refused."""

from __future__ import annotations

from collections.abc import Iterator

from partsvc.domain.checks_position import Explained
from partsvc.domain.desk import Desk, RefusedAct
from partsvc.domain.findings import Finding
from partsvc.domain.second_looks import wanted


def second_looks(desk: Desk, explained: Explained) -> Iterator[Finding]:
    """Critical positions that nobody else has looked at since they were secured."""
    for look in wanted(desk):
        yield Finding(
            kind="second-look",
            place=look.position.id,
            words=(
                f"Step {look.step.number}, {look.position.where}: critical, and nobody else has "
                "looked at it since it was secured. Another person looks, with their own badge."
            ),
            step=look.step.id,
            step_number=look.step.number,
            position=look.position.id,
            lot=look.secured_by,
        )


def refused_acts(desk: Desk, explained: Explained) -> Iterator[Finding]:
    """Acts done while the device could not send, then refused: in no book, and not forgotten."""
    for act in desk.refused:
        home = desk.plan.home_step.get(act.position)
        step = home or desk.plan.step_of.get(act.step)
        yield Finding(
            kind="refused-act",
            place=act.position or act.step or act.bag or "job",
            words=_refused_words(desk, act),
            step=step.id if step else "",
            step_number=step.number if step else 0,
            position=act.position if home else "",
            bag=act.bag,
            lot=act.key,
        )


def _refused_words(desk: Desk, act: RefusedAct) -> str:
    position = desk.plan.positions.get(act.position)
    at = f" at {position.where}" if position else ""
    return (
        f"“{act.kind}”{at} came from a device's queue and was refused: {act.detail} If it is done, "
        "send it again as done already, or put it right; or dismiss it and say why."
    )
