"""Acts made up at random: of every kind, mostly sensible, often not, as a rough week would be.

Kinds of one area that need more than a line or two have a module of their own beside this one,
`random_<area>`, with its `MAKERS`.
"""

from __future__ import annotations

from collections.abc import Callable
from random import Random

import random_bags
import random_between
import random_custody
import random_lost
import random_numbers
import random_people
import random_pictures
import random_supply
import random_variants
from ledger_bench import STATEMENT, WORKSHOP
from random_moment import (
    Members,
    Moment,
    Request,
    World,
    at_position,
    in_bag,
    new_position,
    part_in_bag,
)
from random_people import envelope

from partsvc.domain.places import PlaceKind
from partsvc.domain.reconciliation import open_findings
from partsvc.domain.records import Plain


def _loosen(at: Moment) -> Members:
    return {"position": at.position(), **at.some(sets=at.number(2))}


def _remove(at: Moment) -> Members:
    if at.chance(10):
        return {"bag": at.bag(), "add": new_position(at)}
    into: Members = {"own_hole": True} if at.chance(20) else {"bag": at.bag()}
    broken = at.rng.choice([0, 0, 0, 0, 1, 2])
    return {
        **at_position(at),
        **into,
        **({"broken": broken} if broken else {}),
        **random_lost.rest_of(at, broken),
    }


def _stray(at: Moment) -> Members:
    return {"bag": at.bag(), "words": "lay on the tray", **at.some(quantity=at.number())}


def _put_on(at: Moment) -> Members:
    return random_variants.put_on_from_bag(at) if at.chance(35) else _temporary(at)


def _take_off(at: Moment) -> Members:
    piece = random_variants.take_off_into_bag(at)
    return piece if piece and at.chance(60) else _temporary(at)


def _temporary(at: Moment) -> Members:
    named: Members = {"item": "t1"} if at.chance(60) else {"words": "R\u00c9D \u01f0 rag"}
    on = [held.spot.place.at for held in at.held(PlaceKind.ON_VEHICLE)]
    where = at.rng.choice(on) if on and at.chance(50) else at.step()
    return {"step": "S1" if "item" in named else where, **named, **at.some(quantity=at.number(2))}


def _rebag(at: Moment) -> Members:
    return {**in_bag(at), "into": at.bag()}


def _stow(at: Moment) -> Members:
    return {"tags": [at.bag(), at.bag()], "at": "rack 2"}


def _discard(at: Moment) -> Members:
    return {**in_bag(at), **at.some(condition=at.rng.choice(["new", "used", "damaged"]))}


def _exchange(at: Moment) -> Members:
    used = [held for held in at.held(PlaceKind.BAG) if held.spot.condition.value != "new"]
    members = part_in_bag(at)
    if used and at.chance(80):
        held = at.rng.choice(used)
        members = {"bag": held.spot.place.at, "part": held.part, **at.some(quantity=at.number(2))}
    return {**members, "old_parts": at.bag(), **at.some(new_part=at.part())}


def _fit(at: Moment) -> Members:
    members = at_position(at)
    found = at.desk.plan.positions.get(str(members["position"]))
    part = str(members.get("part") or (found.stack[0].part if found else ""))
    return members if at.chance(15) else {**members, "bag": at.bag(holding=part)}


def _secure(at: Moment) -> Members:
    members = _fit(at) if at.chance(40) else at_position(at)
    how: Members = {
        "tool": "T7",
        "setting": "20 N·m",
        "values": [{"name": "gap", "value": "0.5", "unit": "mm"}],
    }
    stage = at.rng.choice(["torque", "angle"])
    return {**members, **(how if at.chance(80) else {}), **at.some(stage=stage, applied=True)}


def _count(at: Moment) -> Members:
    bag = at.bag()
    lying = [held for held in at.held(PlaceKind.BAG) if held.spot.place.at == bag]
    counts = {held.part: max(0, held.quantity + at.rng.randint(-1, 1)) for held in lying}
    counted: list[Plain] = [
        {"part": part, "quantity": quantity} for part, quantity in counts.items()
    ]
    return {"bag": bag, "counted": counted, **at.some(seen_seq=at.rng.randint(0, 60))}


