"""Reads plain data (from JSON or CSV) into the domain's records, naming every fault by its place.

The records themselves say what is allowed: their annotations carry the bounds. The API builds its
own schemas from the same annotations, so a field is described once.
"""

from __future__ import annotations

import re
import types
from collections.abc import Callable, Mapping
from dataclasses import MISSING, Field, dataclass, fields, is_dataclass
from enum import StrEnum
from functools import lru_cache
from typing import Annotated, TypeVar, Union, get_args, get_origin, get_type_hints

T = TypeVar("T")
Plain = None | bool | int | str | list["Plain"] | dict[str, "Plain"]

MOST_IN_A_LIST = 200


@dataclass(frozen=True, slots=True)
class Length:
    """Bounds of a text, in characters."""

    least: int = 1
    most: int = 200


@dataclass(frozen=True, slots=True)
class Between:
    """Bounds of a whole number."""

    least: int
    most: int


@dataclass(frozen=True, slots=True)
class Form:
    """The form a text must have, and what it is called when it has not."""

    pattern: str
    called: str


@dataclass(frozen=True, slots=True)
class Says:
    """What a field means, for documents and help."""

    words: str


@dataclass(frozen=True, slots=True)
class TagText:
    """The text is a tag code, as typed or scanned."""


@dataclass(frozen=True, slots=True)
class AtMost:
    """The most items a list may have."""

    items: int


UUID_PATTERN = r"[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}"

