"""Random acts of supply: order lines that come, batches, the shelf counted, what is applied."""

from __future__ import annotations

from collections.abc import Callable

from ledger_bench import WORKSHOP
from random_moment import Members, Moment

from partsvc.store import keeping, order_lines
from partsvc.work.order_lines import NewLine, add

BATCHES = ["L-23", "L-24"]
DAYS = ["2020-01-31", "2099-12-31"]


def _worked_on(at: Moment) -> bool:
    """Whether the job still takes new order lines: read anew, others may have ended it since."""
    with at.world.bench.service.database.reading() as db:
        row = keeping.job(db, at.world.bench.service.site, at.desk.account)
    return row is not None and row["state"] == "open"


def _line(at: Moment) -> str:
    """An order line of the job, asked for just now if there is none yet."""
    bench, job = at.world.bench, at.desk.account
    with bench.service.database.writing() as db:
        lines = [one.id for one in order_lines.of_job(db, bench.service.site, job)]
        row = keeping.job(db, bench.service.site, job)
        if not lines and row is not None and row["state"] == "open":
            asked = NewLine(part=at.part_of_the_catalogue(), quantity=at.number())
            made = add(bench.service, db, bench.sender("desk"), job, asked)
            lines = [made.line.id]
    return at.rng.choice(lines) if lines else "no-line"


def _dated(at: Moment) -> Members:
    return at.some(batch=at.rng.choice(BATCHES), use_by=at.rng.choice(DAYS))


def receive(at: Moment) -> Members:
    """New parts arrive: on a line, for a job, of a batch, or just so."""
    found: Members = {"part": at.part(), "quantity": at.number(6), **_dated(at)}
    if at.chance(30) and _worked_on(at):
        return {**found, "order": _line(at)}
    return {**found, **at.some(job=at.desk.account)}


def issue(at: Moment) -> Members:
    """New parts are handed out, or came straight for the job on a line of its."""
    source = at.rng.choice(["stock", "bench", "delivered", "bought"])
    found: Members = {"bag": at.bag(), "part": at.part(), "quantity": at.number(), **_dated(at)}
    if at.chance(10) and _worked_on(at):
        return {**found, "source": "delivered", "order": _line(at)}
    return {**found, **at.some(source=source)}


def give_back(at: Moment) -> Members:
    """All of the job, all of a bag, or some of a part goes back."""
    if at.chance(20):
        return {}
    part = at.part()
    bag = at.bag(holding=part)
    if at.chance(30):
        return {"bag": bag}
    return {"bag": bag, "part": part, **at.some(quantity=at.number(2))}


def _stock_count(at: Moment) -> Members:
    return {"part": at.part(), "counted": at.rng.randint(0, 8), "reason": "counted agai\u0301n"}


def _reverse_in_store(at: Moment) -> Members:
    sent = at.world.bench.keys_of(WORKSHOP)
    return {"act": at.rng.choice(sent) if sent else at.world.bench.new_key(), "reason": "a slip"}


def _apply(at: Moment) -> Members:
    steps = [step.id for step in at.desk.plan.steps if step.applications]
    step = at.rng.choice(steps) if steps and at.chance(85) else at.step()
    asked = at.desk.plan.step_of.get(step)
    what = asked.applications[0].what if asked and asked.applications else "glue"
    return {"step": step, **at.some(what=what, batch="T-9", amount="2.5")}


MAKERS: dict[str, Callable[[Moment], Members]] = {
    "receive": receive,
    "issue": issue,
    "return": give_back,
    "stock-count": _stock_count,
    "apply": _apply,
}

# What is recorded in the store's own account: how often, in a hundred, and how it is made up.
IN_THE_STORE: dict[str, tuple[int, Callable[[Moment], Members]]] = {
    "receive": (99, receive),
    "stock-count": (98, _stock_count),
    "reverse": (15, _reverse_in_store),
}