def _adjust(at: Moment) -> Members:
    return {"count": at.key_sent("count", "seen-empty"), "reason": "looked again"}


def _seen_empty(at: Moment) -> Members:
    used = sorted(at.desk.state.tags)
    full = {held.spot.place.at for held in at.held(PlaceKind.BAG)}
    empty = [tag for tag in used if tag not in full]
    return {"bags": empty if empty and at.chance(70) else [at.bag()]}


def _inspect(at: Moment) -> Members:
    result: Members = {"result": at.rng.choice(["pass", "pass", "fail"])}
    result |= at.some(uses=at.rng.randint(0, 3))
    if at.chance(60):
        return {**part_in_bag(at), **result}
    name = at.position()
    found = at.desk.plan.positions.get(name)
    part = found.stack[0].part if found else "C"
    return {"position": name, "part": part, **at.some(quantity=at.number(2)), **result}


def _confirm(at: Moment) -> Members:
    if at.chance(15):
        return {"positions": [at.position(), at.position()]}
    what: Members = {"position": at.position()} if at.chance(70) else {"step": at.step()}
    if at.chance(30):
        return {**what, "result": "fail", "words": "not home"}
    return what


def _remark(at: Moment) -> Members:
    return {
        "words": "bracke\u0301t cracked",
        **at.some(position=at.position(), bag=at.bag(), step=at.step()),
        **random_variants.defect(at),
    }


def _picture(at: Moment) -> Members:
    of: Members = {"position": at.position()} if at.chance(60) else {"bag": at.bag()}
    photo = f"{at.number(9):064x}"
    more = at.some(step=at.step(), when="after", words="as it w\u00e4s")
    return {**of, "photos": [photo], **more}


def _correct(at: Moment) -> Members:
    if at.chance(20):
        return random_variants.repair(at)
    if at.chance(25):
        return random_numbers.other_numbers(at)
    if at.chance(30):
        return {"reason": "found", "add": new_position(at)}
    name = at.position()
    found = at.desk.plan.positions.get(name)
    part = at.rng.choice(found.stack).part if found else "B"
    changes = at.some(
        becomes=at.part(), sets=at.number(6), rule=at.rng.choice(["reuse", "replace", "inspect"])
    )
    return {"reason": "as it is", "position": name, **at.some(part=part), **changes}


def _identify(at: Moment) -> Members:
    unknown = sorted(
        {
            held.part
            for held in at.desk.book.holdings()
            if held.part.startswith(("stray:", "unnamed:"))
        }
    )
    what = at.rng.choice(unknown) if unknown and at.chance(95) else "stray:none"
    is_a = at.rng.choice(["piece-of-the-book", "one-more", "not-of-this-job"])
    return {
        "what": what, "is_a": is_a,
        **({"part": at.part()} if at.chance(90) else {}), **at.some(position=at.position()),
    }  # fmt: skip


def _done(at: Moment) -> Members:
    values: list[Plain] = [{"name": "level", "value": "3"}]
    return {
        "step": at.step(), **({"values": values} if at.chance(70) else {}), **at.some(applied=True)
    }  # fmt: skip


def _hold(at: Moment) -> Members:
    volts = at.rng.choice(["0.2", "-0.4", "0", "400", "-380"])
    full: Members = {
        "instrument": "M3", "proved_before": True, "proved_after": True, "witness": "mate",
        "values": [{"name": "plus to minus", "value": volts, "unit": "V"}],
    }  # fmt: skip
    hold: Members = {"hold": at.rng.choice(random_custody.HOLDS), **random_custody.made_with(at)}
    return {**hold, **(full if at.chance(85) else {})}


def _accept(at: Moment) -> Members:
    found = open_findings(at.desk)
    if not found or at.chance(10):
        return {"finding": "short", "reason": "as it is"}
    return acceptance(at.rng.choice(found))


# What quality may be the wrong person, or too early, to take: it is taken all the same.
LATE = ("lost", "hold-passed-by")


