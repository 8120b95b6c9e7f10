"""People: who stood by, who may, who looked a second time, and what one person does alone."""

from __future__ import annotations

from typing import Any

import pytest
from http_bench import HttpBench, Json
from ledger_bench import position, step
from test_01_already_done import LATE, READ, findings, kinds, take_all

DEAD: Json = {
    "id": "H1",
    "title": "proved dead",
    "high_voltage": True,
    "qualified": "high-voltage",
    "readings": [{"name": "plus to minus", "unit": "V", "limit": "5"}],
}
ALONE = {"alone": {"reason": "Saturday, nobody else in the house"}}
SAID = {"vehicle_searched": True, "bay_searched": True, "tools_complete": True, "panels_back": True}


def trained(shop: HttpBench, who: str, *qualifications: str) -> Json:
    """The lead sets what somebody may do by training."""
    etag = shop.get(f"/people/{who}", "lead").headers["ETag"]
    changed = {"qualifications": list(qualifications)}
    found = shop.send("PATCH", f"/people/{who}", "lead", json=changed, headers={"If-Match": etag})
    assert found.status_code == 200, found.text
    return dict(found.json or {})


def permit_alone(shop: HttpBench, permitted: bool = True, who: str = "lead") -> int:
    """The lead permits working alone, or no longer; answers the status."""
    etag = shop.get("/settings/working-alone", "lead").headers["ETag"]
    given = {"permitted": permitted, "reason": "Saturday service, one technician"}
    sent = shop.put("/settings/working-alone", given, who, headers={"If-Match": etag})
    return sent.status_code


@pytest.fixture
def live(shop: HttpBench) -> str:
    """A job with one step of high voltage and one of none."""
    return shop.open_job(
        step(
            "S1", 10, position("P1", {"part": "B"}, sets=2), holds=[DEAD], hazards=["high-voltage"]
        ),
        step("S2", 20, position("P2", {"part": "C"}, sets=2, critical=True)),
        step(
            "S3", 30, position("P3", {"part": "C"}, sets=2, critical=True), hazards=["high-voltage"]
        ),
    )


def worked_on(shop: HttpBench, job: str, name: str = "P2", **members: Any) -> Json:
    """Pieces taken off and put back, by the technician; answers the act that secured them."""
    shop.remove(job, name, shop.tags[3], **members)
    return shop.secure(job, name, bag=shop.tags[3], **members)


# Who may


def test_the_lead_sets_what_somebody_may_do(shop: HttpBench) -> None:
    assert trained(shop, "mate", "high-voltage", "apprentice")["qualifications"] == [
        "apprentice", "high-voltage",
    ]  # fmt: skip
    new = {"login": "new", "name": "N.", "roles": ["technician"], "qualifications": ["apprentice"]}
    assert shop.made("/people", new, "lead")["qualifications"] == ["apprentice"]
    assert trained(shop, "mate")["qualifications"] == []
    assert shop.get("/people/mate", "mate").status_code == 403


def test_a_hold_is_passed_by_somebody_qualified_for_it(shop: HttpBench, live: str) -> None:
    asked = {"hold": "H1", "values": READ}
    assert shop.refused(live, "hold", **asked)["reason"] == "not-qualified"
    shown = shop.look(f"/jobs/{live}/steps")["steps"][0]["holds"][0]
    assert shown["qualified"] == "high-voltage"

    trained(shop, "tech", "high-voltage")
    shop.act(live, "hold", **asked)

    assert kinds(shop, live, "hold-open", "done-anyway") == []


def test_passed_by_somebody_not_qualified_it_stops_the_job(shop: HttpBench, live: str) -> None:
    shop.act(live, "hold", hold="H1", values=READ, already_done={"reason": "the other was away"})

    assert shop.look(f"/jobs/{live}")["stopped"] is True
    take_all(shop, live, "hold-passed-by")
    assert shop.look(f"/jobs/{live}")["stopped"] is False


# Supervision


def test_an_apprentice_works_on_high_voltage_only_with_somebody_by(
    shop: HttpBench, live: str
) -> None:
    trained(shop, "tech", "apprentice", "high-voltage")
    refused = shop.refused(live, "hold", hold="H1", values=READ)
    assert refused["reason"] == "supervision-needed"
    shop.act(live, "hold", hold="H1", values=READ, supervised_by="mate")
    asked = {"position": "P1", "bag": shop.tags[0]}
    assert shop.refused(live, "remove", **asked)["reason"] == "supervision-needed"

    shop.act(live, "remove", **asked, supervised_by="mate")
    shop.remove(live, "P2", shop.tags[1])

    acts = shop.look(f"/jobs/{live}/ledger?kind=remove")["acts"]
    assert [one["act"].get("supervised_by") for one in acts] == ["mate", None]


