"""Describes acts in the API document: one schema a kind, made from the registry's rows."""

from __future__ import annotations

from typing import Any

import marshmallow as ma
from apispec import APISpec

from partsvc.api.schemas_from_records import answer_schema_of, joined_schema
from partsvc.domain.acts.fields import Envelope
from partsvc.domain.acts.kinds import JOB, WORKSHOP, ActKind
from partsvc.domain.acts.registry import KINDS
from partsvc.work.act_answers import BatchAnswered, Recorded
from partsvc.work.batches import MOST_IN_A_BATCH
from partsvc.work.photos import PhotoShown

EXAMPLE_KEY = "0b9b4a5e-6a52-4c0e-9a53-6f0f6f1f6a01"
_HERE = "#/components/schemas/"


def component_name(kind: ActKind) -> str:
    """What the document calls the acts of a kind: SeenEmptyAct."""
    return "".join(word.title() for word in kind.kind.split("-")) + "Act"


def register_acts(spec: APISpec) -> None:
    """Put the schemas of all kinds of act, and of their answers, into the document."""
    for kind in KINDS:
        schema = joined_schema(
            component_name(kind), (Envelope, kind.request), {"kind": _constant(kind.kind)}
        )
        spec.components.schema(component_name(kind), schema=schema)
    for account in (JOB, WORKSHOP):
        _register_account(spec, account)
    for answer in (Recorded, BatchAnswered, PhotoShown):
        spec.components.schema(answer.__name__, schema=answer_schema_of(answer))


def plain_address_schema(kind: str) -> type[ma.Schema]:
    """The body of an act that has an address of its own, so that its kind need not be said."""
    row = next(one for one in KINDS if one.kind == kind)
    return joined_schema(component_name(row).removesuffix("Act"), (Envelope, row.request), {})


def _constant(kind: str) -> ma.fields.Field[Any]:
    return ma.fields.String(required=True, metadata={"enum": [kind]})


def _register_account(spec: APISpec, account: str) -> None:
    kinds = [kind for kind in KINDS if account in kind.accounts]
    title = account.title()
    spec.components.schema(
        f"{title}Act",
        {
            "oneOf": [{"$ref": _HERE + component_name(kind)} for kind in kinds],
            "discriminator": {
                "propertyName": "kind",
                "mapping": {kind.kind: _HERE + component_name(kind) for kind in kinds},
            },
        },
    )
    spec.components.schema(
        f"{title}Acts",
        {
            "type": "object",
            "required": ["acts"],
            "additionalProperties": False,
            "properties": {
                "acts": {
                    "type": "array",
                    "maxItems": MOST_IN_A_BATCH,
                    "description": "in the order in which they were done",
                    "items": {"$ref": f"{_HERE}{title}Act"},
                }
            },
        },
    )


def act_request(account: str) -> dict[str, Any]:
    """The request body of acts on an account: one act, or a batch."""
    title = account.title()
    examples = {
        kind.kind: {
            "summary": kind.says,
            "value": {"key": EXAMPLE_KEY, "kind": kind.kind, **kind.example},
        }
        for kind in KINDS
        if account in kind.accounts
    }
    choice = [{"$ref": f"{_HERE}{title}Act"}, {"$ref": f"{_HERE}{title}Acts"}]
    return {
        "required": True,
        "content": {"application/json": {"schema": {"oneOf": choice}, "examples": examples}},
    }


def reference(name: str) -> dict[str, str]:
    """A reference to a schema of the document."""
    return {"$ref": _HERE + name}
