"""A photo taken for its own sake: how it looked before, how it looks now. It asks for nothing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from partsvc.domain.acts.fields import BagCode, StepId, Where
from partsvc.domain.acts.kinds import ActKind
from partsvc.domain.desk import Draft
from partsvc.domain.photo_subjects import Shows
from partsvc.domain.records import Line, Says
from partsvc.errors import Invalid


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A photo of a step, a position or a bag, in `photos`; nothing else is done by it."""

    step: StepId | None = None
    position: Where | None = None
    bag: BagCode | None = None
    when: Annotated[
        Shows | None, Says("left out: before, until something was put back there; then after")
    ] = None
    words: Annotated[Line | None, Says("what is to be seen on it")] = None


def picture(draft: Draft, act: Picture) -> None:
    """What the photo is of must be there; the photo itself stands in the act."""
    if not draft.doing.photos:
        raise Invalid("Send the photo first, then name it here by its hash.", field="photos")
    if act.step is None and act.position is None and act.bag is None:
        raise Invalid("Say what is on it: a `step`, a `position` or a `bag`.", field="position")
    if act.step is not None:
        draft.step_of(act.step)
    if act.position is not None:
        draft.position(act.position)
    if act.bag is not None:
        draft.use_bag(act.bag)


KINDS = (
    ActKind(
        kind="picture",
        group="truth",
        request=Picture,
        function=picture,
        says="A photo of a step, a position or a bag, before or after.",
        example={"position": "HK-L2", "photos": ["5f" * 32], "words": "how the hose was routed"},
    ),
)
