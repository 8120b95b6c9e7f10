"""Catalogues and procedures from files: looked at first, then taken in whole or not at all.

Between the two the file travels with the page: nothing is put aside on the service, and what is
taken in is to the byte what was looked at.
"""

from __future__ import annotations

import binascii
from base64 import urlsafe_b64decode, urlsafe_b64encode

from flask import Response, request

from partsvc.domain.text_file import MOST_BYTES
from partsvc.errors import BadFile, Invalid
from partsvc.pages.lead.forms import Form
from partsvc.pages.lead.who import KEEPERS, LEAD
from partsvc.pages.render import shown
from partsvc.pages.room import PageRoom
from partsvc.web.running import sender, service
from partsvc.work import files
from partsvc.work.files import Kind, Preview, TakenIn

room = PageRoom("lead-imports", __name__)

# Base64 is a third longer; the rest is room for the other fields.
_MOST_OF_A_FORM = MOST_BYTES * 3 // 2


@room.page("/lead/parts/import", roles=KEEPERS, methods=("GET", "POST"))
def import_catalogue() -> Response:
    """Take in a catalogue."""
    return _import(Kind.CATALOGUE)


@room.page("/lead/procedures/import", roles=LEAD, methods=("GET", "POST"))
def import_procedure() -> Response:
    """Take in a procedure."""
    return _import(Kind.PROCEDURE)


def _import(kind: Kind) -> Response:
    request.max_form_memory_size = _MOST_OF_A_FORM
    form = Form()
    if not form.sent:
        return _page(kind, form)
    name, data, held = "", b"", bool(request.form.get("held"))
    with form.judged():
        name, data = _held() if held else _chosen()
        if held:
            return _page(kind, form, taken=files.take_in(service(), sender(), kind, name, data))
    if not data:
        return _page(kind, form)
    # Where taking it in failed, the file is looked at anew: the faults stand in their table.
    return _page(kind, form, seen=files.preview(service(), kind, name, data), file=(name, data))


def _chosen() -> tuple[str, bytes]:
    """The file that was just chosen."""
    chosen = request.files.get("file")
    data = chosen.read() if chosen else b""
    if chosen is None or not chosen.filename:
        raise Invalid("Choose a file.", field="file")
    if not data:
        raise Invalid("The file is empty.", field="file")
    return chosen.filename, data


def _held() -> tuple[str, bytes]:
    """The file that was looked at, as it travelled with the page."""
    try:
        return request.form.get("name", ""), urlsafe_b64decode(request.form.get("held", ""))
    except (binascii.Error, ValueError) as odd:
        raise BadFile("The file did not come whole with the page. Choose it once more.") from odd


def _page(
    kind: Kind,
    form: Form,
    *,
    seen: Preview | None = None,
    file: tuple[str, bytes] = ("", b""),
    taken: TakenIn | None = None,
) -> Response:
    faulty = seen is not None and bool(seen.faults)
    return shown(
        "lead_import.html",
        kind=kind,
        form=form,
        seen=seen,
        name=file[0],
        held="" if faulty else urlsafe_b64encode(file[1]).decode(),
        taken=taken,
        status=max(form.status, 422 if faulty else 200),
    )
