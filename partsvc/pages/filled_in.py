"""A plain form as it was filled in: read into the record that a function of the work takes.

What is not an act (order notes, notices, tags to print) comes by such a form. When it cannot be
carried out, the page comes back with the reason and with all that was typed.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Collection
from dataclasses import fields
from typing import Any, TypeVar, cast

from flask import Response, redirect, request
from werkzeug.wrappers import Response as AnyResponse

from partsvc.domain.records import Faulty, Plain, decode
from partsvc.errors import Invalid, PartsvcError
from partsvc.web.running import service

T = TypeVar("T")
Again = Callable[..., Response]


def filled_in(
    kind: type[T],
    *,
    whole: Collection[str] = (),
    ticks: Collection[str] = (),
    many: Collection[str] = (),
) -> T:
    """The record of a form; `whole` are its numbers, `ticks` its boxes, `many` its lists."""
    given: dict[str, Plain] = {}
    for name in (one.name for one in fields(cast(Any, kind))):
        texts = [text.strip() for text in request.form.getlist(name) if text.strip()]
        if not texts:
            continue
        if name in ticks:
            given[name] = True
        elif name in many:
            given[name] = [_whole(name, text) if name in whole else text for text in texts]
        else:
            given[name] = _whole(name, texts[0]) if name in whole else texts[0]
    try:
        return decode(kind, given)
    except Faulty as odd:
        raise Invalid(f"{odd}.", field=odd.faults[0].where) from odd


def _whole(name: str, text: str) -> int:
    if not text.isascii() or not text.isdigit():
        raise Invalid(f"“{text}” is no whole number.", field=name)
    return int(text)


def carried_out(work: Callable[[sqlite3.Connection], str], again: Again) -> AnyResponse:
    """Do what a form asks for, and go where `work` says; else the page again with the reason."""
    try:
        with service().database.writing() as db:
            to = work(db)
    except PartsvcError as fault:
        return again(fault=fault.detail, status=422 if isinstance(fault, Invalid) else 409)
    return redirect(to, 303)
