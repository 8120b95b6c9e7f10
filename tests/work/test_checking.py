"""What a checker has at hand: whose hands, what can be done, holds against limits, who may sign."""

from __future__ import annotations

from typing import Any

from ledger_bench import STATEMENT, Bench, position, step

from partsvc.domain.acts.registry import KINDS
from partsvc.domain.finding_deeds import Deed
from partsvc.domain.trail_words import ACT_WORDS
from partsvc.work.bench import strip_bench
from partsvc.work.check_holds import holds_of_job
from partsvc.work.check_record import job_record, verified
from partsvc.work.check_release import release_check
from partsvc.work.checking import FindingAtHand, job_check
from partsvc.work.places_to_follow import places_to_follow

LONG = {"part": "B", "per_set": 1, "rule": "reuse"}
CLIP = {"part": "C", "per_set": 1, "rule": "reuse"}


def a_job(bench: Bench, **of_the_first_step: Any) -> str:
    """Bolts and clips in two zones."""
    return bench.open_job(
        step("cover", 10, position("P1", LONG, sets=4), zone="rear", **of_the_first_step),
        step("trim", 20, position("P3", CLIP, sets=3), zone="front"),
    )


def the_only(bench: Bench, job: str, kind: str) -> FindingAtHand:
    """The one finding of a kind, on whichever line."""
    found = job_check(bench.service, job)
    at_hand = [*found.not_seen, *(one for own in found.by_gravity.values() for one in own)]
    (one,) = (one for one in at_hand if one.found.kind == kind)
    return one


def test_every_kind_of_act_has_its_words() -> None:
    assert [kind.kind for kind in KINDS if kind.kind not in ACT_WORDS] == []


def test_a_finding_names_whose_hands_were_on_it_last(bench: Bench) -> None:
    job = a_job(bench)
    bench.act(job, "remove", position="P1", bag=bench.tags[0])
    bench.act(job, "secure", "mate", position="P1", bag=bench.tags[0], quantity=3)

    one = the_only(bench, job, "not-back")

    assert (one.by, one.zone, one.where) == ("mate", "rear", "at P1")
    assert one.follow == ("position", "P1")
    assert one.deeds == (Deed.SEND_BACK, Deed.ACCEPT)


def test_a_remark_goes_back_to_who_made_it_and_stands_at_the_bench(bench: Bench) -> None:
    job = a_job(bench)
    bench.act(job, "remark", "quality", position="P1", words="paint on the thread")

    (shown,) = strip_bench(bench.service, job).remarks

    assert (shown.words, shown.by, shown.where) == ("paint on the thread", "quality", "at P1")
    assert the_only(bench, job, "remark").by == "quality"
    bench.act(job, "accept", "lead", finding="remark", reason="cleaned while I stood there")
    assert strip_bench(bench.service, job).remarks == ()


def test_what_can_be_done_depends_on_the_finding(bench: Bench) -> None:
    job = a_job(bench)
    code = bench.tags[0]
    bench.act(job, "remove", position="P1", bag=code)
    bench.act(job, "count", bag=code, counted=[{"part": "B", "quantity": 3}])
    bench.act(job, "secure", position="P1", bag=code)

    assert the_only(bench, job, "count-differs").deeds[0] is Deed.ADJUST
    assert the_only(bench, job, "bag-not-seen-empty").deeds[0] is Deed.SEE_EMPTY


def test_the_name_of_a_finding_on_its_page_stays_the_same(bench: Bench) -> None:
    job = a_job(bench)
    bench.act(job, "remove", position="P1", bag=bench.tags[0])
    before = the_only(bench, job, "not-back").anchor

    bench.act(job, "remark", words="another one")

    assert the_only(bench, job, "not-back").anchor == before