def test_what_an_apprentice_did_unsupervised_waits_for_quality(shop: HttpBench, live: str) -> None:
    trained(shop, "tech", "apprentice")
    shop.remove(live, "P3", shop.tags[0], **LATE)

    assert kinds(shop, live, "done-anyway") == [("done-anyway", "P3", 1)]
    take_all(shop, live, "done-anyway")
    assert kinds(shop, live, "done-anyway") == []


@pytest.mark.parametrize("who", ["tech", "desk", "quality", "mate"])
def test_nobody_supervises_who_did_it_themselves_or_is_not_trained(
    shop: HttpBench, live: str, who: str
) -> None:
    trained(shop, "mate", "apprentice")

    refused = shop.refused(live, "remove", position="P2", bag=shop.tags[0], supervised_by=who)

    assert (refused["status"], refused["field"]) == (422, "supervised_by")


def test_whoever_stood_by_counts_as_having_worked_on_it(shop: HttpBench, live: str) -> None:
    worked_on(shop, live, supervised_by="lead")
    assert shop.refused(live, "confirm", "lead", position="P2")["reason"] == "same-person"
    head = shop.look(f"/jobs/{live}")["head"]
    assert shop.refused(live, "release", "lead", head=head, **SAID)["reason"] == "same-person"

    counted = [{"part": "C", "quantity": 1}]
    count = shop.act(live, "count", supervised_by="lead", bag=shop.tags[3], counted=counted)
    refused = shop.refused(live, "adjust", "lead", count=count["key"], reason="one is there")
    assert refused["reason"] == "same-person"


# Second looks


def seen(shop: HttpBench, job: str) -> list[tuple[str, str]]:
    """What nobody has looked at yet, but for the bags."""
    not_seen = shop.look(f"/jobs/{job}/reconciliation")["not_seen"]
    return [(one["kind"], one["place"]) for one in not_seen if one["kind"] != "bag-not-seen-empty"]


def test_what_is_critical_wants_a_second_look_after_it_was_secured(
    shop: HttpBench, live: str
) -> None:
    assert seen(shop, live) == []
    worked_on(shop, live)
    assert seen(shop, live) == [("second-look", "P2")]
    assert "1 second looks not taken" in shop.look(f"/jobs/{live}/reconciliation")["seen_words"]
    assert shop.refused(live, "confirm", position="P2")["reason"] == "same-person"

    shop.act(live, "confirm", "mate", position="P2")
    assert seen(shop, live) == []

    shop.act(live, "loosen", position="P2")
    shop.secure(live, "P2")
    assert seen(shop, live) == [("second-look", "P2")]
    shop.act(live, "confirm", "mate", step="S2")
    assert seen(shop, live) == []


def test_the_second_look_is_told_with_ones_own_badge(shop: HttpBench, live: str) -> None:
    worked_on(shop, live)
    asked = {"position": "P2", "by": "quality"}
    assert shop.refused(live, "confirm", "mate", **asked)["reason"] == "own-badge"

    shop.act(live, "confirm", "mate", **asked, already_done={"reason": "their phone was flat"})

    assert seen(shop, live) == []
    assert kinds(shop, live, "done-anyway") == [("done-anyway", "P2", 1)]


def test_one_look_round_the_vehicle_is_one_act(shop: HttpBench, live: str) -> None:
    worked_on(shop, live, "P2")
    worked_on(shop, live, "P3")
    assert seen(shop, live) == [("second-look", "P2"), ("second-look", "P3")]

    answer = shop.act(live, "confirm", "mate", positions=["P2", "P3"])

    assert [one["position"] for one in answer["effects"]] == ["P2", "P3"]
    assert seen(shop, live) == []


def test_a_look_that_finds_it_wrong_speaks_alone(shop: HttpBench, live: str) -> None:
    worked_on(shop, live)
    shop.act(live, "confirm", "mate", position="P2", result="fail", words="one clip not home")

    assert seen(shop, live) == []
    assert kinds(shop, live, "looked-wrong") == [("looked-wrong", "P2", 1)]
    take_all(shop, live, "looked-wrong")
    shop.act(live, "loosen", position="P2")
    shop.secure(live, "P2")
    assert seen(shop, live) == [("second-look", "P2")]


