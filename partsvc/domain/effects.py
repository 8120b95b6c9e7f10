"""What acts do beside moving pieces: holds passed, steps done, bags seen, the plan put right.

Each effect is a flat record, kept with its act and read back in the ledger's order. `FLAT` names
every kind; `JobState` in `job_state` is their fold.
"""

from __future__ import annotations

from dataclasses import MISSING, asdict, dataclass, fields

from partsvc.domain.effects_applications import Applied
from partsvc.domain.effects_away import (
    CameBack,
    CarrierAnswered,
    CarrierExchanged,
    SentAway,
    StaysAway,
)
from partsvc.domain.effects_bags import TagGoodAgain, TagInDoubt, TagReplaced
from partsvc.domain.effects_between import Borrowed, Lent, StrayFound, StrayPlaced
from partsvc.domain.effects_broken import RestFound, RestLeft
from partsvc.domain.effects_custody import CustodyOffered, CustodyTaken, Locked, Unlocked
from partsvc.domain.effects_endings import HandedOver, JobHandedOver, TakenOver, TookOver
from partsvc.domain.effects_holds import HoldLapsed, HoldUndone
from partsvc.domain.effects_numbers import NumberAccepted, NumberRefused
from partsvc.domain.effects_people import Amended, Dismissed, DoneAlone
from partsvc.domain.effects_pictures import SpotsTapped
from partsvc.domain.effects_supply import BatchIssued, ReceiptUndone, Received, StockCounted
from partsvc.domain.effects_temporaries import PutOnVehicle
from partsvc.domain.effects_uses import UsesCarried, UsesKnown
from partsvc.domain.effects_variants import (
    ArrivedOff,
    CountFound,
    Differing,
    NotApplying,
    NotDone,
    Repaired,
)
from partsvc.domain.records import Plain


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldPassed:
    """A hold point was passed, with its readings in words; it stands until `good_until`, if set."""

    hold: str
    step: str
    readings: str = ""
    instrument: str = ""
    witness: str = ""
    gloves: str = ""
    lift: str = ""
    good_until: str = ""
    until: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class StepDone:
    """A step without pieces was carried out."""

    step: str
    readings: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class StageDone:
    """So many pieces of a position were brought to one stage of tightening or locking."""

    position: str
    stage: str
    part: str
    quantity: int
    tool: str = ""
    setting: str = ""
    readings: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TagUsed:
    """A tag came into use on this job; a blank one is the job's for life from then on."""

    tag: str
    kind: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Stowed:
    """A bag was put somewhere."""

    tag: str
    at: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CountTaken:
    """A blind count of one part in one bag, with what the book had."""

    bag: str
    part: str
    counted: int
    book: int
    stale: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class CountAdjusted:
    """The differences of a count were posted."""

    count: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BagSeenEmpty:
    """Somebody looked into the bag and nothing was there."""

    bag: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Searched:
    """Vehicle, bay or one place was searched; or for one loss, named by act, position or lot."""

    where: str
    result: str
    vehicle: bool = False
    bay: bool = False
    loss: str = ""
    position: str = ""
    lot: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Inspected:
    """So many pieces of a lot were looked at against their criterion."""

    part: str
    lot: str
    quantity: int
    passed: bool
    uses: int | None = None
    place: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Confirmed:
    """A second person looked: it is right, or it is not."""

    position: str
    step: str
    right: bool
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Remarked:
    """Something odd was seen; open until quality or the lead takes it as it is.

    `defect` is what kind of damage it is, `photos` the hashes of its pictures.
    """

    words: str
    step: str = ""
    position: str = ""
    bag: str = ""
    defect: str = ""
    photos: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Overridden:
    """A refused act had already been done and was recorded with its reason.

    `stops` is set where a high-voltage hold was passed by: the job stands still until quality or
    the lead has taken the finding.
    """

    rule: str
    detail: str
    reason: str
    step: str = ""
    position: str = ""
    bag: str = ""
    hold: str = ""
    stops: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class StepAdded:
    """A step nobody had planned."""

    step: str
    number: int
    title: str
    zone: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PositionAdded:
    """A position nobody had planned."""

    position: str
    step: str
    where: str
    part: str
    quantity: int
    rule: str
    words: str = ""
    loosen_only: bool = False
    on: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PositionCorrected:
    """What belongs at a position was put right; empty members stay as planned.

    `renames` is set where the pieces of the position were that part all along and bear its number
    from now on; otherwise new pieces come in the place of the old.
    """

    position: str
    part: str = ""
    becomes: str = ""
    sets: int | None = None
    rule: str = ""
    renames: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Accepted:
    """A finding was taken as it stands, by quality or the lead."""

    finding: str
    place: str
    part: str
    lot: str
    quantity: int
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Released:
    """The job was closed on the head its signer had looked at; photos are under that head."""

    head: str
    plan_hash: str
    vehicle_searched: bool
    bay_searched: bool
    tools_complete: bool
    panels_back: bool | None = None
    old_parts: str = ""
    gates: str = ""
    accepted: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class JobReleased:
    """Noted in the workshop's own account: this job was released, at this head."""

    job: str
    act: str
    head: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Reopened:
    """The job was opened again."""

    reason: str


