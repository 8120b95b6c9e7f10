"""Requests nobody thought of: made from the document, sent in-process, signed in as the lead.

Whatever is sent, the service never fails, and answers only as its document says. What a body
means is judged beside its shape, so a request of the right shape may be refused; one of a wrong
shape must be.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
import schemathesis
import yaml
from http_bench import HttpBench
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from hypothesis.errors import Unsatisfiable
from ledger_bench import position, step
from schemathesis import GenerationMode
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    negative_data_rejection,
    response_headers_conformance,
    response_schema_conformance,
    status_code_conformance,
    unsupported_method,
)

from partsvc.api.document import document_of
from partsvc.work.signing_in import NewToken, program_token

CHECKS = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_headers_conformance,
    response_schema_conformance,
    unsupported_method,
]
WELL_FORMED = 20
ILL_FORMED = 10
S1 = step(
    "S1", 1, position("P1", {"part": "A"}, sets=9), holds=[{"id": "H1", "title": "proved dead"}],
    temporaries=[{"id": "T1", "words": "hose plug"}],
)  # fmt: skip
SPEC = Path(__file__).parents[2] / "api_spec" / "openapi.yaml"


@pytest.fixture(scope="module")
def running() -> Iterator[HttpBench]:
    with TemporaryDirectory() as folder:
        bench = HttpBench.opened(Path(folder), sign_ins_at_once=1000)
        bench.app.testing = False
        yield bench
        bench.ledger.service.database.close()


@pytest.fixture(scope="module")
def document(running: HttpBench) -> Any:
    """The document without its sign-in: every request is sent by the lead, signed in."""
    written = document_of(running.app)
    del written["security"], written["components"]["securitySchemes"]
    for methods in written["paths"].values():
        for operation in methods.values():
            if isinstance(operation, dict):
                operation.pop("security")
    loaded = schemathesis.openapi.from_dict(written)
    loaded.app = running.app
    return loaded


def operations() -> list[tuple[str, str]]:
    """Every address of the checked-in document with its method."""
    written = yaml.safe_load(SPEC.read_text(encoding="utf-8"))
    return [
        (method, path)
        for path, methods in written["paths"].items()
        for method in methods
        if method != "parameters"
    ]


@pytest.fixture(scope="module")
def known(running: HttpBench) -> dict[str, Any]:
    """What is really there, under the names by which requests speak of it."""
    bench, plan = running, {"key": "front", "title": "Front", "steps": [S1]}
    job, bag, into = bench.open_job(S1), *bench.tags[:2]
    act = bench.act(job, "remark", words="a scratch")["key"]
    return {
        "job": job, "part": "A", "new_part": "B", "becomes": "B", "number": "A", "code": bag,
        "bag": bag, "into": into, "old_parts": into, "bags": [bag], "tags": [bag, into],
        "position": "P1", "step": "S1", "hold": "H1", "item": "T1", "person": "mate",
        "by": "tech", "supervised_by": "mate", "act": act, "count": act, "refused": act,
        "amends": act, "positions": ["P1"],
        "procedure": bench.made("/procedures", plan, "lead")["procedure"], "key": "front",
        "vehicle": bench.made("/vehicles", {})["id"],
    }  # fmt: skip


def at_home(sent: Any, known: Mapping[str, Any], kept: tuple[str, ...] = ("key", "count")) -> Any:
    """A made-up body that speaks of things that are there."""
    if not isinstance(sent, dict):
        return sent
    return {
        name: known[name]
        if name in known and name not in kept
        else [at_home(one, known) for one in value]
        if isinstance(value, list)
        else at_home(value, known)
        for name, value in sent.items()
    }


def lead(bench: HttpBench) -> dict[str, str]:
    """The lead signed in anew: one of the requests signs out."""
    service = bench.ledger.service
    with service.database.writing() as db:
        token = program_token(service, db, "lead", NewToken(name="tool")).token
    return {"Authorization": f"Bearer {token}"}


def tried(case: Any, bench: HttpBench, checks: Sequence[Any]) -> int:
    """Send one request and hold the answer to the document; answers the status."""
    headers = lead(bench)
    answer = case.call(headers=headers)
    case.validate_response(answer, checks=checks, headers=headers)
    return int(answer.status_code)


def every(examples: int) -> Any:
    """The same requests in every run, so many of each."""
    return settings(
        max_examples=examples, deadline=None, derandomize=True, database=None,
        suppress_health_check=list(HealthCheck),
    )  # fmt: skip


@pytest.mark.xdist_group("any_request")
@pytest.mark.parametrize(("method", "path"), operations())
def test_any_well_formed_request_is_answered_as_documented(
    method: str, path: str, running: HttpBench, document: Any, known: dict[str, Any]
) -> None:
    statuses: Counter[int] = Counter()

    @given(case=document[path][method].as_strategy(), speaks_of_what_is_there=st.booleans())
    @every(WELL_FORMED)
    def answered(case: Any, speaks_of_what_is_there: bool) -> None:
        if speaks_of_what_is_there:
            case.path_parameters = at_home(case.path_parameters or {}, known, kept=())
            case.body = at_home(case.body, known)
            if "If-Match" in (case.headers or {}):
                case.headers["If-Match"] = "*"
        statuses[tried(case, running, CHECKS)] += 1

    answered()
    assert set(statuses) - {401, 403, 429} or path == "/api/v1/session", statuses


@pytest.mark.xdist_group("any_request")
@pytest.mark.parametrize(("method", "path"), operations())
def test_any_ill_formed_request_is_refused_as_documented(
    method: str, path: str, running: HttpBench, document: Any
) -> None:
    statuses: Counter[int] = Counter()

    @given(case=document[path][method].as_strategy(generation_mode=GenerationMode.NEGATIVE))
    @every(ILL_FORMED)
    def refused(case: Any) -> None:
        # A parameter with no value at all is not sent, and what is left is well formed.
        assume([] not in (case.query or {}).values())
        # A batch is judged act by act, each in its own answer.
        batch = isinstance(case.body, dict) and "acts" in case.body
        checks = CHECKS if batch else [*CHECKS, negative_data_rejection]
        status = tried(case, running, checks)
        statuses[422 if batch else status] += 1

    with suppress(Unsatisfiable):
        refused()
    assert all(400 <= status < 500 for status in statuses), statuses