def acceptance(finding: object) -> Members:
    """What quality sends to take just this finding."""
    named = {name: getattr(finding, name) for name in ("place", "part", "lot")}
    kind = str(getattr(finding, "kind", ""))
    # Who searched is made up at random too: a loss is mostly taken before enough people have.
    late: Members = {"already_done": {"reason": "it had to go"}} if kind in LATE else {}
    return {"finding": kind, "reason": "as it is", **{k: v for k, v in named.items() if v}, **late}


def _reverse(at: Moment) -> Members:
    return {"act": at.key_sent(), "reason": "a slip"}


def _release(at: Moment) -> Members:
    head = at.desk.head if at.chance(90) else "0" * 64
    becomes = at.rng.choice(["discarded", "kept-for-warranty"])
    said: Members = {**STATEMENT, **at.some(old_parts=becomes)}
    return {"head": head, **(said if at.chance(80) else {})}


def _reopen(at: Moment) -> Members:
    return {"reason": "one more look"}


MAKERS: dict[str, Callable[[Moment], Members]] = {
    "loosen": _loosen, "remove": _remove, "missing": at_position, "stray": _stray,
    "put-on": _put_on, "take-off": _take_off, "rebag": _rebag, "stow": _stow,
    "discard": _discard,
    "exchange": _exchange, "fit": _fit, "secure": _secure, "count": _count, "adjust": _adjust,
    "seen-empty": _seen_empty,
    "inspect": _inspect, "confirm": _confirm, "remark": _remark, "correct": _correct,
    "picture": _picture,
    "identify": _identify, "done": _done, "hold": _hold, "accept": _accept, "reverse": _reverse,
    "release": _release, "reopen": _reopen,
    **random_people.MAKERS,
    **random_pictures.MAKERS,
    **random_custody.MAKERS,
    **random_bags.MAKERS,
    **random_lost.MAKERS,
    **random_between.MAKERS,
    **random_variants.MAKERS,
    **random_supply.MAKERS,
}  # fmt: skip

# What people do all day, and what is once in a while: the others stand at one.
OFTEN = {"remove": 6, "fit": 6, "secure": 7, "issue": 4, "reverse": 4, "hold": 3, "inspect": 3}
WHO = {
    "receive": "desk", "issue": "desk", "return": "desk", "exchange": "desk",
    "accept": "quality", "release": "quality", "reopen": "quality", "stock-count": "desk",
    "hand-over-incomplete": "lead",
}  # fmt: skip


def request(world: World, rng: Random, *, job: str = "", kind: str = "") -> Request:
    """One act made up at random, of a kind and job made up too unless they are given."""
    weights = [OFTEN.get(name, 1) for name in MAKERS]
    kind = kind or rng.choices(list(MAKERS), weights)[0]
    job = job or rng.choice(world.jobs)
    at = Moment(world, rng, world.bench.look(job))
    in_the_bay = random_between.IN_THE_BAY.get(kind)
    if in_the_bay is not None and at.chance(40):
        found: Members = {"key": world.bench.new_key(), "kind": kind, **in_the_bay(at)}
        return Request(rng.choice(["tech", "desk", "quality"]), WORKSHOP, found)
    often, in_the_store = random_supply.IN_THE_STORE.get(kind, (0, None))
    if in_the_store is not None and at.chance(often):
        found = {"key": world.bench.new_key(), "kind": kind, **in_the_store(at)}
        return Request(rng.choice(["desk", "desk", "lead"]), WORKSHOP, found)
    who = WHO.get(kind) or rng.choice(["tech", "tech", "mate", "lead"])
    if at.chance(2):
        who = rng.choice(["tech", "desk", "quality"])
    whole = random_bags.WHOLE.get(kind)
    made = whole(at) if whole is not None and at.chance(15) else MAKERS[kind](at)
    if kind in random_custody.BOXES and at.chance(12):
        made = random_custody.BOXES[kind](at)
    payload: Members = {"key": world.bench.new_key(), "kind": kind, **made}
    if at.chance(30):
        payload["already_done"] = {"reason": "it was la\u0301te"}
    payload |= envelope(at)
    if at.chance(10):
        payload["by"] = rng.choice(["tech", "mate", "quality", "nobody"])
    return Request(who, WORKSHOP if at.chance(1) else job, payload)
