"""Forms as they are typed: read into the work's own records, and shown again with every fault.

A form that is refused loses nothing: the page comes back with each field as it was typed, the
fault beside it, and, where somebody else changed the thing meanwhile, what it is now.
"""

from __future__ import annotations

import json
import re
import types
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, fields
from hashlib import sha256
from typing import Annotated, Any, TypeVar, Union, get_args, get_origin, get_type_hints

from flask import redirect, request
from werkzeug.wrappers import Response as AnyResponse

from partsvc.domain.records import Faulty, Plain, decode
from partsvc.errors import Invalid, PartsvcError, Stale

T = TypeVar("T")
Values = Mapping[str, str | Sequence[str]]

_BETWEEN = re.compile(r"[\s,;]+")
_WHOLE = re.compile(r"-?[0-9]{1,15}")
_PHRASED = {"is missing": "Fill this in."}


@dataclass(slots=True)
class Form:
    """What was typed, and what is wrong with it, field by field; `now` is what it is at present.

    `sent` tells whether it comes back from somebody's screen; of two forms on a page one does.
    """

    now: Values = field(default_factory=dict)
    sent: bool = field(default_factory=lambda: request.method == "POST")
    faults: dict[str, str] = field(default_factory=dict)
    others: list[str] = field(default_factory=list)
    changed: bool = False
    status: int = 200

    @property
    def seen(self) -> str:
        """What tells whether the thing is still as it was when the form was first shown."""
        if self.sent and not self.changed:
            return request.form.get("seen", "")
        return _digest(self.now)

    def value(self, name: str) -> str:
        """The text to stand in a field."""
        if self.sent:
            return request.form.get(name, "")
        value = self.now.get(name, "")
        return value if isinstance(value, str) else " ".join(value)

    def picked(self, name: str) -> list[str]:
        """What is ticked of several."""
        if self.sent:
            return request.form.getlist(name)
        value = self.now.get(name, ())
        return [value] if isinstance(value, str) else list(value)

    def now_otherwise(self, name: str) -> str | None:
        """What the field holds by now, where that is not what was typed."""
        if not self.changed or name not in self.now:
            return None
        value = self.now[name]
        text = value if isinstance(value, str) else " ".join(value)
        return text if text != " ".join(self.picked(name)) else None

    def same(self, now: Values) -> None:
        """Stop with Stale unless the form was filled in on what is there now."""
        self.now = now
        if request.form.get("seen") != _digest(now):
            self.changed = True
            raise Stale(
                "Somebody changed this meanwhile. What it is now stands beside each field; what "
                "you typed is kept. Send it once more to write yours over it."
            )

    def read(self, kind: type[T], **more: Plain) -> T:
        """The form as a record of the work; `more` are members that no field stands for."""
        told = {**_plain(kind), **more}
        return decode(kind, {name: value for name, value in told.items() if value is not None})

    def judged(self) -> _Judged:
        """What is done inside is told beside the fields when it cannot be done."""
        return _Judged(self)

    def note(self, error: PartsvcError | Faulty) -> None:
        """Keep what is wrong, each fault at its field where there is one."""
        self.status = 422 if isinstance(error, Faulty | Invalid) else 409
        if isinstance(error, Faulty):
            for one in error.faults:
                self.fault_at(one.where, one.says)
            return
        named = _named(error)
        place = error.members.get("field")
        if named:
            self.others.append(error.detail)
            for where, says in named:
                self.fault_at(where, says)
        elif isinstance(place, str) and place:
            self.fault_at(place, error.detail)
        else:
            self.others.append(error.detail)

    def fault_at(self, where: str, says: str) -> None:
        """A fault at a place; at the head of the form where no field stands for the place."""
        self.status = max(self.status, 409)
        words = _PHRASED.get(says, says)
        name = re.split(r"[.\[]", where)[0]
        if name in request.form or name in request.files or says in _PHRASED:
            self.faults[name] = f"{self.faults[name]}; {words}" if name in self.faults else words
        else:
            self.others.append(f"{where}: {words}" if where else words)


class _Judged:
    """Takes an error of ours for an answer to the form."""

    def __init__(self, form: Form) -> None:
        self.form = form

    def __enter__(self) -> None:
        return None

    def __exit__(self, kind: object, error: BaseException | None, trace: object) -> bool:
        if isinstance(error, PartsvcError | Faulty):
            self.form.note(error)
            return True
        return False


def _digest(values: Values) -> str:
    plain = {
        name: value if isinstance(value, str) else list(value) for name, value in values.items()
    }
    return sha256(json.dumps(plain, sort_keys=True).encode()).hexdigest()[:16]


def _named(error: PartsvcError) -> list[tuple[str, str]]:
    """The faults that an error lists, each with its place."""
    listed = error.members.get("faults") or error.members.get("missing") or ()
    if not isinstance(listed, tuple):
        return []
    return [
        (one.get("where", ""), one.get("says", "")) for one in listed if isinstance(one, Mapping)
    ]


def _plain(kind: type) -> dict[str, Plain]:
    """The fields of the form that are members of a record, each in the record's own type."""
    hints = get_type_hints(kind, include_extras=True)
    return {
        item.name: _member(hints[item.name], request.form.getlist(item.name))
        for item in fields(kind)
        if item.name in request.form
    }


def _member(hint: object, typed: list[str]) -> Plain:
    hint = _bare(hint)
    if get_origin(hint) is tuple:
        return [word for text in typed for word in _BETWEEN.split(text) if word]
    text = typed[-1].strip()
    if hint is bool:
        return "yes" in typed
    if not text:
        return None
    if hint is int:
        # What is no number goes on as it is, and the record says what it should have been.
        return int(text) if _WHOLE.fullmatch(text) else text
    return text


def _bare(hint: Any) -> Any:
    if get_origin(hint) is Annotated:
        return _bare(get_args(hint)[0])
    if get_origin(hint) in (Union, types.UnionType):
        return _bare(next(one for one in get_args(hint) if one is not type(None)))
    return hint


def done(to: str) -> AnyResponse:
    """Go on to a page that says that it was kept."""
    return redirect(f"{to}{'&' if '?' in to else '?'}kept=1", 303)
