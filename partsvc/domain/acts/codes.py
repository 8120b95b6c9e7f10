"""Tag codes inside requests: read as typed or scanned, before anything is judged."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields
from functools import cache
from typing import Annotated, TypeVar, get_args, get_origin, get_type_hints

from partsvc.domain.records import TagText
from partsvc.domain.tagcode import MistypedCode, read
from partsvc.errors import Mistyped

T = TypeVar("T")


def read_codes(request: T) -> tuple[T, tuple[str, ...]]:
    """The request with every tag code in its plain form, and those codes.

    Raises `Mistyped` with the characters that look wrong.
    """
    found: list[str] = []
    changed: dict[str, str | tuple[str, ...]] = {}
    for name in code_fields(type(request)):  # type: ignore[arg-type]
        value = getattr(request, name)
        if isinstance(value, str):
            changed[name] = _read(value, name)
            found.append(str(changed[name]))
        elif isinstance(value, tuple):
            codes = tuple(dict.fromkeys(_read(one, name) for one in value))
            changed[name] = codes
            found.extend(codes)
    return (_replaced(request, changed) if changed else request), tuple(found)


def _replaced(request: T, changed: dict[str, str | tuple[str, ...]]) -> T:
    values = {item.name: getattr(request, item.name) for item in fields(type(request))}  # type: ignore[arg-type]
    return type(request)(**(values | changed))


def read_code(typed: str, field: str = "code") -> str:
    """One tag code as typed or scanned; raises `Mistyped` saying what looks wrong."""
    return _read(typed, field)


def _read(typed: str, field: str) -> str:
    try:
        return read(typed)
    except MistypedCode as mistyped:
        raise Mistyped(
            mistyped.words,
            field=field,
            typed=typed,
            suspects=tuple(str(at + 1) for at in mistyped.suspects),
            suggestions=tuple(mistyped.suggestions),
        ) from mistyped


@cache
def code_fields(kind: type) -> tuple[str, ...]:
    """The fields of a request that hold tag codes."""
    hints = get_type_hints(kind, include_extras=True)
    return tuple(item.name for item in fields(kind) if any(_marks(hints[item.name])))


def _marks(hint: object) -> Iterator[bool]:
    if get_origin(hint) is Annotated:
        yield any(isinstance(extra, TagText) for extra in get_args(hint)[1:])
    for inner in get_args(hint):
        yield from _marks(inner)
