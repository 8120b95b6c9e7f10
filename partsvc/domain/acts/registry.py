"""Every kind of act there is, and what holds for all of them.

To add a kind, write its request record and its function beside each other in one of the modules
here, and a row at that module's end.
"""

from __future__ import annotations

from partsvc.domain.acts import (
    bags,
    counting,
    ends,
    looking,
    plan_changes,
    refit,
    steps,
    strip,
    supply,
    temporaries,
)
from partsvc.domain.acts.kinds import ActKind
from partsvc.domain.desk import Draft

KINDS: tuple[ActKind, ...] = (
    *strip.KINDS,
    *temporaries.KINDS,
    *bags.KINDS,
    *supply.KINDS,
    *refit.KINDS,
    *counting.KINDS,
    *looking.KINDS,
    *plan_changes.KINDS,
    *steps.KINDS,
    *ends.KINDS,
)
KIND_OF = {kind.kind: kind for kind in KINDS}


def judge(draft: Draft, kind: ActKind, request: object) -> None:
    """Run one act's function on a draft, after what holds for every act."""
    released = draft.desk.state.released
    if released is not None and kind.kind != "reopen":
        raise draft.refusal(
            "released",
            "This job is released. Reopen it first, and say why.",
            job=draft.desk.account,
        )
    kind.function(draft, request)
