"""The messages of the Internet Printing Protocol as bytes, both ways (RFC 8010, section 3).

Only what a client needs: integers, enumerations, booleans and text are read as such, every other
kind of value is kept as its bytes, so that no printer's answer is thrown away for being rich.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import IntEnum

VERSION = (2, 0)
LONGEST_VALUE = 0x7FFF

Value = int | bool | str | bytes


class Part(IntEnum):
    """The delimiter tags that begin a group of attributes, and the one that ends them all."""

    OPERATION = 0x01
    JOB = 0x02
    END = 0x03
    PRINTER = 0x04
    UNSUPPORTED = 0x05


class Kind(IntEnum):
    """The value tags that this client writes or reads as such (RFC 8010, section 3.5.2)."""

    INTEGER = 0x21
    BOOLEAN = 0x22
    ENUM = 0x23
    TEXT = 0x41
    NAME = 0x42
    KEYWORD = 0x44
    URI = 0x45
    CHARSET = 0x47
    LANGUAGE = 0x48
    MIME_TYPE = 0x49


_FIRST_DELIMITER_TAG, _LAST_DELIMITER_TAG = 0x00, 0x0F
_NUMBERS = (Kind.INTEGER, Kind.ENUM)
_TEXTS = frozenset(range(0x40, 0x60))
_WITH_LANGUAGE = (0x35, 0x36)


class BadMessage(ValueError):
    """The bytes are no IPP message."""


@dataclass(frozen=True, slots=True)
class Attribute:
    """One attribute with its values, all of one kind."""

    name: str
    kind: int
    values: tuple[Value, ...]


@dataclass(frozen=True, slots=True)
class Group:
    """Attributes about one thing: the operation, a job or the printer."""

    part: int
    attributes: tuple[Attribute, ...]

    def values(self, name: str) -> tuple[Value, ...]:
        """The values of an attribute; none if it is not there."""
        return next((one.values for one in self.attributes if one.name == name), ())


@dataclass(frozen=True, slots=True)
class Message:
    """A request or an answer: `code` is the operation or the status."""

    code: int
    request_id: int
    groups: tuple[Group, ...]
    version: tuple[int, int] = VERSION

    def group(self, part: int) -> Group:
        """The first group of a kind; empty if there is none."""
        return next((one for one in self.groups if one.part == part), Group(part, ()))


def encoded(message: Message) -> bytes:
    """The bytes of a message, without the document that may follow it."""
    head = struct.pack(">BBHI", *message.version, message.code, message.request_id)
    return head + b"".join(map(_group, message.groups)) + bytes((Part.END,))


def _group(group: Group) -> bytes:
    return bytes((group.part,)) + b"".join(map(_attribute, group.attributes))


def _attribute(attribute: Attribute) -> bytes:
    if not attribute.values:
        raise BadMessage(f"{attribute.name} has no value.")
    name = attribute.name.encode("ascii")
    names = [name, *[b""] * (len(attribute.values) - 1)]
    return b"".join(
        struct.pack(">BH", attribute.kind, len(one)) + one + _sized(_value(attribute.kind, value))
        for one, value in zip(names, attribute.values, strict=True)
    )


def _sized(value: bytes) -> bytes:
    if len(value) > LONGEST_VALUE:
        raise BadMessage("A value is too long for a message.")
    return struct.pack(">H", len(value)) + value


def _value(kind: int, value: Value) -> bytes:
    if isinstance(value, bytes):
        return value
    if isinstance(value, str):
        return value.encode("utf-8")
    return struct.pack(">?", value) if kind == Kind.BOOLEAN else struct.pack(">i", value)


def decoded(data: bytes) -> Message:
    """The message that the bytes begin with. Raises BadMessage."""
    try:
        major, minor, code, request_id = struct.unpack_from(">BBHI", data)
        return Message(code, request_id, tuple(_groups(data)), (major, minor))
    except (struct.error, UnicodeDecodeError, IndexError) as broken:
        raise BadMessage("The printer's answer breaks off or is no IPP message.") from broken


def _groups(data: bytes) -> Iterator[Group]:
    at, part = 8, -1
    attributes: list[Attribute] = []
    while True:
        tag = data[at]
        if _FIRST_DELIMITER_TAG <= tag <= _LAST_DELIMITER_TAG:
            if part >= 0:
                yield Group(part, tuple(attributes))
            if tag == Part.END:
                return
            part, attributes, at = tag, [], at + 1
        elif part < 0:
            raise BadMessage("The printer's answer begins with a value, not with a group.")
        else:
            at = _take_value(data, at, attributes)


def _take_value(data: bytes, at: int, attributes: list[Attribute]) -> int:
    kind = data[at]
    name, at = _slice(data, at + 1)
    raw, at = _slice(data, at)
    value = _read_value(kind, raw)
    if name:
        attributes.append(Attribute(name.decode("ascii"), kind, (value,)))
    elif attributes:
        last = attributes[-1]
        attributes[-1] = Attribute(last.name, last.kind, (*last.values, value))
    else:
        raise BadMessage("The printer's answer has a value that belongs to no attribute.")
    return at


def _slice(data: bytes, at: int) -> tuple[bytes, int]:
    (length,) = struct.unpack_from(">H", data, at)
    end = at + 2 + length
    if end > len(data):
        raise BadMessage("The printer's answer breaks off in a value.")
    return data[at + 2 : end], end


def _read_value(kind: int, raw: bytes) -> Value:
    if kind in _NUMBERS and len(raw) == 4:
        return int(struct.unpack(">i", raw)[0])
    if kind == Kind.BOOLEAN and len(raw) == 1:
        return bool(raw[0])
    if kind in _TEXTS:
        return raw.decode("utf-8", errors="replace")
    if kind in _WITH_LANGUAGE:
        # A language, then the text itself, each with its length before it.
        (skipped,) = struct.unpack_from(">H", raw)
        text, _ = _slice(raw, 2 + skipped)
        return text.decode("utf-8", errors="replace")
    return raw


def words(values: Sequence[Value]) -> tuple[str, ...]:
    """Values as text, those that are none left out."""
    return tuple(value for value in values if isinstance(value, str))


def number(values: Sequence[Value], default: int = 0) -> int:
    """The first value as a number."""
    return next((int(value) for value in values if isinstance(value, int)), default)
