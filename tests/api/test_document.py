"""The API document: checked in, valid, and the same as what is served."""

from __future__ import annotations

from pathlib import Path

import yaml
from http_bench import HttpBench
from jsonschema import Draft202012Validator
from openapi_spec_validator import OpenAPIV31SpecValidator

from partsvc.api.document import document_of, spec_text
from partsvc.domain.acts.registry import KINDS

SPEC = Path(__file__).parents[2] / "api_spec" / "openapi.yaml"


def test_the_served_document_is_the_checked_in_one(bench: HttpBench) -> None:
    served = bench.look("/openapi.json", "")

    assert served == document_of(bench.app)
    assert yaml.safe_load(SPEC.read_text(encoding="utf-8")) == served
    assert SPEC.read_text(encoding="utf-8") == spec_text(bench.app)


def test_the_document_is_valid_openapi_3_1(bench: HttpBench) -> None:
    document = document_of(bench.app)

    assert document["openapi"] == "3.1.0"
    OpenAPIV31SpecValidator(document).validate()


def test_every_kind_of_act_is_described_with_an_example(bench: HttpBench) -> None:
    document = document_of(bench.app)

    told: set[str] = set()
    for account in ("jobs/{job}", "workshop"):
        body = document["paths"][f"/api/v1/{account}/acts"]["post"]["requestBody"]
        content = body["content"]["application/json"]
        shape = {**content["schema"], "components": document["components"]}
        for kind, example in content["examples"].items():
            Draft202012Validator(shape).validate(example["value"])
            told.add(kind)
    assert told == {kind.kind for kind in KINDS}


def test_every_operation_says_who_may_and_what_it_may_refuse(bench: HttpBench) -> None:
    operations = [
        (path, method, operation)
        for path, methods in document_of(bench.app)["paths"].items()
        for method, operation in methods.items()
        if method != "parameters"
    ]

    for path, method, operation in operations:
        assert operation["summary"], (method, path)
        assert ("x-roles" in operation) == bool(operation["security"]), (method, path)
        refusals = [code for code in operation["responses"] if code.startswith("4")]
        assert "422" in refusals, (method, path)