def test_readings_stand_against_their_limits(bench: Bench) -> None:
    readings = [
        {"name": "left", "unit": "V", "limit": "60"},
        {"name": "isolation", "unit": "kOhm", "at_least": "500"},
        {"name": "drained", "unit": "l"},
    ]
    hold = {"id": "dead", "title": "proved dead", "readings": readings, "witness": True}
    job = a_job(bench, holds=[hold])
    values = [
        {"name": "left", "value": "0.3"},
        {"name": "isolation", "value": "510"},
        {"name": "drained", "value": "9.2"},
    ]
    bench.act(job, "hold", hold="dead", values=values, witness="mate")

    (found,) = holds_of_job(bench.service, job).holds
    (passing,) = found.passings

    assert [(one.name, one.limit or one.at_least, one.kept) for one in passing.readings] == [
        ("left", "60", True), ("isolation", "500", True), ("drained", "", None),
    ]  # fmt: skip
    assert (passing.by, passing.witness, found.line.stands) == ("tech", "mate", True)


def test_a_reading_that_was_not_taken_is_shown_as_missing(bench: Bench) -> None:
    readings = [
        {"name": "Left", "unit": "V", "limit": "60"},
        {"name": "right", "unit": "V", "limit": "60"},
    ]
    job = a_job(bench, holds=[{"id": "dead", "title": "proved dead", "readings": readings}])
    bench.done_anyway(job, "hold", hold="dead", values=[{"name": "left", "value": "-0.3"}])

    (found,) = holds_of_job(bench.service, job).holds

    assert [(one.name, one.value, one.kept) for one in found.passings[0].readings] == [
        ("Left", "-0.3", True), ("right", "", False),
    ]  # fmt: skip


def test_who_signs_is_shown_what_was_recorded_since_they_looked(bench: Bench) -> None:
    job = a_job(bench)
    looked = release_check(bench.service, job, "quality")
    bench.act(job, "search", where="bay", result="nothing", bay=True)

    later = release_check(bench.service, job, "quality", looked.looked_seq)

    assert later.head == looked.head
    assert [(line.title, line.words) for line in later.since] == [
        ("searched for", ("bay: nothing",))
    ]
    assert release_check(bench.service, job, "quality").since == ()


def test_who_worked_on_it_is_told_who_else_may_sign(bench: Bench) -> None:
    job = a_job(bench)
    bench.act(job, "remove", position="P1", bag=bench.tags[0])
    bench.act(job, "secure", "lead", position="P1", bag=bench.tags[0])

    asked = release_check(bench.service, job, "lead")

    assert (asked.worked, asked.workers, asked.alone) == (True, ("lead",), False)
    assert "lead" not in asked.may_sign
    assert "quality" in asked.may_sign
    assert not release_check(bench.service, job, "quality").worked


def test_a_release_says_by_whom_and_on_what(bench: Bench) -> None:
    job = bench.open_job()
    head = release_check(bench.service, job, "quality").head

    bench.act(job, "release", "quality", head=head, **STATEMENT)

    ended = release_check(bench.service, job, "quality").ended
    assert ended is not None
    assert (ended.how, ended.by, ended.head) == ("released", "quality", head)


def test_the_record_names_everybody_and_proves_the_ledger(bench: Bench) -> None:
    job = a_job(bench)
    bench.act(job, "remove", position="P1", bag=bench.tags[0])
    bench.act(job, "secure", "mate", position="P1", bag=bench.tags[0], by="lead")
    bench.refused(job, "secure", "mate", position="P3", bag=bench.tags[0])

    found = job_record(bench.service, job)

    assert {one.name: one.put_back for one in found.people} == {
        "tech": False, "lead": True, "mate": True,
    }  # fmt: skip
    assert [one.title for one in found.refused] == ["secured"]
    proof = verified(bench.service, job)
    assert (proof.acts, proof.faults) == (3, ())


def test_places_are_found_by_number_code_and_words(bench: Bench) -> None:
    job = a_job(bench)
    code = bench.tags[0]
    bench.act(job, "remove", position="P3", bag=code)

    def found(wanted: str) -> list[str]:
        zones = places_to_follow(bench.service, job, wanted).zones
        return [one.id for zone in zones for own in zone.steps for one in own.positions]

    assert found("") == ["P1", "P3"]
    assert found("rear") == ["P1"]
    assert found("20") == ["P3"]
    assert found("trim clip") == ["P3"]
    goes = [
        places_to_follow(bench.service, job, one).goes for one in ("p1", "c", code.lower(), "x")
    ]
    assert goes == [("position", "P1"), ("part", "C"), ("bag", code), None]
