"""Reads a record's annotations: the bare kind of a member, its bounds, and how to write them."""

from __future__ import annotations

import types
from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated, Any, Union, get_args, get_origin

from partsvc.domain.records import Between, Form, Length, Says

Bounds = tuple[object, ...]


@dataclass(frozen=True, slots=True)
class Stated:
    """What stands when a member is left out."""

    value: object


def unwrapped(hint: object, bounds: Bounds) -> tuple[object, Bounds]:
    """The bare kind and all bounds around it, whether it may be left out or not."""
    while True:
        if get_origin(hint) is Annotated:
            hint, *extra = get_args(hint)
            bounds = (*bounds, *extra)
        elif get_origin(hint) in (Union, types.UnionType) and type(None) in get_args(hint):
            rest = [one for one in get_args(hint) if one is not type(None)]
            if len(rest) != 1:
                return object, bounds
            hint = rest[0]
        else:
            return hint, bounds


def words_of(bounds: Bounds) -> dict[str, Any]:
    """The bounds as the API document writes them."""
    found: dict[str, Any] = {}
    for bound in bounds:
        match bound:
            case Says(words):
                found["description"] = words
            case Length(least, most):
                found |= {"minLength": least, "maxLength": most}
            case Between(least, most):
                found |= {"minimum": least, "maximum": most}
            case Stated(value):
                found["default"] = value.value if isinstance(value, StrEnum) else value
            case Form(pattern, _):
                found["pattern"] = f"^(?:{pattern})$"
    return found
