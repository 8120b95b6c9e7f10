"""Reads what was sent: the kind of act, its envelope and its own fields, in one spelling."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import fields
from typing import cast

from partsvc.domain.acts.codes import read_codes
from partsvc.domain.acts.fields import Envelope
from partsvc.domain.acts.kinds import ActKind
from partsvc.domain.acts.registry import KIND_OF
from partsvc.domain.canonical import (
    Json,
    NotCanonical,
    canonical_text,
    normalised,
)
from partsvc.domain.records import Faulty, Plain, decode
from partsvc.errors import (
    Invalid,
)

ENVELOPE = tuple(item.name for item in fields(Envelope))
Payload = Mapping[str, Plain]


def read_request(payload: Payload) -> tuple[ActKind, Envelope, object, tuple[str, ...]]:
    """The kind, the envelope and the request itself, with its tag codes read.

    Raises `Invalid` naming the field, `Mistyped` for a code that fails its check.
    """
    name = payload.get("kind")
    kind = KIND_OF.get(name) if isinstance(name, str) else None
    if kind is None:
        raise Invalid(f"`kind` must be one of: {', '.join(KIND_OF)}.", field="kind")
    enveloped = {key: payload[key] for key in payload if key in ENVELOPE}
    own = {key: payload[key] for key in payload if key not in ENVELOPE and key != "kind"}
    try:
        envelope = decode(Envelope, enveloped)
        request: object = decode(kind.request, own)
    except Faulty as faulty:
        first = faulty.faults[0]
        raise Invalid(
            f"{faulty}. Nothing was recorded.",
            field=first.where,
            faults=tuple({"where": one.where, "says": one.says} for one in faulty.faults),
        ) from faulty
    request, codes = read_codes(request)
    return kind, envelope, request, codes


def in_one_spelling(payload: Payload) -> Payload:
    """The request in the spelling it will be recorded in; `Invalid` for what has no record.

    Judged before that, a part written in another Unicode form would be another part in the
    balances than in the act's own text.
    """
    plain = normalised(dict(payload))
    recorded_as(plain)
    return cast(Payload, plain)


def recorded_as(value: Json) -> str:
    try:
        return canonical_text(value)
    except NotCanonical as odd:
        raise Invalid(f"{odd}. Nothing was recorded.", field=odd.path) from odd


def request_digest(account: str, payload: Payload) -> str:
    """What tells two requests with the same key apart."""
    text = recorded_as({"account": account, "act": normalised(dict(payload))})
    return hashlib.sha256(text.encode()).hexdigest()