Line = Annotated[str, Length(1, 200)]
Words = Annotated[str, Length(1, 2000)]
Name = Annotated[str, Length(1, 80), Form(r"[^\x00-\x1f\x7f]+", "plain text on one line")]
Id = Annotated[
    str, Length(1, 80), Form(r"[A-Za-z0-9][A-Za-z0-9._:-]*", "an id (letters, digits, . _ : -)")
]
Key = Annotated[str, Length(36, 36), Form(UUID_PATTERN, "a UUID in lower case")]
Code = Annotated[str, Length(8, 120), TagText()]
Quantity = Annotated[int, Between(1, 9999)]
Counted = Annotated[int, Between(0, 9999)]
Decimal = Annotated[
    str, Length(1, 20), Form(r"-?[0-9]{1,9}(\.[0-9]{1,6})?", "a decimal number as text")
]
Qualification = Annotated[
    str,
    Length(1, 40),
    Form(r"[a-z][a-z0-9]*(-[a-z0-9]+)*", "a word for a qualification, such as high-voltage"),
]
Day = Annotated[
    str,
    Length(10, 10),
    Form(r"[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])", "a day, as in 2030-01-31"),
]
PhotoHash = Annotated[str, Length(64, 64), Form(r"[0-9a-f]{64}", "the SHA-256 of a photo")]
Time = Annotated[
    str,
    Length(20, 40),
    Form(
        r"[0-9]{4}-[0-9]{2}-[0-9]{2}[Tt][0-9]{2}:[0-9]{2}:[0-9]{2}(\.[0-9]{1,9})?"
        r"([Zz]|[+-][0-9]{2}:[0-9]{2})",
        "a time with its zone, as in 2030-01-31T08:15:00Z",
    ),
]


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong with given data: where it is, and what to do about it."""

    where: str
    says: str

    def __str__(self) -> str:
        return f"{self.where}: {self.says}" if self.where else self.says


class Faulty(ValueError):
    """The data has faults, all of them listed."""

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        super().__init__("; ".join(map(str, faults)))
        self.faults = faults


def decode(kind: type[T], data: object) -> T:
    """Read one record; raises `Faulty` with every fault found, not only the first."""
    faults: list[Fault] = []
    value = _record(kind, data, "", faults)
    if faults:
        raise Faulty(tuple(faults))
    return value


def encode(value: object) -> Plain:
    """Plain data of a record; members that stand at their default are left out."""
    if isinstance(value, StrEnum):
        return value.value
    if is_dataclass(value) and not isinstance(value, type):
        return {
            item.name: encode(getattr(value, item.name))
            for item in fields(value)
            if getattr(value, item.name) != item.default
            and not (item.default is not MISSING and getattr(value, item.name) in (None, ()))
        }
    if isinstance(value, tuple | list):
        return [encode(item) for item in value]
    if isinstance(value, Mapping):
        return {str(key): encode(item) for key, item in value.items()}
    if value is None or isinstance(value, bool | int | str):
        return value
    raise TypeError(f"no plain form for {type(value).__name__}")


def full(value: object) -> Plain:
    """Plain data of a record with every member that is set, also those at their default."""
    if isinstance(value, StrEnum):
        return value.value
    if is_dataclass(value) and not isinstance(value, type):
        members = {item.name: full(getattr(value, item.name)) for item in fields(value)}
        return {name: member for name, member in members.items() if member is not None}
    if isinstance(value, tuple | list):
        return [full(item) for item in value]
    if isinstance(value, Mapping):
        return {str(key): full(item) for key, item in value.items()}
    return encode(value)


def _record(kind: type[T], data: object, where: str, faults: list[Fault]) -> T:
    if not isinstance(data, Mapping):
        faults.append(Fault(where, "must be an object with named members"))
        return None  # type: ignore[return-value]
    hints = _hints(kind)  # type: ignore[arg-type]
    # A trailing underscore only keeps a name apart from a word of the language.
    known = {item.name.rstrip("_"): item for item in fields(kind)}  # type: ignore[arg-type]
    for name in sorted(set(map(str, data)) - set(known)):
        faults.append(Fault(_inside(where, name), f"is not known here; known: {', '.join(known)}"))
    values = {
        item.name: _value(hints[item.name], data[name], _inside(where, name), faults)
        for name, item in known.items()
        if data.get(name) is not None
    }
    missing = [
        name for name, item in known.items() if item.name not in values and _is_required(item)
    ]
    faults.extend(Fault(_inside(where, name), "is missing") for name in missing)
    return None if missing or faults else kind(**values)  # type: ignore[return-value]


@lru_cache(maxsize=256)
def _hints(kind: type) -> Mapping[str, object]:
    return get_type_hints(kind, include_extras=True)


def _is_required(item: Field[object]) -> bool:
    return item.default is MISSING and item.default_factory is MISSING


def _inside(where: str, name: str | int) -> str:
    if isinstance(name, int):
        return f"{where}[{name + 1}]"
    return f"{where}.{name}" if where else name


def _value(hint: object, data: object, where: str, faults: list[Fault]) -> object:
    bounds: tuple[object, ...] = ()
    if get_origin(hint) is Annotated:
        hint, *extra = get_args(hint)
        bounds = tuple(extra)
    if get_origin(hint) in (Union, types.UnionType):
        inner = next(item for item in get_args(hint) if item is not type(None))
        return _value(inner, data, where, faults)
    if get_origin(hint) is tuple:
        return _list(get_args(hint)[0], data, where, faults, bounds)
    if isinstance(hint, type) and is_dataclass(hint):
        return _record(hint, data, where, faults)
    return _scalar(hint, data, where, faults, bounds)


def _list(
    hint: object, data: object, where: str, faults: list[Fault], bounds: tuple[object, ...]
) -> tuple[object, ...]:
    if not isinstance(data, list | tuple):
        faults.append(Fault(where, "must be a list"))
        return ()
    most = next((item.items for item in bounds if isinstance(item, AtMost)), MOST_IN_A_LIST)
    if len(data) > most:
        faults.append(Fault(where, f"has {len(data)} items; at most {most} are taken"))
        return ()
    return tuple(_value(hint, item, _inside(where, n), faults) for n, item in enumerate(data))


def _scalar(
    hint: object, data: object, where: str, faults: list[Fault], bounds: tuple[object, ...]
) -> object:
    if isinstance(hint, type) and issubclass(hint, StrEnum):
        return _choice(hint, data, where, faults)
    if hint is bool and isinstance(data, bool):
        return data
    if hint is int and isinstance(data, int) and not isinstance(data, bool):
        faults.extend(Fault(where, says) for says in number_faults(data, bounds))
        return data
    if hint is str and isinstance(data, str):
        faults.extend(Fault(where, says) for says in text_faults(data, bounds))
        return data
    called = {bool: "true or false", int: "a whole number", str: "text"}
    faults.append(Fault(where, f"must be {called.get(hint, 'something else')}"))  # type: ignore[call-overload]
    return data


def _choice(hint: type[StrEnum], data: object, where: str, faults: list[Fault]) -> object:
    if isinstance(data, str) and data in set(hint):
        return hint(data)
    faults.append(Fault(where, f"must be one of: {', '.join(hint)}"))
    return data


def number_faults(data: int, bounds: tuple[object, ...]) -> list[str]:
    """What is wrong with a whole number, in words."""
    return [
        f"must be from {bound.least} to {bound.most}"
        for bound in bounds
        if isinstance(bound, Between) and not bound.least <= data <= bound.most
    ]


def text_faults(data: str, bounds: tuple[object, ...]) -> list[str]:
    """What is wrong with a text, in words."""
    return [says for bound in bounds for check in _TEXT_CHECKS if (says := check(data, bound))]


def _wrong_length(data: str, bound: object) -> str:
    if not isinstance(bound, Length) or bound.least <= len(data) <= bound.most:
        return ""
    return f"must have {bound.least} to {bound.most} characters, has {len(data)}"


def _wrong_form(data: str, bound: object) -> str:
    if not isinstance(bound, Form) or re.fullmatch(bound.pattern, data):
        return ""
    return f"must be {bound.called}"


_TEXT_CHECKS: tuple[Callable[[str, object], str], ...] = (_wrong_length, _wrong_form)
