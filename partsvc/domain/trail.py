"""The trail of a piece: act after act, from where it came off to where it is now.

It answers the question a checker asks before deciding: how did this get here, and who knows? A
position's trail follows its own pieces through bags and back, and whatever else was put in there
from where that came; a bag's trail tells what went in and out; a part's, all of its pieces.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, replace

from partsvc.domain.desk import Desk, shown_bag
from partsvc.domain.effects import Effect, Overridden
from partsvc.domain.job_facts import JobFacts
from partsvc.domain.ledger import Entry, Spot
from partsvc.domain.look import called
from partsvc.domain.places import AT_POSITION, Condition, Place, PlaceKind
from partsvc.domain.site_time import minutes_until
from partsvc.domain.trail_lines import ActTold, NowThere, Subject, Trail, TrailLine
from partsvc.domain.trail_words import ACT_WORDS, Stand, effect_words, moved, where_now

# Pieces that are not followed one by one share this lot; it leads nowhere.
_UNTRACKED = "untracked"
# What reached the service within this time was sent when it was done.
_SENT_AT_ONCE_MINUTES = 5
# Of these acts the words are told by what they did.
_TOLD_ALREADY = ("remark", "confirm", "accept", "reverse", "search")


def trail(job: JobFacts, desk: Desk, subject: Subject, acts: Sequence[ActTold]) -> Trail:
    """The acts that concern a subject, oldest first; acts that turn out not to are left out."""
    position = desk.plan.positions.get(subject.position)
    step = desk.plan.home_step.get(subject.position)
    follow = _Follow(desk, subject, acts)
    lines = tuple(line for act in acts if (line := follow.line(act)) is not None)
    return Trail(
        job=job,
        kind="position" if subject.position else "bag" if subject.bag else "part",
        name=shown_bag(subject.bag) if subject.bag else subject.name,
        title=position.where if position else _title(desk, subject),
        step=step.id if step else "",
        step_number=step.number if step else 0,
        zone=step.zone if step else "",
        now=tuple(_now(desk, subject)),
        lines=lines,
    )


def _title(desk: Desk, subject: Subject) -> str:
    return called(desk, subject.part) if subject.part else subject.name


def all_told(desk: Desk, acts: Sequence[ActTold]) -> tuple[TrailLine, ...]:
    """Acts in the same words, whatever they are about: what was recorded since somebody looked."""
    follow = _Follow(desk, Subject(), acts)
    return tuple(line for act in acts if (line := follow.line(act)) is not None)


def with_photos(found: Trail, photos: Mapping[int, tuple[str, ...]]) -> Trail:
    """The trail with the photos of each act, by its number."""
    lines = tuple(replace(line, photos=photos.get(line.seq, ())) for line in found.lines)
    return replace(found, lines=lines)


def _now(desk: Desk, subject: Subject) -> Iterator[NowThere]:
    stand = Stand(position=subject.position, bag=subject.bag)
    told: dict[tuple[str, Place, bool], int] = defaultdict(int)
    for held in desk.book.holdings():
        place = held.spot.place
        own = held.quantity > 0 and held.spot.account == desk.account
        if own and place.kind is not PlaceKind.OUTSIDE and _is_of(subject, held.part, held.spot):
            damaged = held.spot.condition is Condition.DAMAGED
            told[held.part, place, damaged] += held.quantity
    for (part, place, damaged), quantity in sorted(told.items()):
        yield NowThere(
            quantity=quantity,
            part=part,
            called=called(desk, part),
            words=where_now(desk, stand, place),
            bag=shown_bag(place.at) if place.kind is PlaceKind.BAG else "",
            position=place.at if place.kind in AT_POSITION else "",
            damaged=damaged,
        )


def _is_of(subject: Subject, part: str, spot: Spot) -> bool:
    place = spot.place
    if subject.part:
        return part == subject.part
    if subject.bag:
        return place.kind is PlaceKind.BAG and place.at == subject.bag
    here = place.kind in AT_POSITION and place.at == subject.position
    return here or spot.lot == subject.position


class _Follow:
    """Follows one subject through the acts it may be in."""

    def __init__(self, desk: Desk, subject: Subject, acts: Iterable[ActTold]) -> None:
        self.desk = desk
        self.subject = subject
        self.stand = Stand(position=subject.position, bag=subject.bag)
        acts = tuple(acts)
        self.kin = frozenset(self._kin(acts)) if subject.position else frozenset()
        self.seq_of = {act.key: act.seq for act in acts}
        self.shown: set[str] = set()

    def _kin(self, acts: Iterable[ActTold]) -> Iterator[tuple[str, str]]:
        """What was ever in the position, by part and lot: its own pieces and others."""
        for act in acts:
            for entry in act.entries:
                for spot in (entry.source, entry.target):
                    if self._here(spot.place) and spot.lot != _UNTRACKED:
                        yield entry.part, spot.lot

    def _here(self, place: Place) -> bool:
        return place.kind in AT_POSITION and place.at == self.subject.position

    def line(self, act: ActTold) -> TrailLine | None:
        """The act as a line of the trail; None if it does not concern the subject."""
        ways = [way for way in _ways(act.entries) if any(map(self._concerns, way))]
        effects = [effect for effect in act.effects if self._about(effect, moved=bool(ways))]
        named = not self.subject.name or self._names(act) or act.reverses in self.shown
        if not (ways or effects or named):
            return None
        self.shown.add(act.key)
        step = self.desk.plan.step_of.get(act.step)
        words = (*self._moves(ways), *filter(None, map(self._said, effects)))
        anyway = any(isinstance(effect, Overridden) for effect in effects)
        return TrailLine(
            seq=act.seq,
            key=act.key,
            kind=act.kind,
            title=ACT_WORDS.get(act.kind, act.kind),
            at=act.done_at,
            received_at=act.received_at,
            late=minutes_until(act.done_at, act.received_at) > _SENT_AT_ONCE_MINUTES,
            by=self._name(act.by),
            recorded_by=self._name(act.recorded_by) if act.recorded_by != act.by else "",
            supervised_by=self._name(act.supervised_by),
            device=act.device,
            step=act.step,
            step_number=step.number if step else 0,
            words=tuple(dict.fromkeys(words)),
            because=_because(act, anyway=anyway),
            note=_own_words(act),
            undone_by=act.undone_by,
            undoes=self.seq_of.get(act.reverses, 0),
            anyway=anyway,
            bags=_bags(ways),
        )

    def _name(self, person: str) -> str:
        return self.desk.names.get(person, person)

    def _said(self, effect: Effect) -> str:
        return effect_words(self.desk, effect)

    def _concerns(self, entry: Entry) -> bool:
        source, target = entry.source, entry.target
        if not self.subject.name:
            return True
        if self.subject.part:
            return entry.part == self.subject.part
        if self.subject.bag:
            return self.subject.bag in (_bag_of(source.place), _bag_of(target.place))
        if self._here(source.place) or self._here(target.place):
            return True
        if {(entry.part, source.lot), (entry.part, target.lot)}.isdisjoint(self.kin):
            return False
        # Others of the same lot went their own way: into another position, or out of one.
        into_another = target.place.kind in AT_POSITION
        of_another = source.place.kind in AT_POSITION and source.lot != source.place.at
        return not (into_another or of_another)

    def _about(self, effect: Effect, *, moved: bool) -> bool:
        said = asdict(effect)
        subject = self.subject
        if not subject.name:
            return True
        if isinstance(effect, Overridden) and not subject.position:
            return moved or said["bag"] == subject.bag != ""
        if subject.bag:
            return subject.bag in {said.get(name) for name in ("bag", "tag", "into")}
        if subject.part:
            return said.get("part") == subject.part
        return subject.position in {
            said.get(name) for name in ("position", "place", "lot", "home", "carrier")
        }

    def _names(self, act: ActTold) -> bool:
        """Whether the act was asked about just this position, and moved nothing."""
        named = (_request(act.said).get("position"), _request(act.said).get("positions"))
        own = self.subject.position
        return own != "" and (named[0] == own or (isinstance(named[1], list) and own in named[1]))

    def _moves(self, ways: Iterable[Sequence[Entry]]) -> tuple[str, ...]:
        """The ways of the pieces, each told from its beginning to its end within the act."""
        told: dict[tuple[str, str], int] = defaultdict(int)
        for way in ways:
            words = moved(self.desk, self.stand, way[0].source.place, way[-1].target.place)
            told[way[0].part, words] += way[0].quantity
        return tuple(
            f"{quantity} {called(self.desk, part)}: {words}"
            for (part, words), quantity in told.items()
        )


def _ways(entries: Iterable[Entry]) -> Iterator[list[Entry]]:
    """Entries put together that carry the same pieces on: out of a bag, in, and secured."""
    left = list(entries)
    while left:
        way = [left.pop(0)]
        while (onward := next((one for one in left if _goes_on(way[-1], one)), None)) is not None:
            left.remove(onward)
            way.append(onward)
        yield way


def _goes_on(end: Entry, onward: Entry) -> bool:
    same = (onward.part, onward.quantity) == (end.part, end.quantity)
    return same and onward.source == end.target


def _bag_of(place: Place) -> str:
    return place.at if place.kind is PlaceKind.BAG else ""


def _bags(ways: Iterable[Sequence[Entry]]) -> tuple[str, ...]:
    places = (
        place for way in ways for one in way for place in (one.source.place, one.target.place)
    )
    return tuple(dict.fromkeys(shown_bag(code) for one in places if (code := _bag_of(one))))


def _because(act: ActTold, *, anyway: bool) -> str:
    """The reason given with it, unless what it did tells that already."""
    if anyway or act.kind in _TOLD_ALREADY:
        return str(_request(act.said).get("reason") or "") if act.reverses else ""
    request = _request(act.said)
    already = request.get("already_done")
    told = already.get("reason") if isinstance(already, Mapping) else ""
    return str(request.get("reason") or told or "")


def _own_words(act: ActTold) -> str:
    """What the person wrote beside it, where no other line has it."""
    request = _request(act.said)
    words = "" if act.kind in _TOLD_ALREADY else request.get("words")
    return str(request.get("note") or words or "")


def _request(said: Mapping[str, object]) -> Mapping[str, object]:
    request = said.get("request")
    return request if isinstance(request, Mapping) else {}
