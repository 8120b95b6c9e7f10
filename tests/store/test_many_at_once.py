"""Many people at once on one database: every rule holds, every answer is true, everybody's turn."""

from __future__ import annotations

import threading
from collections.abc import Callable
from random import Random

import ledger_invariants
import pytest
from ledger_bench import WORKSHOP, Bench, position, step
from random_acts import request
from random_moment import Request, World

from partsvc.errors import InProgress, PartsvcError
from partsvc.store.database import FairLock
from partsvc.work import upkeep
from partsvc.work.posting import Answer

PEOPLE = 5
WAIT_AT_MOST_S = 60


def together(work: Callable[[int], None], *, people: int = PEOPLE) -> None:
    """Everybody starts at the same moment; what goes wrong for one of them goes wrong here."""
    start = threading.Barrier(people)
    wrong: list[BaseException] = []

    def person(number: int) -> None:
        try:
            start.wait(WAIT_AT_MOST_S)
            work(number)
        except BaseException as error:
            wrong.append(error)

    threads = [threading.Thread(target=person, args=(n,)) for n in range(people)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    if wrong:
        raise wrong[0]


def acts_with_key(bench: Bench, key: str) -> list[str]:
    with bench.service.database.reading() as db:
        rows = db.execute("SELECT hash FROM act WHERE key = ?", (key,)).fetchall()
    return [row["hash"] for row in rows]


@pytest.mark.parametrize("seed", [1, 2])
def test_a_rough_week_of_several_people_at_once_leaves_every_rule_whole(
    bench: Bench, seed: int
) -> None:
    world = World.begun(bench)
    answers: list[list[tuple[Request, Answer]]] = [[] for _ in range(PEOPLE)]

    def week(number: int) -> None:
        rng = Random(seed * 100 + number)
        for _ in range(60):
            sent = request(world, rng)
            try:
                answers[number].append((sent, bench.post(sent.who, sent.account, sent.payload)))
            except PartsvcError:
                continue

    together(week)

    acknowledged = [one for own in answers for one in own]
    assert all(own for own in answers)
    for sent, answer in acknowledged:
        assert acts_with_key(bench, str(sent.payload["key"])) == [answer.body["head"]]
    ledger_invariants.hold(bench.service.database.path)
    assert upkeep.check(bench.service).faults == ()
    for job in world.jobs:
        assert [one.part for one in bench.reconcile(job).accounts if not one.balanced] == []


def test_one_act_sent_by_all_devices_at_once_is_recorded_once(bench: Bench) -> None:
    job = bench.open_job()
    payloads = [
        {"key": bench.new_key(), "kind": "remark", "words": f"remark {n}"} for n in range(30)
    ]
    heads: dict[str, set[object]] = {payload["key"]: set() for payload in payloads}

    def device(number: int) -> None:
        for payload in payloads:
            try:
                answer = bench.post("tech", job, payload)  # type: ignore[arg-type]
            except InProgress:
                continue
            heads[payload["key"]].add(answer.body["head"])

    together(device)

    assert bench.kinds_of(job) == ["open", *["remark"] * 30]
    assert {key: set(acts_with_key(bench, key)) for key in heads} == heads


def test_two_jobs_never_get_the_same_piece_out_of_the_store(bench: Bench) -> None:
    jobs = [bench.open_job(step("S1", 10, position("P1", {"part": "C"}, sets=4))) for _ in range(4)]
    for _ in range(4):
        bench.act(WORKSHOP, "receive", "desk", part="C", quantity=5)

    def job_at_the_counter(number: int) -> None:
        for _ in range(6):
            bag = bench.tags[number]
            bench.act(jobs[number], "issue", "desk", part="C", quantity=1, bag=bag)

    together(job_at_the_counter, people=4)

    taken = [bench.at(job, f"bag:{bench.tags[n]}") for n, job in enumerate(jobs)]
    assert taken == [{"C new": 6}] * 4
    assert bench.at(WORKSHOP, "stock:main") == {}
    with bench.service.database.reading() as db:
        unbooked = db.execute(
            "SELECT sum(quantity) FROM entry WHERE from_place = 'outside:unbooked-receipt'"
        ).fetchone()[0]
    assert unbooked == 4 * 6 - 4 * 5
    ledger_invariants.hold(bench.service.database.path)


def queued(lock: FairLock, waiting: int) -> None:
    """Wait until so many stand in the queue."""
    paused = threading.Event()
    for _ in range(WAIT_AT_MOST_S * 1_000):
        if len(lock._queue) >= waiting:
            return
        paused.wait(0.001)
    raise AssertionError(f"{len(lock._queue)} stand in the queue, not {waiting}")


def test_whoever_asked_first_is_let_in_first(bench: Bench) -> None:
    database, order = bench.service.database, []

    def writer(number: int) -> None:
        with database.writing():
            order.append(number)

    threads = [threading.Thread(target=writer, args=(n,)) for n in range(8)]
    with database.writing():
        for n, thread in enumerate(threads):
            thread.start()
            queued(database._writing, n + 1)
    for thread in threads:
        thread.join()

    assert order == list(range(8))


def test_whoever_has_just_been_in_goes_to_the_end_of_the_queue() -> None:
    lock, order = FairLock(), []
    last_in = threading.Event()

    def waiting(number: int) -> None:
        with lock:
            order.append(f"waited {number}")
            last_in.wait(WAIT_AT_MOST_S)

    def eager() -> None:
        with lock:
            order.append("in at once")
            for n, thread in enumerate(threads):
                thread.start()
                queued(lock, n + 1)
        with lock:
            order.append("in again")

    threads = [threading.Thread(target=waiting, args=(n,)) for n in range(3)]
    first = threading.Thread(target=eager)
    first.start()
    queued(lock, 3)
    last_in.set()
    for thread in (first, *threads):
        thread.join()

    assert order == ["in at once", "waited 0", "waited 1", "waited 2", "in again"]


def test_one_who_fails_lets_the_next_one_in() -> None:
    lock = FairLock()
    with pytest.raises(ZeroDivisionError), lock:
        raise ZeroDivisionError

    with lock:
        assert lock._held
    assert not lock._held
