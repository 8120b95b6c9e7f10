"""Every kind of act there is, and what holds for all of them.

To add a kind, write its request record and its function beside each other in one of the modules
here, and a row at that module's end.
"""

from __future__ import annotations

from partsvc.domain.acts import (
    applying,
    away,
    bags,
    between,
    breaking,
    counting,
    custody,
    endings,
    ends,
    exchange_carrier,
    half_stripped,
    lapsing,
    looking,
    lost_and_found,
    pictures,
    plan_changes,
    refit,
    refused_acts,
    releasing,
    retagging,
    returns,
    shelf,
    spots,
    steps,
    strip,
    supply,
    temporaries,
    variants,
)
from partsvc.domain.acts.apart import keep_apart
from partsvc.domain.acts.endings import not_ended
from partsvc.domain.acts.kinds import ActKind
from partsvc.domain.acts.standing_rules import amends, not_stopped, supervised
from partsvc.domain.desk import Draft

KINDS: tuple[ActKind, ...] = (
    *strip.KINDS,
    *temporaries.KINDS,
    *bags.KINDS,
    *supply.KINDS,
    *returns.KINDS,
    *shelf.KINDS,
    *applying.KINDS,
    *refit.KINDS,
    *counting.KINDS,
    *lost_and_found.KINDS,
    *breaking.KINDS,
    *looking.KINDS,
    *pictures.KINDS,
    *spots.KINDS,
    *plan_changes.KINDS,
    *steps.KINDS,
    *lapsing.KINDS,
    *custody.KINDS,
    *retagging.KINDS,
    *releasing.KINDS,
    *away.KINDS,
    *exchange_carrier.KINDS,
    *between.KINDS,
    *ends.KINDS,
    *variants.KINDS,
    *half_stripped.KINDS,
    *endings.KINDS,
    *refused_acts.KINDS,
)
KIND_OF = {kind.kind: kind for kind in KINDS}


def judge(draft: Draft, kind: ActKind, request: object) -> None:
    """Run one act's function on a draft, after what holds for every act."""
    released = draft.desk.state.released
    if released is not None and not kind.after_release:
        raise draft.refusal(
            "released",
            "This job is released. Reopen it first, and say why.",
            job=draft.desk.account,
        )
    not_ended(draft, kind)
    not_stopped(draft, kind, request)
    kind.function(draft, request)
    keep_apart(draft)
    supervised(draft, kind)
    amends(draft)