def test_quality_takes_a_look_that_cannot_be_had_any_more(shop: HttpBench, live: str) -> None:
    worked_on(shop, live)
    shop.act(
        live, "accept", "quality", finding="second-look", place="P2",
        reason="covered; clip seen from below",
    )  # fmt: skip
    assert seen(shop, live) == []

    shop.act(live, "loosen", position="P2")
    shop.secure(live, "P2")
    assert seen(shop, live) == [("second-look", "P2")]


# One man, Saturday


def test_only_the_lead_permits_working_alone_and_says_why(shop: HttpBench) -> None:
    assert shop.look("/settings/working-alone")["permitted"] is False
    assert permit_alone(shop, who="quality") == 403
    given = {"permitted": True, "reason": "Saturday"}
    assert shop.put("/settings/working-alone", given).status_code == 428
    assert permit_alone(shop) == 200
    stale = {"If-Match": '"seen-before"'}
    assert shop.put("/settings/working-alone", given, headers=stale).status_code == 412

    shown = shop.look("/settings/working-alone")

    assert (shown["permitted"], shown["given_by"], shown["version"]) == (True, "lead", 1)
    assert shown["reason"] == "Saturday service, one technician"


def test_alone_where_it_is_not_permitted_stays_refused(shop: HttpBench, live: str) -> None:
    worked_on(shop, live)
    refused = shop.refused(live, "confirm", position="P2", **ALONE)
    assert refused["reason"] == "same-person"
    assert "not permitted" in refused["detail"]

    permit_alone(shop)
    permit_alone(shop, permitted=False)
    assert shop.refused(live, "confirm", position="P2", **ALONE)["reason"] == "same-person"


def test_alone_where_it_is_permitted_is_written_large(shop: HttpBench, live: str) -> None:
    permit_alone(shop)
    worked_on(shop, live)
    assert shop.refused(live, "confirm", position="P2")["reason"] == "same-person"

    answer = shop.act(live, "confirm", position="P2", **ALONE)

    assert answer["warnings"] == ["Recorded as done alone: it stands large on the release paper."]
    assert seen(shop, live) == []
    told = shop.look(f"/jobs/{live}/reconciliation")["alone"]
    assert [one["words"] for one in told] == [
        "“confirm” at at P2 done alone: Saturday, nobody else in the house"
    ]


def test_high_voltage_is_never_done_alone(shop: HttpBench, live: str) -> None:
    permit_alone(shop)
    worked_on(shop, live, "P3")

    refused = shop.refused(live, "confirm", position="P3", **ALONE)

    assert refused["reason"] == "same-person"
    assert "never alone" in refused["detail"]
    head = shop.look(f"/jobs/{live}")["head"]
    shop.act(live, "fit", "lead", position="P3", bag=shop.tags[3], **LATE)
    head = shop.look(f"/jobs/{live}")["head"]
    released = shop.refused(live, "release", "lead", head=head, **SAID, **ALONE)
    assert released["reason"] == "same-person"
    assert "never alone" in released["detail"]


def test_one_man_counts_adjusts_and_releases_where_it_is_permitted(shop: HttpBench) -> None:
    permit_alone(shop)
    job = shop.open_job(step("S1", 10, position("P1", {"part": "C"}, sets=2)))
    bag = shop.tags[0]
    shop.act(job, "remove", "lead", position="P1", bag=bag)
    counted = [{"part": "C", "quantity": 3}]
    count = shop.act(job, "count", "lead", bag=bag, counted=counted)["key"]
    asked = {"count": count, "reason": "three are there"}
    assert shop.refused(job, "adjust", "lead", **asked)["reason"] == "same-person"
    shop.act(job, "adjust", "lead", **asked, **ALONE)
    shop.act(job, "secure", "lead", position="P1", bag=bag, sets=2)
    shop.act(job, "discard", "lead", bag=bag)
    shop.act(job, "seen-empty", "lead", bags=[bag])
    assert findings(shop, job) == []
    head = shop.look(f"/jobs/{job}")["head"]
    assert shop.refused(job, "release", "lead", head=head, **SAID)["reason"] == "same-person"

    shop.act(job, "release", "lead", head=head, **SAID, **ALONE)

    told = shop.look(f"/jobs/{job}/reconciliation")["alone"]
    assert [one["kind"] for one in told] == ["adjust", "release"]
    paper = shop.get(f"/jobs/{job}/release.pdf")
    assert paper.data.startswith(b"%PDF-")
