"""A rough week at random: every rule of the ledger holds after every act, legal or not."""

from __future__ import annotations

import shutil
import tempfile
from collections import Counter
from pathlib import Path
from random import Random
from typing import ClassVar

import ledger_invariants
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule, run_state_machine_as_test
from ledger_bench import STATEMENT, WORKSHOP, Bench
from random_acts import acceptance, request
from random_moment import Request, World

from partsvc.domain.acts.registry import KIND_OF
from partsvc.domain.away import stays
from partsvc.domain.desk import Desk, shown_bag
from partsvc.domain.endings import handed_over
from partsvc.domain.findings import Finding
from partsvc.domain.ledger import Holding
from partsvc.domain.places import PlaceKind
from partsvc.domain.reconciliation import all_findings
from partsvc.domain.tag_kinds import is_done_with
from partsvc.domain.use_counts import limited_numbers, use_counts
from partsvc.errors import KeyReused, PartsvcError
from partsvc.work import (
    away_list,
    bay,
    custody_view,
    desk_order,
    handing_over,
    jobs,
    ledger_reading,
    notices,
    open_bags,
    order_lines,
    ordering,
    papers,
    reconciling,
    refit_list,
    release_questions,
    strip_list,
    tag_view,
    upkeep,
    waiting,
)
from partsvc.work.batches import post_batch
from partsvc.work.posting import Answer
from partsvc.work.refusals import is_kept

SEEDS = st.integers(0, 2**32 - 1)
# What people read while they work; none of it may fail, whatever was recorded before.
LOOKS = (
    strip_list.strip_list,
    refit_list.refit_list,
    reconciling.reconciliation,
    ordering.order,
    jobs.standing,
    custody_view.custody,
    ledger_reading.ledger_csv,
    open_bags.open_bags,
    release_questions.release_questions,
    order_lines.lines_of,
    papers.order_csv,
)
ANY = ("",)
HABITS = (
    *[ANY] * 12,
    ("hold", "remove", "inspect", "fit", "secure"),
    ("loosen", "secure", "confirm"),
    ("lose", "search", "find"),
    ("remove", "remove", "broke", "find"),
    ("lose", "search", "search", "accept"),
    ("receive", "issue", "exchange", "return"),
    ("receive", "receive", "issue", "issue", "stock-count"),
    ("hold", "apply", "apply"),
    ("stray", "identify"),
    ("missing", "missing", "missing", "remove"),
    ("retag", "stow", "seen-empty"),
    ("remove", "exchange", "exchange"),
    ("correct", "correct"),
    ("put-on", "take-off"),
    ("rebag", "discard", "remark"),
    ("reverse",),
    ("done", "done"),
    ("remove", "remove", "hand-over", "hand-over", "fit"),
    ("picture", "picture", "spots"),
    ("lock", "lock", "unlock", "unlock"),
    ("hold", "hold", "lapse"),
    ("remark", "correct", "correct"),
    ("arrived-off", "does-not-apply", "not-done"),
    ("differs", "identify"),
    ("remove", "put-on", "take-off", "take-off"),
    ("remove", "send-away", "come-back"),
    ("remove", "exchange-carrier", "secure"),
    ("lend", "borrow", "lend", "borrow"),
    ("lose", "stray", "identify", "borrow"),
    ("fit", "fit", "dismiss", "dismiss"),
)
STEPS = settings(
    max_examples=24,
    stateful_step_count=25,
    derandomize=True,
    deadline=None,
    database=None,
    suppress_health_check=list(HealthCheck),
)


IN_ORDER = (PlaceKind.SCRAP, PlaceKind.SECURED, PlaceKind.MISSING)


def names(finding: Finding, held: Holding) -> bool:
    """Whether a finding leads a person to this piece."""
    place = held.spot.place
    match place.kind:
        case PlaceKind.BAG:
            return finding.bag == place.at or shown_bag(place.at) in finding.words
        case PlaceKind.LOOSE:
            return finding.position == place.at and finding.kind in ("loose", "wrong-part")
        case PlaceKind.OWN_HOLE:
            return finding.position == place.at and finding.kind == "own-hole"
        case _:
            return finding.place == str(place)


def gone_for_good(desk: Desk, held: Holding) -> bool:
    """Whether nobody waits for these pieces: they left with an exchanged assembly."""
    place = held.spot.place
    return place.kind is PlaceKind.AWAY and (
        stays(desk.state, place, held.part, held.spot.lot) >= held.quantity
    )


