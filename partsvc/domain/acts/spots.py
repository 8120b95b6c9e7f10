"""Tapping on a photo: this bolt is here, that clip is there. It asks for nothing and moves nothing.

The service alone knows a photo's hash. A device that just took the photo sends it along with the
act, and need not name it; one that taps on an older photo names that one.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.acts.fields import StepId, Where
from partsvc.domain.acts.kinds import ActKind, Needs
from partsvc.domain.desk import Draft
from partsvc.domain.effects import PositionAdded
from partsvc.domain.effects_pictures import SpotsTapped
from partsvc.domain.photo_spots import MOST_SPOTS, PhotoSpot, written
from partsvc.domain.records import AtMost, Between, Key, PhotoHash, Says
from partsvc.errors import Invalid, NotFound


@dataclass(frozen=True, slots=True, kw_only=True)
class Tapped:
    """One spot: where on the photo, and which position is there."""

    x_permille: Annotated[
        int, Between(0, 1000), Says("from the left, in thousandths of the photo's width")
    ]
    y_permille: Annotated[
        int, Between(0, 1000), Says("from the top, in thousandths of the photo's height")
    ]
    position: Where | None = None
    added_by: Annotated[
        Key | None, Says("instead of a position: the key of the act that added it")
    ] = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Spots:
    """What is where on a photo of a step, in the order of tightening; the whole list each time."""

    step: StepId
    photo: Annotated[
        PhotoHash | None, Says("the photo; the one in `photos`, if just one is sent along")
    ] = None
    spots: Annotated[
        tuple[Tapped, ...],
        AtMost(MOST_SPOTS),
        Says("in the order of tightening, the first first; none takes back what was told"),
    ] = ()


def spots(draft: Draft, act: Spots) -> None:
    """Every position must be of this job; of which step does not matter, if it is on the photo."""
    photo = _photo(draft, act)
    step = draft.step_of(act.step)
    named = [_spot(draft, one, n) for n, one in enumerate(act.spots, start=1)]
    draft.effect(SpotsTapped(photo=photo, step=step.id, spots=written(named)))


def _photo(draft: Draft, act: Spots) -> str:
    sent = draft.doing.photos
    if act.photo is None:
        if len(sent) != 1:
            raise Invalid(
                "Say which `photo` the spots are on, by its hash, or send just one in `photos`.",
                field="photo",
            )
        return sent[0]
    if act.photo not in sent and act.photo not in draft.desk.photos:
        raise NotFound(
            "No act of this job carries that photo. Send it along in `photos`, or look at the "
            "photos of the job.",
            photo=act.photo,
        )
    return act.photo


def _spot(draft: Draft, tapped: Tapped, number: int) -> PhotoSpot:
    if (tapped.position is None) == (tapped.added_by is None):
        raise Invalid(
            f"Say for spot {number} which `position` is there, or `added_by` which act.",
            field=f"spots[{number}]",
        )
    position = tapped.position or _added(draft, str(tapped.added_by), number)
    if position not in draft.desk.plan.positions:
        raise NotFound(
            f"Spot {number}: there is no position {position} on this job. Choose another one for "
            "it, or record the place first, as one that nobody had planned.",
            position=position,
        )
    return PhotoSpot(x_permille=tapped.x_permille, y_permille=tapped.y_permille, position=position)


def _added(draft: Draft, key: str, number: int) -> str:
    for happened, added in draft.desk.state.each(PositionAdded):
        if happened.act == key:
            return added.position
    raise NotFound(
        f"Spot {number}: the act that was to add its position is not in the book. Send that one "
        "first, or choose a position that is there.",
        act=key,
    )


KINDS = (
    ActKind(
        kind="spots",
        group="truth",
        request=Spots,
        function=spots,
        says="What is where on a photo of a step, in the order of tightening.",
        needs=frozenset({Needs.PHOTOS}),
        example={
            "step": "tray",
            "photos": ["5f" * 32],
            "spots": [
                {"x_permille": 210, "y_permille": 340, "position": "TR-1"},
                {"x_permille": 790, "y_permille": 655, "position": "TR-1"},
            ],
        },
    ),
)
