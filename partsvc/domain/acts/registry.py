"""Every kind of act, one row each: what it asks for, what it does, who may do it.

The row drives validation, the API document, the role table and the help. To add a kind, write its
request record and its function beside each other and add a row here.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any

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
from partsvc.domain.desk import Draft
from partsvc.domain.records import Plain


class Role(StrEnum):
    """What a person is here for."""

    TECHNICIAN = "technician"
    PARTS = "parts"
    QUALITY = "quality"
    LEAD = "lead"


ALL = frozenset(Role)
HANDS = frozenset({Role.TECHNICIAN, Role.LEAD})
SUPPLY = frozenset({Role.PARTS, Role.TECHNICIAN, Role.LEAD})
JUDGES = frozenset({Role.QUALITY, Role.LEAD})

JOB = "job"
WORKSHOP = "workshop"


@dataclass(frozen=True, slots=True, kw_only=True)
class ActKind:
    """One kind of act."""

    kind: str
    group: str
    request: type
    function: Callable[[Draft, Any], None]
    says: str
    roles: frozenset[Role] = ALL
    account: str = JOB
    example: Mapping[str, Plain] = field(default_factory=dict)


KINDS: tuple[ActKind, ...] = (
    ActKind(
        kind="loosen",
        group="strip",
        request=strip.Loosen,
        function=strip.loosen,
        roles=HANDS,
        says="Loosened, unplugged or set aside, and staying where it is.",
        example={"position": "RS-02"},
    ),
    ActKind(
        kind="remove",
        group="strip",
        request=strip.Remove,
        function=strip.remove,
        roles=HANDS,
        says="Taken off, into a bag: all that is there, or so many.",
        example={"position": "FS-01", "bag": "7K3M-9HWZ", "broken": 1},
    ),
    ActKind(
        kind="missing",
        group="strip",
        request=strip.Missing,
        function=strip.mark_missing,
        roles=HANDS,
        says="It belongs there but was not there when the step was opened.",
        example={"position": "SC-R3", "quantity": 1},
    ),
    ActKind(
        kind="stray",
        group="strip",
        request=strip.Stray,
        function=strip.found_stray,
        says="A piece found that nobody can place yet.",
        example={"bag": "7K3M-9HWZ", "words": "black screw, lay on the front tray"},
    ),
    ActKind(
        kind="put-on",
        group="strip",
        request=temporaries.PutOn,
        function=temporaries.put_on,
        roles=HANDS,
        says="A plug, cap, stud, cover or tool put on the vehicle for a while.",
        example={"step": "hose-return", "item": "t-return-hose"},
    ),
    ActKind(
        kind="take-off",
        group="refit",
        request=temporaries.TakeOff,
        function=temporaries.take_off,
        roles=HANDS,
        says="A temporary item taken off the vehicle again.",
        example={"step": "hose-return", "item": "t-return-hose"},
    ),
    ActKind(
        kind="rebag",
        group="strip",
        request=bags.Rebag,
        function=bags.rebag,
        says="Pieces moved from one bag into another.",
        example={"bag": "7K3M-9HWZ", "into": "4TPA-VV4F"},
    ),
    ActKind(
        kind="stow",
        group="strip",
        request=bags.Stow,
        function=bags.stow,
        says="Where tagged bags are now: a rack place, a trolley, inside another box.",
        example={"tags": ["7K3M-9HWZ"], "at": "rack 2, shelf 3"},
    ),
    ActKind(
        kind="receive",
        group="parts",
        request=supply.Receive,
        function=supply.receive,
        roles=frozenset({Role.PARTS, Role.LEAD}),
        account=WORKSHOP,
        says="New parts arrived in the store.",
        example={"part": "KF-1010", "quantity": 10, "reference": "delivery note 4711"},
    ),
    ActKind(
        kind="issue",
        group="parts",
        request=supply.Issue,
        function=supply.issue,
        roles=SUPPLY,
        says="New parts handed out into a kit bag for this job.",
        example={"bag": "4TPA-VV4F", "part": "KF-1010", "quantity": 5},
    ),
    ActKind(
        kind="return",
        group="parts",
        request=supply.Return,
        function=supply.give_back,
        roles=SUPPLY,
        says="New parts not needed go back to the store.",
        example={"bag": "4TPA-VV4F", "part": "KF-1010"},
    ),
    ActKind(
        kind="discard",
        group="parts",
        request=bags.Discard,
        function=bags.discard,
        says="Thrown away for good.",
        example={"bag": "7K3M-9HWZ", "condition": "damaged"},
    ),
    ActKind(
        kind="exchange",
        group="parts",
        request=supply.Exchange,
        function=supply.exchange,
        roles=SUPPLY,
        says="One for one: old to the old-parts bag, new into the same bag.",
        example={"bag": "7K3M-9HWZ", "old_parts": "4TPA-VV4F", "part": "KF-1010"},
    ),
    ActKind(
        kind="fit",
        group="refit",
        request=refit.Fit,
        function=refit.fit,
        roles=HANDS,
        says="Put back in position, hand-started.",
        example={"position": "PB-L1", "bag": "4TPA-VV4F"},
    ),
    ActKind(
        kind="secure",
        group="refit",
        request=refit.Secure,
        function=refit.secure,
        roles=HANDS,
        says="Tightened, clipped home, locked; with `bag`, fitted in the same scan.",
        example={"position": "FS-01", "bag": "7K3M-9HWZ"},
    ),
    ActKind(
        kind="count",
        group="truth",
        request=counting.Count,
        function=counting.count,
        says="What is in a bag was counted, without looking at the book.",
        example={"bag": "7K3M-9HWZ", "counted": [{"part": "KF-1110", "quantity": 6}]},
    ),
    ActKind(
        kind="adjust",
        group="truth",
        request=counting.Adjust,
        function=counting.adjust,
        says="The difference of a count is posted, by another person.",
        example={"count": "0b9b4a5e-6a52-4c0e-9a53-6f0f6f1f6a01", "reason": "counted twice"},
    ),
    ActKind(
        kind="seen-empty",
        group="truth",
        request=bags.SeenEmpty,
        function=bags.see_empty,
        says="Bags looked into and found empty; many at once.",
        example={"bags": ["7K3M-9HWZ", "4TPA-VV4F"]},
    ),
    ActKind(
        kind="lose",
        group="truth",
        request=counting.Lose,
        function=counting.lose,
        says="Pieces that should be here cannot be found.",
        example={"part": "KF-1110", "bag": "7K3M-9HWZ", "words": "fell into the sill"},
    ),
    ActKind(
        kind="find",
        group="truth",
        request=counting.Find,
        function=counting.find,
        says="Lost pieces turned up and lie in a bag now.",
        example={"part": "KF-1110", "bag": "7K3M-9HWZ"},
    ),
    ActKind(
        kind="search",
        group="truth",
        request=looking.Search,
        function=looking.search,
        says="Vehicle, bay or one place searched for tools, rags and pieces.",
        example={"where": "vehicle and bay 4", "result": "nothing", "vehicle": True, "bay": True},
    ),
    ActKind(
        kind="inspect",
        group="truth",
        request=looking.Inspect,
        function=looking.inspect,
        says="A piece was looked at against its criterion.",
        example={"part": "KF-1230", "bag": "7K3M-9HWZ", "result": "pass"},
    ),
    ActKind(
        kind="confirm",
        group="truth",
        request=looking.Confirm,
        function=looking.confirm,
        says="A second person looked for themselves.",
        example={"position": "HC-01", "result": "pass"},
    ),
    ActKind(
        kind="remark",
        group="truth",
        request=looking.Remark,
        function=looking.remark,
        says="A defect or something odd was seen.",
        example={"position": "HK-L2", "words": "bracket cracked at the lower hole"},
    ),
    ActKind(
        kind="correct",
        group="plan",
        request=plan_changes.Correct,
        function=plan_changes.correct,
        says="The plan of this job is put right: what really belongs here.",
        example={"position": "FS-01", "sets": 5, "reason": "five holes on this vehicle"},
    ),
    ActKind(
        kind="identify",
        group="plan",
        request=plan_changes.Identify,
        function=plan_changes.identify,
        says="An unknown piece becomes a part with a number.",
        example={"what": "unnamed:x0b9b4a5e-6a52", "part": "KF-1302"},
    ),
    ActKind(
        kind="done",
        group="steps",
        request=steps.Done,
        function=steps.done,
        says="A step without pieces was carried out: fill, bleed, clean, check.",
        example={"step": "coolant-fill"},
    ),
    ActKind(
        kind="hold",
        group="steps",
        request=steps.PassHold,
        function=steps.pass_hold,
        says="A hold point is passed, with the readings it asks for.",
        example={"hold": "h-lift-points"},
    ),
    ActKind(
        kind="accept",
        group="end",
        request=ends.Accept,
        function=ends.accept,
        roles=JUDGES,
        says="Quality or the lead takes a finding as it stands, and says why.",
        example={"finding": "remark", "reason": "cosmetic only, customer informed"},
    ),
    ActKind(
        kind="reverse",
        group="end",
        request=ends.Reverse,
        function=ends.reverse,
        says="A whole act is undone.",
        example={"act": "0b9b4a5e-6a52-4c0e-9a53-6f0f6f1f6a01", "reason": "wrong bag scanned"},
    ),
    ActKind(
        kind="release",
        group="end",
        request=ends.Release,
        function=ends.release,
        roles=JUDGES,
        says="The job is closed: nothing is open, or what is open was accepted.",
        example={
            "head": "0" * 64,
            "vehicle_searched": True,
            "bay_searched": True,
            "tools_complete": True,
        },
    ),
    ActKind(
        kind="reopen",
        group="end",
        request=ends.Reopen,
        function=ends.reopen,
        roles=JUDGES,
        says="A released job is opened again.",
        example={"reason": "coolant leak on the road test"},
    ),
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