class RoughWeek(RuleBasedStateMachine):
    """Several people sending acts of every kind, again and again, alone and in batches."""

    recorded: ClassVar[Counter[str]] = Counter()
    refused: ClassVar[Counter[str]] = Counter()

    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp(prefix="rough-week-"))
        self.world = World.begun(Bench.opened(self.folder, blank_tags=8))
        self.given: list[tuple[Request, Answer]] = []
        self.thrown = 0
        self.owners: dict[str, str] = {}

    def dice(self, seed: int) -> Random:
        """Chance for one rule: the same seed later in the week is another chance."""
        self.thrown += 1
        return Random(f"{seed} {self.thrown}")

    @property
    def path(self) -> Path:
        return self.world.bench.service.database.path

    def send(self, sent: Request) -> Answer | None:
        """Post one act; a refused one leaves no trace but in the list of refused ones."""
        before, refusals = self.state(), ledger_invariants.refusals(self.path)
        try:
            answer = self.world.bench.post(sent.who, sent.account, sent.payload)
        except PartsvcError as problem:
            kept = int(is_kept(sent.payload, problem))
            assert self.state() == before
            assert ledger_invariants.refusals(self.path) == refusals + kept
            RoughWeek.refused[str(sent.payload["kind"])] += 1
            return None
        self.given.append((sent, answer))
        RoughWeek.recorded[str(sent.payload["kind"])] += 1
        return answer

    def state(self) -> dict[str, list[dict[str, object]]]:
        return ledger_invariants.snapshot(self.path)

    def work(self, seed: int, job: str) -> None:
        """A while of work on one job, with the habits that make rare acts possible."""
        rng = self.dice(seed)
        if handed_over(self.world.bench.look(job).state) is not None:
            self.send(self._by_quality(job, "reopen", reason="it came back"))
        for _ in range(rng.randint(3, 9)):
            for kind in rng.choice(HABITS):
                self.send(request(self.world, rng, job=job, kind=kind))
                self.the_rules_hold()

    @rule(seed=SEEDS)
    def people_work_on_the_first_job(self, seed: int) -> None:
        self.work(seed, self.world.jobs[0])

    @rule(seed=SEEDS)
    def people_work_on_the_second_job(self, seed: int) -> None:
        self.work(seed, self.world.jobs[1])

    @rule(seed=SEEDS)
    def people_work_without_a_procedure(self, seed: int) -> None:
        self.work(seed, self.world.jobs[2])

    @rule(seed=SEEDS)
    def a_bag_is_counted_and_somebody_else_adjusts_it(self, seed: int) -> None:
        counted = request(self.world, self.dice(seed), kind="count")
        if self.send(counted) is not None:
            adjusted = {"kind": "adjust", "count": counted.payload["key"], "reason": "so it is"}
            key = self.world.bench.new_key()
            self.send(Request("quality", counted.account, {"key": key, **adjusted}))

    @rule(seed=SEEDS)
    def an_answer_is_lost_and_the_act_sent_again(self, seed: int) -> None:
        if self.given:
            sent, answer = self.dice(seed).choice(self.given)
            before = self.state()

            again = self.world.bench.post(sent.who, sent.account, sent.payload)

            assert (again.again, again.status, again.body) == (True, answer.status, answer.body)
            assert self.state() == before

    @rule(seed=SEEDS)
    def a_key_is_used_for_something_else(self, seed: int) -> None:
        if self.given:
            sent, _ = self.dice(seed).choice(self.given)
            other = {**sent.payload, "note": "something else"}
            before = self.state()
            try:
                self.world.bench.post(sent.who, sent.account, other)
            except KeyReused:
                assert self.state() == before
            else:
                raise AssertionError("a key was used twice")

    @rule(seed=SEEDS)
    def a_device_sends_its_queue(self, seed: int) -> None:
        rng = self.dice(seed)
        job = rng.choice(self.world.jobs)
        queue = [request(self.world, rng, job=job) for _ in range(4)]
        queue = [one for one in queue if one.account == job]

        items = post_batch(
            self.world.bench.service,
            job,
            self.world.bench.sender("lead"),
            [one.payload for one in queue],
        )

        assert [item.key for item in items] == [one.payload["key"] for one in queue]
        for one, item in zip(queue, items, strict=True):
            assert (item.answer is None) is bool(item.problem or item.held_by)
            if item.answer is not None:
                self.given.append((Request("lead", job, one.payload), item.answer))
                RoughWeek.recorded[str(one.payload["kind"])] += 1

    @rule(seed=SEEDS)
    def quality_takes_everything_and_releases_the_job(self, seed: int) -> None:
        """Every finding can be taken; then nothing stands in the way of a release."""
        rng = self.dice(seed)
        bench, job = self.world.bench, rng.choice(self.world.jobs)
        if bench.look(job).state.released is not None:
            self.send(self._by_quality(job, "reopen", reason="one more look"))
            return
        if handed_over(bench.look(job).state) is not None:
            assert self.send(self._by_quality(job, "reopen", reason="it came back")) is not None
        while found := bench.reconcile(job).open:
            taken = self._by_quality(job, "accept", **acceptance(found[0]))
            assert self.send(taken) is not None
            assert found[0].identity not in {one.identity for one in bench.reconcile(job).open}
        old = {"old_parts": rng.choice(["discarded", "kept-for-warranty"])}
        release = self._by_quality(job, "release", head=bench.look(job).head, **STATEMENT, **old)
        if "quality" not in bench.look(job).workers:
            assert self.send(release) is not None
            if rng.random() < 0.9:
                self.send(self._by_quality(job, "reopen", reason="one more look"))

    @rule(seed=SEEDS)
    def a_job_ends_incomplete_and_a_later_one_goes_on_with_all_of_it(self, seed: int) -> None:
        """Everything that is not thrown out lies where it lay, under another job."""
        rng = self.dice(seed)
        bench, old = self.world.bench, rng.choice(self.world.jobs)
        said = {"why": "cancelled", "to": "the owner"}
        if handed_over(bench.look(old).state) is None:
            self.send(self._by_quality(old, "hand-over-incomplete", **said))
        if handed_over(bench.look(old).state) is None or rng.random() < 0.5:
            return
        before = self.lying(old)
        given = jobs.NewJob(title="goes on", takes_over=old)
        jobs.let_go_first(bench.service, bench.sender("lead"), given)
        jobs.let_go_first(bench.service, bench.sender("lead"), given)
        with bench.service.database.writing() as db:
            new = jobs.start(bench.service, db, bench.sender("lead"), given).id
        assert (self.lying(old), self.lying(new)) == ({}, before)
        assert handing_over.hand_over_record(bench.service, old).taken_over_by
        self.world.jobs[self.world.jobs.index(old)] = new
        # A tag that was lost and replaced is dead: it goes along with nothing.
        dead = {row["code"] for row in self.state()["tag"] if row["void_reason"]}
        self.owners = {
            tag: new if job == old and tag not in dead else job for tag, job in self.owners.items()
        }

    def lying(self, job: str) -> dict[tuple[str, ...], int]:
        """What is where on a job, thrown out pieces left aside."""
        return {
            (held.part, str(held.spot.place), held.spot.condition.value, held.spot.lot): (
                held.quantity
            )
            for held in self.world.bench.look(job).book.holdings()
            if held.spot.place.kind is not PlaceKind.SCRAP
        }

    def _by_quality(self, job: str, kind: str, **members: object) -> Request:
        payload = {"key": self.world.bench.new_key(), "kind": kind, **members}
        return Request("quality", job, payload)  # type: ignore[arg-type]

    @invariant()
    def the_rules_hold(self) -> None:
        ledger_invariants.hold(self.path)

    @invariant()
    def the_service_finds_itself_whole(self) -> None:
        assert upkeep.check(self.world.bench.service).faults == ()

    @invariant()
    def every_job_can_be_reconciled(self) -> None:
        for job in self.world.jobs:
            account = self.world.bench.reconcile(job)
            assert [one.part for one in account.accounts if not one.balanced] == []
            assert len({one.identity for one in account.open}) == len(account.open)

    @invariant()
    def no_piece_is_out_of_sight(self) -> None:
        """Whatever is neither secured nor gone for good is named by a finding, taken or not."""
        for job in self.world.jobs:
            desk = self.world.bench.look(job)
            found = all_findings(desk)
            unseen = [
                held
                for held in desk.book.holdings()
                if held.spot.account == job
                and held.spot.place.kind not in IN_ORDER
                and not gone_for_good(desk, held)
                and not is_done_with(desk, held)
                and not any(names(one, held) for one in found)
            ]
            assert unseen == []

    @invariant()
    def every_piece_of_limited_use_is_counted_where_it_lies(self) -> None:
        for job in self.world.jobs:
            desk = self.world.bench.look(job)
            numbers = limited_numbers(desk.plan)
            counted = {
                key: pieces.total() for key, pieces in use_counts(desk).at.items() if pieces.total()
            }
            lying = {
                (held.part, held.spot): held.quantity
                for held in desk.book.holdings()
                if held.part in numbers and held.spot.place.kind is not PlaceKind.OUTSIDE
            }
            assert {key: counted.get(key, 0) for key in lying} == lying

    @invariant()
    def everybody_can_look_at_every_job(self) -> None:
        service = self.world.bench.service
        for job in self.world.jobs:
            for look in LOOKS:
                look(service, job)
            waiting.waiting_list(service, self.world.bench.sender("tech"), job)
        desk_order.order_of_all(service)
        notices.page(service, notices.NoticesWanted(open=False))
        away_list.away(service)
        bay.strays(service)
        for tag in self.world.bench.tags:
            tag_view.tag_view(service, tag)

    @invariant()
    def a_tag_has_one_job_for_life(self) -> None:
        now = {row["code"]: row["account"] for row in self.state()["tag"] if row["account"]}
        assert {tag: now[tag] for tag in self.owners} == self.owners
        self.owners = now  # type: ignore[assignment]

    def teardown(self) -> None:
        for job in (*self.world.jobs, WORKSHOP):
            lines = upkeep.export_ledger(self.world.bench.service, job)
            assert upkeep.verify_file(lines).faults == ()
        self.world.bench.service.database.close()
        shutil.rmtree(self.folder)


def test_every_rule_holds_through_rough_weeks_and_every_kind_is_seen_done() -> None:
    RoughWeek.recorded.clear()
    RoughWeek.refused.clear()

    run_state_machine_as_test(RoughWeek, settings=STEPS)

    assert set(KIND_OF) - set(RoughWeek.recorded) == set()
    assert sum(RoughWeek.refused.values()) > 0