Effect = (
    HoldPassed | StepDone | StageDone | TagUsed | Stowed | CountTaken | CountAdjusted
    | BagSeenEmpty | Searched | Inspected | Confirmed | Remarked | Overridden | StepAdded
    | PositionAdded | PositionCorrected | Accepted | Released | JobReleased | Reopened
    | NumberAccepted | NumberRefused
    | SentAway | CameBack | StaysAway | CarrierExchanged | CarrierAnswered
    | Lent | Borrowed | StrayFound | StrayPlaced
    | TagReplaced | TagGoodAgain | TagInDoubt
    | RestLeft | RestFound | UsesKnown | UsesCarried
    | DoneAlone | Amended | Dismissed
    | CustodyOffered | CustodyTaken | Locked | Unlocked | HoldLapsed | HoldUndone
    | NotApplying | Differing | NotDone | CountFound | Repaired | ArrivedOff
    | HandedOver | JobHandedOver | TakenOver | TookOver | PutOnVehicle
    | Received | ReceiptUndone | BatchIssued | StockCounted | Applied
    | SpotsTapped
)  # fmt: skip

FLAT: tuple[tuple[str, type[Effect]], ...] = (
    ("hold-passed", HoldPassed),
    ("step-done", StepDone),
    ("stage-done", StageDone),
    ("tag-used", TagUsed),
    ("stowed", Stowed),
    ("count-taken", CountTaken),
    ("count-adjusted", CountAdjusted),
    ("bag-seen-empty", BagSeenEmpty),
    ("searched", Searched),
    ("inspected", Inspected),
    ("confirmed", Confirmed),
    ("remarked", Remarked),
    ("overridden", Overridden),
    ("step-added", StepAdded),
    ("position-added", PositionAdded),
    ("position-corrected", PositionCorrected),
    ("accepted", Accepted),
    ("released", Released),
    ("job-released", JobReleased),
    ("reopened", Reopened),
    ("number-accepted", NumberAccepted),
    ("number-refused", NumberRefused),
    ("sent-away", SentAway),
    ("came-back", CameBack),
    ("stays-away", StaysAway),
    ("carrier-exchanged", CarrierExchanged),
    ("carrier-answered", CarrierAnswered),
    ("lent", Lent),
    ("borrowed", Borrowed),
    ("stray-found", StrayFound),
    ("stray-placed", StrayPlaced),
    ("tag-replaced", TagReplaced),
    ("tag-good-again", TagGoodAgain),
    ("tag-in-doubt", TagInDoubt),
    ("rest-left", RestLeft),
    ("rest-found", RestFound),
    ("uses-known", UsesKnown),
    ("uses-carried", UsesCarried),
    ("custody-offered", CustodyOffered),
    ("custody-taken", CustodyTaken),
    ("locked", Locked),
    ("unlocked", Unlocked),
    ("hold-lapsed", HoldLapsed),
    ("hold-undone", HoldUndone),
    ("done-alone", DoneAlone),
    ("amended", Amended),
    ("dismissed", Dismissed),
    ("not-applying", NotApplying),
    ("differing", Differing),
    ("not-done", NotDone),
    ("count-found", CountFound),
    ("repaired", Repaired),
    ("arrived-off", ArrivedOff),
    ("handed-over", HandedOver),
    ("job-handed-over", JobHandedOver),
    ("taken-over", TakenOver),
    ("took-over", TookOver),
    ("put-on-vehicle", PutOnVehicle),
    ("received", Received),
    ("receipt-undone", ReceiptUndone),
    ("batch-issued", BatchIssued),
    ("stock-counted", StockCounted),
    ("applied", Applied),
    ("spots-tapped", SpotsTapped),
)
_CLASS_OF = dict(FLAT)
_NAME_OF = {kind: name for name, kind in FLAT}


def name_of(effect: Effect) -> str:
    """The stable name of an effect's kind, as stored."""
    return _NAME_OF[type(effect)]


def plain(effect: Effect) -> dict[str, Plain]:
    """The effect's members as plain data; what is not set is left out."""
    return {key: value for key, value in asdict(effect).items() if value not in (None, "")}


def from_plain(name: str, members: dict[str, Plain]) -> Effect:
    """Read back what `plain` wrote; KeyError or TypeError mean a record newer than this code."""
    kind: type[Effect] = _CLASS_OF[name]
    # An empty text was left out when it was written; a job without procedure has no plan hash.
    empty = {item.name: "" for item in fields(kind) if item.type == "str"}
    defaults = {item.name for item in fields(kind) if item.default is not MISSING}
    left_out = {name: text for name, text in empty.items() if name not in defaults}
    return kind(**(left_out | members))  # type: ignore[arg-type]
