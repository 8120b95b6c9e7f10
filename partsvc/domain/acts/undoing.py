"""What undoing an act does beyond its pieces: to holds, and to what people hold."""

from __future__ import annotations

from partsvc.domain.desk import Draft, PastAct
from partsvc.domain.effects import StepDone
from partsvc.domain.effects_holds import HoldUndone
from partsvc.domain.exposed import nobody_exposed
from partsvc.domain.places import PlaceKind
from partsvc.domain.under_holds import done_under, named, passed_in


def still_theirs(draft: Draft, past: PastAct) -> None:
    """Object to undoing what would take pieces from another, or bring voltage where others work.

    A slip is put right by whoever holds the pieces now, on their own sign-in.
    """
    doing = draft.doing
    places = {spot.place for entry in past.entries for spot in (entry.source, entry.target)}
    holders = {place.at for place in places if place.kind is PlaceKind.WITH} - {doing.recorded_by}
    if holders:
        draft.objection(
            "with-another",
            "This act took pieces out of another person's lock box, or put some in: they undo it, "
            "on their own sign-in.",
            people=tuple(sorted(holders)),
        )
    for step in {
        draft.desk.plan.home_step[entry.source.place.at].id: None
        for entry in past.entries
        if entry.source.place.at in draft.desk.plan.home_step
    }:
        nobody_exposed(draft, draft.desk.plan.step_of[step])


def open_again(draft: Draft, past: PastAct) -> None:
    """A hold or a tick undone closes its gate again; what was recorded under it is named."""
    for hold in passed_in(draft.desk, past.key):
        draft.effect(HoldUndone(hold=hold.id, since=past.seq))
        under = done_under(draft.desk, hold, since=past.seq)
        if under:
            draft.warn(
                f"Open again: {hold.title}. Done under it, and to be looked at again: "
                f"{named(under)}."
            )
    if any(item.act == past.key for item, _ in draft.desk.state.each(StepDone)):
        moved = {posted.seq for posted in draft.desk.posted if posted.seq > past.seq}
        if moved:
            acts = ", ".join(map(str, sorted(moved)))
            draft.warn(f"It is open again. Recorded since, and to be looked at again: acts {acts}.")


def undone_otherwise(past: PastAct) -> str:
    """What to do instead where an act of custody is not undone; empty where it can be."""
    if past.kind == "hand-over" and past.entries:
        return "A hand-over is not undone: hand it back, and the other takes it over."
    return {
        "lock": "A lock is not undone: whoever hung it takes it off (`unlock`).",
        "unlock": "A lock that came off is not undone: hang it again (`lock`).",
        "lapse": "A hold that was said to stand no longer is passed again.",
    }.get(past.kind, "")
