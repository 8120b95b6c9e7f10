"""The catalogue: looked through, added to, changed, given out as a file."""

from __future__ import annotations

from collections.abc import Mapping
from urllib.parse import quote

from flask import Response, request
from werkzeug.wrappers import Response as AnyResponse

from partsvc.domain.cells import Cell, read_cell, write_cell
from partsvc.domain.parts import Part, PartKind, SpentAt
from partsvc.domain.records import Plain, encode
from partsvc.pages.lead.forms import Form, Values, done
from partsvc.pages.lead.terms import SPENT_WORDS, as_they_stand, in_words
from partsvc.pages.lead.who import KEEPERS
from partsvc.pages.render import shown
from partsvc.pages.room import PageRoom
from partsvc.web.running import service
from partsvc.work import catalogue, files
from partsvc.work.catalogue import PartsSought
from partsvc.work.files import Kind

room = PageRoom("lead-parts", __name__)

MEDIA = {"csv": "text/csv; charset=utf-8", "json": "application/json"}


@room.page("/lead/parts", roles=KEEPERS)
def all_parts() -> Response:
    """The catalogue, looked through by words, in pages."""
    words = request.args.get("words", "")[:120]
    sought = PartsSought(words=words, after=request.args.get("after", "")[:80])
    found = catalogue.search(service(), sought)
    return shown("lead_parts.html", found=found, words=words, spent_words=SPENT_WORDS)


@room.page("/lead/parts/new", roles=KEEPERS, methods=("GET", "POST"))
def new_part() -> AnyResponse:
    """Add a part."""
    form = Form(now={"kind": PartKind.OTHER, "spent_at": SpentAt.NEVER, "pack_size": "1"})
    if form.sent:
        with form.judged():
            given = _read(form)
            with service().database.writing() as db:
                catalogue.add(service(), db, given)
            return done(f"/lead/parts?words={quote(given.number)}")
    return _part_page(form, number="")


@room.page("/lead/parts/of/<path:number>", roles=KEEPERS, methods=("GET", "POST"))
def one_part(number: str) -> AnyResponse:
    """A part, and what is odd about it."""
    with service().database.reading() as db:
        found = catalogue.part(service(), db, number)
    form = Form(now=_typed(found.part))
    if form.sent:
        with form.judged():
            given = _read(form, number=number)
            with service().database.writing() as db:
                form.same(_typed(catalogue.part(service(), db, number).part))
                catalogue.put(service(), db, given)
            return done(f"/lead/parts/of/{quote(number)}")
    return _part_page(form, number=number, remarks=found.remarks)


@room.page("/lead/parts/export", roles=KEEPERS)
def export() -> Response:
    """The whole catalogue as a file that can be taken in again."""
    return given_out(Kind.CATALOGUE, "", "catalogue")


def given_out(kind: Kind, key: str, name: str, *, revision: int | None = None) -> Response:
    """A file to keep, in the form that is asked for."""
    form = request.args.get("form", "csv")
    data = files.give_out(service(), kind, key, form, revision=revision)
    answer = Response(data, content_type=MEDIA[form])
    answer.headers["Content-Disposition"] = f'attachment; filename="{name}.{form}"'
    answer.headers["Cache-Control"] = "no-store"
    return answer


def _part_page(form: Form, *, number: str, remarks: tuple[str, ...] = ()) -> Response:
    return shown(
        "lead_part.html",
        form=form,
        number=number,
        remarks=remarks,
        kinds=as_they_stand(PartKind),
        spent=in_words(SPENT_WORDS),
        status=form.status,
    )


def _read(form: Form, **more: Plain) -> Part:
    # What a kit holds is typed as in a table: 4 x KF-1302; KF-2010.
    held = form.value("contents").replace("\n", ";").strip()
    contents = read_cell(Cell.CONTENTS, held, comma_is_decimal=False) if held else []
    return form.read(Part, contents=contents, **more)


def _typed(part: Part) -> Values:
    plain = encode(part)
    assert isinstance(plain, Mapping)
    usual = {"kind": PartKind.OTHER, "spent_at": SpentAt.NEVER, "pack_size": "1"}
    return {**usual, **{name: write_cell(value) for name, value in plain.items()}}
