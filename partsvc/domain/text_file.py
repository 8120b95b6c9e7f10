"""Files as people send them: bytes to text or plain data, or a sentence on what is in the way."""

from __future__ import annotations

import json
import unicodedata
from collections.abc import Iterable
from enum import StrEnum

from partsvc.domain.canonical import Json, NotCanonical, normalised, parse_strict
from partsvc.domain.records import Fault, Faulty, Plain

MOST_BYTES = 5_000_000

_UTF_16 = (b"\xff\xfe", b"\xfe\xff")


class Form(StrEnum):
    """The two forms in which a catalogue or a procedure comes and goes."""

    CSV = "csv"
    JSON = "json"


def form_of(name: str, data: bytes) -> Form:
    """The form of a file by its name; by its first character when the name says nothing."""
    ending = name.casefold().rpartition(".")[2]
    if ending in ("csv", "tsv", "txt"):
        return Form.CSV
    if ending == "json":
        return Form.JSON
    start = data.removeprefix(b"\xef\xbb\xbf").lstrip()[:1]
    return Form.JSON if start in (b"{", b"[") else Form.CSV


def decoded(data: bytes) -> str:
    """The text of a file in UTF-8, in Unicode form NFC; a byte order mark is tolerated.

    Raises `Faulty` for a file that is empty, of more than MOST_BYTES, or not UTF-8.
    """
    if len(data) > MOST_BYTES:
        raise whole_file(f"has {len(data)} bytes; at most {MOST_BYTES} are taken, so split it")
    if data.startswith(_UTF_16):
        raise whole_file("is UTF-16; save it as UTF-8")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as odd:
        line = data.count(b"\n", 0, odd.start) + 1
        says = "is not UTF-8; save the file as UTF-8"
        raise Faulty((Fault(f"line {line}", says),)) from odd
    if not text.strip():
        raise whole_file("is empty")
    if "\0" in text:
        line = text.count("\n", 0, text.index("\0")) + 1
        raise Faulty((Fault(f"line {line}", "contains the character U+0000, which is no text"),))
    return unicodedata.normalize("NFC", text)


def whole_file(says: str) -> Faulty:
    """What is wrong with a file as a whole."""
    return Faulty((Fault("the file", says),))


def refuse(faults: Iterable[Fault]) -> None:
    """Raise `Faulty` if there is any fault."""
    if found := tuple(faults):
        raise Faulty(found)


def read_json(data: bytes) -> Json:
    """The plain data of a JSON file. Raises `Faulty` for what two readers might differ on."""
    try:
        return normalised(parse_strict(decoded(data)))
    except NotCanonical as odd:
        where = odd.path.removeprefix("$").removeprefix(".") or "the file"
        raise Faulty((Fault(where, odd.reason),)) from odd


def without_format(document: Json, expected: str) -> Json:
    """The document without its `format`, which may be left out but must be the right one."""
    if not isinstance(document, dict) or "format" not in document:
        return document
    if document["format"] != expected:
        raise Faulty((Fault("format", f"must be {expected}"),))
    return {name: value for name, value in document.items() if name != "format"}


def write_json(document: Plain) -> bytes:
    """A document as a person may read and edit it."""
    return (json.dumps(document, ensure_ascii=False, indent=1) + "\n").encode()
