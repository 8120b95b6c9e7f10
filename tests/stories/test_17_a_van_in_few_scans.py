"""The van's battery goes back in: some 45 bags, counted in acts, scans and photos."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from typing import Any

import pytest
from http_bench import HttpBench, Json
from ledger_bench import STATEMENT

from partsvc.domain.parts import Part, Rule
from partsvc.domain.plan import Phase, Plan, Position, Step
from partsvc.domain.progress import needs_tick
from partsvc.domain.records import decode
from seed.play.bags import KIT_OF, KITS, OLD_PARTS, bags_by_position
from seed.play.catalogue import document, parts_of
from seed.play.readings import hold_fields, securing_fields, values

MOST_ACTS = 180
MOST_SCANS_OR_PHOTOS = (50, 5)


@dataclass(slots=True)
class Van:
    """A van whose pack is out, and what the refit of it costs in acts."""

    shop: HttpBench
    job: str
    plan: Plan
    parts: dict[str, Part]
    bag: dict[str, str]
    home: dict[str, str]
    acts: Counter[str] = field(default_factory=Counter)
    seen_scans: int = 0
    seen_photos: int = 0

    def act(self, kind: str, who: str = "tech", **members: Any) -> Json:
        given = {name: value for name, value in members.items() if value is not None}
        self.acts[kind] += 1
        return self.shop.act(self.job, kind, who, **given)

    def refit_steps(self) -> list[Json]:
        return list(self.shop.look(f"/jobs/{self.job}/refit")["steps"])

    def open_at(self, step: Step) -> set[str]:
        """The positions of a step at which anything is off or loose."""
        (line,) = [one for one in self.refit_steps() if one["id"] == step.id]
        return {one["id"] for one in line["positions"] if one["to_fit"] or one["loose"]}


@pytest.fixture
def van(shop: HttpBench) -> Van:
    plan = decode(Plan, document("van_battery", "procedure.json"))
    for part in sorted(parts_of("van_battery"), key=lambda one: "superseded_by" in one):
        shop.made("/parts", part, "lead")
    parts = {one["number"]: decode(Part, one) for one in parts_of("van_battery")}
    job = shop.open_job(*document("van_battery", "procedure.json")["steps"])
    home = bags_by_position(plan, parts)
    names = sorted({*home.values(), OLD_PARTS, *KITS})
    made = shop.made("/tags", {"count": len(names)})["tags"]
    bag = {name: tag["code"] for name, tag in zip(names, made, strict=True)}
    old = shop.made("/tags", {"count": 1, "use": "old-parts"})["tags"][0]["code"]
    stripped = Van(shop, job, plan, parts, {**bag, OLD_PARTS: old}, home)
    strip(stripped)
    supply(stripped)
    stripped.acts.clear()
    return stripped


def strip(van: Van) -> None:
    """Everything off, as the procedure says."""
    for step in sorted(van.plan.steps, key=lambda one: one.number):
        if step.phase is Phase.REFIT:
            continue
        for position in step.positions:
            if step.energises:
                # Long enough ago for what discharges after it.
                box = {"with_person": "tech", "done_at": "2020-01-01T06:00:00Z"}
                van.act("remove", position=position.id, **box)
            elif position.loosen_only:
                van.act("loosen", position=position.id)
            else:
                van.act("remove", position=position.id, bag=van.bag[van.home[position.id]])
        if needs_tick(step, Phase.STRIP):
            van.act("done", step=step.id, values=values(step.readings) or None)
        for item in step.temporaries:
            van.act("put-on", step=step.id, item=item.id, quantity=item.quantity)
        for hold in step.holds:
            if hold.when is not Phase.REFIT:
                van.act("hold", **hold_fields(hold, "mate"))


def supply(van: Van) -> None:
    """Single-use pieces: seals and ties as kits, the others one for one, a bag at a time."""
    kits: Counter[tuple[str, str]] = Counter()
    bags: dict[str, None] = {}
    for _, position in van.plan.each_position():
        for item in position.stack:
            if item.rule is Rule.REPLACE:
                kit = KIT_OF.get(van.parts[item.part].kind)
                if kit:
                    kits[kit, item.part] += position.sets * item.per_set
                    bag = van.bag[van.home[position.id]]
                    if van.shop.look(f"/tags/{bag}")["contents"]:
                        into = van.bag[OLD_PARTS]
                        van.act("rebag", bag=bag, into=into, part=item.part, lot=position.id)
                else:
                    bags[van.home[position.id]] = None
    for name in bags:
        van.act("exchange", "desk", bag=van.bag[name], old_parts=van.bag[OLD_PARTS])
    for (kit, part), quantity in kits.items():
        van.act("issue", "desk", bag=van.bag[kit], part=part, quantity=quantity)


def refit(van: Van) -> None:
    """Every step in the order the service gives."""
    for line in van.refit_steps():
        step = van.plan.step_of[line["id"]]
        caps_off(van, step)
        if step.positions:
            put_back(van, step)
        if any(one.when is not Phase.STRIP for one in step.applications):
            van.act("apply", step=step.id)
        if needs_tick(step, Phase.REFIT):
            van.act("done", step=step.id, values=values(step.readings) or None)
        for hold in step.holds:
            if hold.when is Phase.REFIT:
                if hold.close_up:
                    second_looks(van)
                    see_empty(van)
                van.act("hold", **hold_fields(hold, "mate"))


def caps_off(van: Van, step: Step) -> None:
    """Before a step, what is to be off by then: all of one place in one act."""
    for home in van.plan.steps:
        due = {item.off_before == step.id for item in home.temporaries}
        if due == {True}:
            van.act("take-off", step=home.id)
        else:
            for item in home.temporaries:
                if item.off_before == step.id:
                    van.act("take-off", step=home.id, item=item.id, quantity=item.quantity)


def put_back(van: Van, step: Step) -> None:
    """Looked at, secured at each setting once; critical ones and readings by themselves."""
    looks = (Rule.INSPECT, Rule.LIMITED)
    if any(item.rule in looks for one in step.positions for item in one.stack):
        van.act("inspect", step=step.id, result="pass", uses=1)
    together = [one for one in step.positions if not alone(one)]
    # One act puts all pieces in and secures what is alike; what wants its own look stays loose.
    settings = {tuple(sorted(securing_fields(one).items())) for one in together} - {()}
    if together or not all(one.loosen_only for one in step.positions):
        for said in sorted(settings) or [()]:
            van.act("secure", step=step.id, **dict(said))
    for one in step.positions:
        if alone(one):
            van.act("secure", position=one.id, **securing_fields(one))


def alone(position: Position) -> bool:
    return position.critical or position.record.value == "values"


def see_empty(van: Van) -> int:
    """All bags seen empty, by a photo of the table at a time; answers how many bags."""
    unseen = [one["bag"] for one in not_seen(van, "bag-not-seen-empty")]
    for at in range(0, len(unseen), 100):
        van.act("seen-empty", bags=unseen[at : at + 100])
        van.seen_photos += 1
    van.seen_scans += len(unseen)
    return len(unseen)


def not_seen(van: Van, kind: str) -> list[Json]:
    found = van.shop.look(f"/jobs/{van.job}/reconciliation")["not_seen"]
    return [one for one in found if one["kind"] == kind]


def second_looks(van: Van) -> None:
    """A second person looks at what is critical and in, in one round about the vehicle."""
    critical = [one["place"] for one in not_seen(van, "second-look")]
    if critical:
        van.act("confirm", "mate", positions=critical)


def test_the_whole_refit_takes_few_acts_and_few_scans(van: Van) -> None:
    refit(van)
    see_empty(van)
    account = van.shop.look(f"/jobs/{van.job}/reconciliation")
    open_now = [(one["kind"], one["place"], one["words"]) for one in account["findings"]]
    head = van.shop.look(f"/jobs/{van.job}")["head"]
    van.act("release", "quality", head=head, old_parts="discarded", **STATEMENT)

    assert open_now == []
    assert account["not_seen"] == []
    assert van.seen_scans >= 45
    assert sum(van.acts.values()) <= MOST_ACTS
    scans, photos = MOST_SCANS_OR_PHOTOS
    assert van.seen_scans <= scans or van.seen_photos <= photos
