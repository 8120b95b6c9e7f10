"""Posts many acts in order: what builds on a refused one is held back, the rest goes on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from partsvc.errors import (
    Invalid,
    PartsvcError,
)
from partsvc.work.asked import Payload
from partsvc.work.posting import Answer, post
from partsvc.work.service import Sender, Service

MOST_IN_A_BATCH = 200


@dataclass(frozen=True, slots=True)
class Item:
    """The answer to one act of a batch: recorded, refused, or held back behind a refused one."""

    key: str
    answer: Answer | None = None
    problem: PartsvcError | None = None
    held_by: str = ""


def post_batch(
    service: Service, account: str, sender: Sender, payloads: list[Payload]
) -> list[Item]:
    """Record acts in order, each its own transaction; one refused holds back what builds on it."""
    if len(payloads) > MOST_IN_A_BATCH:
        raise Invalid(
            f"{len(payloads)} acts in one batch; at most {MOST_IN_A_BATCH} are taken. Send them "
            "in several batches, in order.",
            field="acts",
        )
    blocked: dict[str, str] = {}
    items: list[Item] = []
    for payload in payloads:
        item = _batch_item(service, account, sender, payload, blocked)
        if item.answer is None:
            named = (*subjects(payload), *_begets(item.key))
            blocked.update(dict.fromkeys(named, item.held_by or item.key))
        items.append(item)
    return items


def _batch_item(
    service: Service,
    account: str,
    sender: Sender,
    payload: Payload,
    blocked: Mapping[str, str],
) -> Item:
    key = str(payload.get("key", ""))
    held_by = next((blocked[one] for one in subjects(payload) if one in blocked), "")
    if held_by:
        return Item(key, held_by=held_by)
    try:
        return Item(key, answer=post(service, account, sender, payload))
    except PartsvcError as problem:
        return Item(key, problem=problem)


_SUBJECTS = (
    "position", "bag", "into", "old_parts", "bags", "tags", "act", "count", "loss", "hold", "step",
    "what",
)  # fmt: skip


def subjects(payload: Payload) -> tuple[str, ...]:
    """What an act is about, for telling which acts of a batch build on each other."""
    found: list[str] = []
    for name in _SUBJECTS:
        value = payload.get(name)
        for one in value if isinstance(value, list) else [value]:
            if isinstance(one, str):
                found.append(_plain_code(one))
    return tuple(found)


def _begets(key: str) -> tuple[str, ...]:
    """What later acts of a batch would call this one, and the position or step it adds."""
    return tuple(map(_plain_code, (key, f"x{key[:13]}", f"s{key[:13]}")))


def _plain_code(text: str) -> str:
    return text.replace("-", "").replace(" ", "").upper()
