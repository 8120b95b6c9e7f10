"""Whatever goes wrong, the answer is a problem document that says what to do next."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from http_bench import HttpBench, problem

from partsvc.api import jobs as job_addresses
from partsvc.api.problems import STATUS, known_problems, status_of
from partsvc.api.problems import problem as document
from partsvc.errors import PartsvcError, Refused


def all_below(kind: type[PartsvcError]) -> Iterator[type[PartsvcError]]:
    for below in kind.__subclasses__():
        yield below
        yield from all_below(below)


def test_every_error_class_has_a_status_of_its_own_row() -> None:
    found = set(all_below(PartsvcError))

    assert len(found) >= 12
    assert found == {kind for kind, _ in STATUS}
    assert len({kind.code for kind in found}) == len(found)
    assert all(400 <= status_of(kind) < 600 for kind in found)


def test_every_problem_type_is_an_address_that_explains_it(bench: HttpBench) -> None:
    for code, (status, title, _) in known_problems().items():
        told = bench.look(f"/problems/{code}", "")
        assert (told["code"], told["status"], told["title"]) == (code, status, title)
    assert problem(bench.get("/problems/none", ""))["code"] == "not-found"
    assert problem(bench.get("/jobs/none"))["type"] == "/api/v1/problems/not-found"


def test_an_unknown_address_is_a_problem(bench: HttpBench) -> None:
    assert problem(bench.get("/nothing-here"))["code"] == "not-found"


def test_a_wrong_method_names_those_that_are_taken(bench: HttpBench) -> None:
    found = bench.send("DELETE", "/jobs")

    assert problem(found)["code"] == "method-not-allowed"
    assert {"GET", "POST"} <= {one.strip() for one in found.headers["Allow"].split(",")}


def test_a_fault_of_the_service_is_a_problem_too(
    bench: HttpBench, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(job_addresses.jobs, "standing", broken)
    bench.app.config["PROPAGATE_EXCEPTIONS"] = False

    found = bench.get("/jobs/any")

    assert (found.status_code, problem(found)["code"]) == (500, "fault")
    assert "ZeroDivision" not in found.text


def test_a_refusal_says_whether_it_can_be_recorded_all_the_same(bench: HttpBench) -> None:
    yes = document(Refused("too-early", "Not yet."))
    no = document(Refused("nothing-there", "Nothing.", may_be_recorded=False))

    assert (yes["reason"], yes["may_be_recorded"]) == ("too-early", True)
    assert '"already_done"' in str(yes["already_done"])
    assert (no["may_be_recorded"], "already_done" in no) == (False, False)
