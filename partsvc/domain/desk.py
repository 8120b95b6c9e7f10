"""The facts an act is judged by, and the draft it becomes.

`Desk` is everything the work layer has read for one act: plan, book, state, tags. A `Draft` is the
act being written: entries moved on a copy of the book, effects, warnings. Its `objection` is the
one place where the first human rule lives: what is not yet done is refused, with the reason and
what to do instead; what is already done is recorded and marked.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace

from partsvc.domain.effects import Effect, Overridden, TagUsed
from partsvc.domain.effects_people import DoneAlone
from partsvc.domain.job_state import Happened, JobState
from partsvc.domain.ledger import Book, Entry, Holding, Posted, Spot
from partsvc.domain.lots import LotFacts
from partsvc.domain.order_lines import LineFacts, LineNow
from partsvc.domain.other_books import OtherJob, SaidElsewhere
from partsvc.domain.parts import Part, SpentAt, part_words
from partsvc.domain.places import Condition, Gate, Place, PlaceKind, bag, outside, secured
from partsvc.domain.plan import Plan, Position, Step
from partsvc.domain.tagcode import read, shown
from partsvc.errors import Member, NotFound, Refused

WORKSHOP = "workshop"

# A tag printed for one of these stays what it is, whatever it is first used for.
PRINTED_FOR = ("old-parts", "board", "pocket")
# Tags that hang on something that holds no pieces.
NOT_ON_BAGS = {"rack": "a rack place", "temporary": "a temporary item"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Doing:
    """Who does what, when, as the service knows it; `key` names the act for ever.

    `day` is the day on which it was done by the workshop's own calendar.
    """

    key: str
    kind: str
    by: str
    recorded_by: str
    roles: frozenset[str]
    at: str
    already_done: str = ""
    photos: tuple[str, ...] = ()
    supervised_by: str = ""
    alone: str = ""
    alone_permitted: bool = False
    amends: str = ""
    day: str = ""

    @property
    def people(self) -> frozenset[str]:
        """Everybody who had a part in it: all of them count where another person is wanted."""
        return frozenset({self.by, self.recorded_by, self.supervised_by} - {""})


@dataclass(frozen=True, slots=True, kw_only=True)
class RefusedAct:
    """An act that a device had queued and that was refused: it is in no book until put right."""

    key: str
    kind: str
    by: str
    recorded_by: str
    at: str
    detail: str
    step: str = ""
    position: str = ""
    bag: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TagFacts:
    """What is known of a tag: which account it belongs to for life, and in words where."""

    code: str
    account: str = ""
    void: bool = False
    belongs: str = ""
    kind: str = ""
    void_because: str = ""
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PastAct:
    """An act already in the book, with its entries, as far as a new act needs it."""

    seq: int
    key: str
    kind: str
    by: str
    entries: tuple[Entry, ...] = ()
    reversed_by: str = ""
    reverses: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ActDone:
    """An act that still holds, without its pieces: what, at which step, by whom, when."""

    seq: int
    key: str
    kind: str
    step: str
    by: str
    at: str


@dataclass(frozen=True, slots=True, kw_only=True)
class EquipmentFacts:
    """An instrument, a pair of gloves or a lift, and the last day on which it is good."""

    number: str
    kind: str
    good_until: str
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Desk:
    """All that is known when an act is judged. Read by the work layer in a handful of queries."""

    account: str
    plan: Plan
    state: JobState
    book: Book
    parts: Mapping[str, Part] = field(default_factory=dict)
    tags: Mapping[str, TagFacts] = field(default_factory=dict)
    boards: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    pockets: Mapping[str, tuple[str, int]] = field(default_factory=dict)
    people: Mapping[str, frozenset[str]] = field(default_factory=dict)
    # For what is shown alone: no name ever stands in a record.
    names: Mapping[str, str] = field(default_factory=dict)
    qualified: Mapping[str, frozenset[str]] = field(default_factory=dict)
    refused: tuple[RefusedAct, ...] = ()
    past: Mapping[str, PastAct] = field(default_factory=dict)
    posted: tuple[Posted, ...] = ()
    happened: tuple[Happened, ...] = ()
    lots: Mapping[tuple[str, str], LotFacts] = field(default_factory=dict)
    lines: Mapping[str, tuple[LineFacts, LineNow]] = field(default_factory=dict)
    taken: tuple[tuple[str, str], ...] = ()
    today: str = ""
    touched: Mapping[str, int] = field(default_factory=dict)
    worked_at: Mapping[str, frozenset[str]] = field(default_factory=dict)
    workers: frozenset[str] = frozenset()
    came_off: frozenset[str] = frozenset()
    photos: frozenset[str] = frozenset()
    hands: frozenset[str] = frozenset()
    acts: tuple[ActDone, ...] = ()
    equipment: Mapping[str, EquipmentFacts] = field(default_factory=dict)
    shift_ends: tuple[str, ...] = ()
    zone: str = "UTC"
    now: str = ""
    head: str = ""
    plan_hash: str = ""
    other_jobs: Mapping[str, OtherJob] = field(default_factory=dict)
    said_elsewhere: tuple[SaidElsewhere, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Drafted:
    """An act ready to be written: what moves, what else it does, what the person should know."""

    entries: tuple[Entry, ...]
    effects: tuple[Effect, ...]
    warnings: tuple[str, ...]
    step: str = ""
    reverses: str = ""
    note_for_workshop: Effect | None = None


@dataclass(slots=True)
class Draft:
    """The act being written."""

    desk: Desk
    doing: Doing
    book: Book
    entries: list[Entry] = field(default_factory=list)
    effects: list[Effect] = field(default_factory=list)
    warnings: list[str] = field(default_factory=list)
    step: str = ""
    reverses: str = ""
    note_for_workshop: Effect | None = None
    reversal: bool = False
    about: dict[str, str] = field(default_factory=dict)

    @classmethod
    def begun(cls, desk: Desk, doing: Doing) -> Draft:
        """An empty act over a copy of the book."""
        return cls(desk=desk, doing=doing, book=desk.book.copy())

    def finished(self) -> Drafted:
        """The act, ready to be written."""
        return Drafted(
            entries=tuple(self.entries),
            effects=tuple(self.effects),
            warnings=tuple(self.warnings),
            step=self.step,
            reverses=self.reverses,
            note_for_workshop=self.note_for_workshop,
        )

    def objection(self, rule: str, detail: str, **members: Member) -> None:
        """Refuse, unless it has already been done: then record that, and go on."""
        if not self.doing.already_done:
            raise Refused(rule, detail, members=self.about | members)
        about = self.about
        if "bag" in about:
            about = about | {"bag": read(about["bag"])}
        hold = str(members.get("hold", ""))
        if not self._told_as_stopped(hold):
            self.effects.append(
                Overridden(
                    rule=rule,
                    detail=detail,
                    reason=self.doing.already_done,
                    hold=hold,
                    stops=self._is_high_voltage(hold) or None,
                    **about,
                )
            )

    def _told_as_stopped(self, hold: str) -> bool:
        """Whether this act went on in a job stopped for just that hold, and says so already."""
        return any(
            isinstance(effect, Overridden)
            and effect.rule == "job-stopped"
            and effect.hold == hold != ""
            for effect in self.effects
        )

    def _is_high_voltage(self, hold: str) -> bool:
        found = self.desk.plan.holds.get(hold)
        return found is not None and found[1].high_voltage

    def same_person(self, detail: str, *, high_voltage: bool) -> None:
        """Object that another person is wanted, unless one may work alone here and says why.

        Never for high voltage: there the second person is what keeps the first alive.
        """
        if not self.alone_instead(high_voltage=high_voltage):
            why = self.why_not_alone(high_voltage=high_voltage)
            self.objection("same-person", f"{detail}{why}")

    def alone_instead(self, *, high_voltage: bool) -> bool:
        """Whether one person may do this here by themselves; if so, it is written down."""
        if not (self.doing.alone and self.doing.alone_permitted) or high_voltage:
            return False
        about = self.about | ({"bag": read(self.about["bag"])} if "bag" in self.about else {})
        self.effects.append(DoneAlone(what=self.doing.kind, reason=self.doing.alone, **about))
        self.warn("Recorded as done alone: it stands large on the release paper.")
        return True

    def why_not_alone(self, *, high_voltage: bool) -> str:
        """What is said to somebody who asked to do it alone and may not."""
        if not self.doing.alone:
            return ""
        if high_voltage:
            return " This is high voltage: never alone, whatever is permitted."
        return " Working alone is not permitted here now: ask the lead."

    def refusal(self, rule: str, detail: str, **members: Member) -> Refused:
        """A refusal that cannot be recorded as done, because nothing was done yet."""
        return Refused(rule, detail, may_be_recorded=False, members=self.about | members)

    def warn(self, words: str) -> None:
        """Tell the person something that does not stop them."""
        if words not in self.warnings:
            self.warnings.append(words)

    def effect(self, effect: Effect) -> None:
        """Add what the act does beside moving pieces."""
        self.effects.append(effect)

    # What the act is about ------------------------------------------------------------------

    def position(self, position_id: str) -> Position:
        """The position of the plan; NotFound names the nearest ones."""
        position = self.desk.plan.positions.get(position_id)
        if position is None:
            raise NotFound(
                f"There is no position {position_id} on this job. Look at the strip list for its "
                "positions, or send `add` to record one nobody had planned.",
                position=position_id,
            )
        step = self.desk.plan.home_step[position_id]
        self.step = step.id
        self.about |= {"step": step.id, "position": position_id}
        return position

    def step_of(self, step_id: str) -> Step:
        """The step of the plan."""
        step = self.desk.plan.step_of.get(step_id)
        if step is None:
            raise NotFound(
                f"There is no step {step_id} on this job. Look at the strip list for its steps.",
                step=step_id,
            )
        self.step = step.id
        self.about |= {"step": step.id}
        return step

    def use_bag(self, code: str, kind: str = "bag") -> Place:
        """The bag of a tag; a blank tag becomes this job's for life."""
        self.about |= {"bag": shown_bag(code)}
        tag = self.desk.tags.get(code)
        if tag is None:
            raise NotFound(
                f"No tag {shown_bag(code)} was ever printed here. Check the code on the bag, or "
                "take a blank tag.",
                bag=shown_bag(code),
            )
        self._is_on_a_bag(tag)
        if tag.void:
            self.objection(
                "void-tag",
                f"Tag {shown_bag(code)} was voided: {tag.void_because.rstrip('.')}. Use the tag "
                "that the bag carries now, or put a blank one on it.",
            )
        if tag.account and tag.account != self.desk.account:
            self.objection(
                "tag-of-another-job",
                f"Bag {shown_bag(code)} belongs to {tag.belongs}. Take a bag of this job or a "
                "blank tag.",
            )
        elif code not in self.desk.state.tags:
            # Also a tag printed for this job, and one whose first use was reversed: from now on
            # it is a bag in use, and somebody must see it empty.
            self._claim(code, tag.kind if tag.kind in PRINTED_FOR else kind)
        return bag(code)

    def _is_on_a_bag(self, tag: TagFacts) -> None:
        """Object to a tag that was printed for a rack place or an item; refuse somebody's badge."""
        if tag.kind == "person":
            raise self.refusal("not-a-bag", "This is somebody's badge. Scan the tag of the bag.")
        if tag.kind in NOT_ON_BAGS and tag.code not in self.desk.state.tags:
            self.objection(
                "not-a-bag",
                f"Tag {shown_bag(tag.code)} was printed for {NOT_ON_BAGS[tag.kind]}. Scan the tag "
                "of the bag, or take a blank one.",
            )

    def _claim(self, code: str, kind: str) -> None:
        claimed = TagUsed(tag=code, kind=kind)
        if claimed not in self.effects:
            self.effects.append(claimed)

    def words_for(self, part: str) -> str:
        """What a person calls the part."""
        return part_words(part, self.desk.parts.get(part))

    def posted(self) -> tuple[Posted, ...]:
        """All entries that hold, those of this act among them."""
        own = (Posted(0, self.doing.key, entry) for entry in self.entries)
        return (*self.desk.posted, *own)

    # Moving pieces --------------------------------------------------------------------------

    def spot(self, place: Place, condition: Condition, lot: str) -> Spot:
        """A spot of this job's account."""
        return Spot(self.desk.account, place, condition, lot)

    def move(self, part: str, quantity: int, source: Spot, target: Spot) -> None:
        """Move pieces, on the copy of the book at once."""
        if quantity < 1 or source == target:
            return
        entry = Entry(part, quantity, source, target)
        self.book.post(entry, reversal=self.reversal)
        self.entries.append(entry)

    def carry(
        self, held: Holding, place: Place, *, condition: Condition | None = None, lot: str = ""
    ) -> None:
        """Move what is held to a place of this account, keeping condition and lot unless told."""
        source = held.spot
        target = self.spot(place, condition or source.condition, lot or source.lot)
        self.move(held.part, held.quantity, source, target)

    def gate_in(
        self, part: str, quantity: int, place: Place, *, gate: Gate, condition: Condition, lot: str
    ) -> None:
        """Let pieces into the book, with the reason for passing the gate."""
        source = self.spot(outside(gate), condition, lot)
        self.move(part, quantity, source, self.spot(place, condition, lot))

    def gate_out(self, held: Holding, *, gate: Gate) -> None:
        """Let pieces out of the book, with the reason."""
        self.carry(held, outside(gate))

    def secured_at(self, position_id: str, part: str = "") -> tuple[Holding, ...]:
        """What stands secured at a position."""
        return self.book.at(secured(position_id), part)

    def draw(
        self,
        held: Iterable[Holding],
        quantity: int,
        *,
        prefer: Callable[[Holding], tuple[int, ...]] | None = None,
    ) -> list[Holding]:
        """The first so many pieces of what is held, best first; fewer when fewer are there."""
        ordered = sorted(held, key=prefer) if prefer else list(held)
        drawn = []
        for holding in ordered:
            take = min(holding.quantity, quantity)
            if take:
                drawn.append(replace(holding, quantity=take))
                quantity -= take
        return drawn


def shown_bag(code: str) -> str:
    """A tag code as a person reads it."""
    return shown(code)  # type: ignore[arg-type]


def total(held: Iterable[Holding]) -> int:
    """How many pieces in all."""
    return sum(holding.quantity for holding in held)


def worn(condition: Condition, source: PlaceKind) -> Condition:
    """The condition after leaving a place: new becomes used when it leaves `secured`."""
    if source is PlaceKind.SECURED and condition is Condition.NEW:
        return Condition.USED
    return condition


def spent(condition: Condition, part: Part | None, moment: SpentAt) -> Condition:
    """The condition after being fitted or secured: spent parts are no longer new."""
    if condition is Condition.NEW and part is not None and part.spent_at is moment:
        return Condition.USED
    return condition
