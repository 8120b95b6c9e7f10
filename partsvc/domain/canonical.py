"""One text for one record, so that its hash means something for ever.

RFC 8785 canonical JSON, restricted to what every program reads alike: objects with ASCII names,
strings in Unicode form NFC, whole numbers below 2**53, true and false, lists. Decimal readings
are strings with their unit, as the tool showed them; a member that is absent is left out, never
null. What cannot be written like that is refused at the door, naming the place.
"""

import hashlib
import json
import re
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal, DecimalException
from typing import Final, TypeAlias

#: What a record is made of; None stands for a member that is left out.
Json: TypeAlias = "bool | int | str | Sequence[Json] | Mapping[str, Json] | None"

#: Whole numbers must lie strictly between -LARGEST and LARGEST: beyond, some readers round.
LARGEST: Final = 2**53
DEEPEST: Final = 32
#: The "previous" hash of the first act of a chain.
CHAIN_START: Final = "0" * 64

_CHAIN_PREFIX: Final = b"partsvc act 1\n"
_HASH: Final = re.compile(r"[0-9a-f]{64}")
_PLAIN_NAME: Final = re.compile(r"[A-Za-z_][A-Za-z0-9_]*")
_SURROGATE: Final = re.compile("[\ud800-\udfff]")

_TOO_DEEP: Final = f"objects and lists lie more than {DEEPEST} deep in one another"
_NULL: Final = "null is not used; leave the member out"
_TOO_LARGE: Final = f"the number is too large; at most {LARGEST - 1} is exact everywhere"
_FRACTION: Final = (
    'only whole numbers are taken; send a decimal reading as text with its unit, as in "24.5 N·m"'
)


class NotCanonical(ValueError):
    """This value has no single canonical text; `path` says where ($ is the whole), `reason` why."""

    def __init__(self, path: str, reason: str) -> None:
        super().__init__(f"{path}: {reason}")
        self.path = path
        self.reason = reason


def canonical_text(value: Json) -> str:
    """The one text this record is hashed and stored as. NotCanonical if it has none.

    Members that are None are left out; None anywhere else is refused.
    """
    # Names are ASCII and numbers small integers: in that set sorting by code point and Python's
    # own way of writing strings and integers are those of RFC 8785.
    return json.dumps(_fit(value, "$"), ensure_ascii=False, separators=(",", ":"), sort_keys=True)


def parse_strict(text: str) -> Json:
    """The value of a text sent from outside. NotCanonical for anything two readers might differ on.

    Refused: a name twice in one object, null, NaN, numbers with a fraction (3.0 is 3), numbers
    too large, half characters, U+0000, names beyond ASCII. Strings may still be in another form
    than NFC: `normalised` mends that.
    """
    try:
        read: object = json.loads(
            text,
            object_pairs_hook=_Members,
            parse_int=_Number,
            parse_float=_Number,
            parse_constant=_Number,
        )
    except json.JSONDecodeError as error:
        where = f"line {error.lineno}, column {error.colno}"
        raise NotCanonical("$", f"this is not JSON ({where}: {error.msg})") from error
    except RecursionError as error:
        raise NotCanonical("$", _TOO_DEEP) from error
    return _taken(read, "$")


def normalised(value: Json) -> Json:
    """The same value with every string in Unicode form NFC: one spelling for one look."""
    if isinstance(value, str):
        return unicodedata.normalize("NFC", value)
    if isinstance(value, Mapping):
        return {name: normalised(member) for name, member in value.items()}
    if isinstance(value, Sequence):
        return [normalised(item) for item in value]
    return value


def chain_hash(previous: str, text: str) -> str:
    """The hash that ties an act's text to the act before it: 64 hexadecimal digits.

    `previous` is that act's hash, or CHAIN_START. ValueError when it is not a hash.
    """
    if not _HASH.fullmatch(previous):
        raise ValueError("the previous hash is 64 small hexadecimal digits")
    return hashlib.sha256(
        _CHAIN_PREFIX + previous.encode("ascii") + b"\n" + text.encode("utf-8")
    ).hexdigest()


class _Members(list[tuple[str, object]]):
    """An object as read, names in order and perhaps twice, until its place is known."""


class _Number(str):
    """A number as written, until its place is known."""

    __slots__ = ()


def _fit(value: object, path: str, depth: int = 0) -> object:
    """The value ready to be written, or NotCanonical with the path of what is in the way."""
    if depth > DEEPEST:
        raise NotCanonical(path, _TOO_DEEP)
    if isinstance(value, str):
        return _fit_string(value, path)
    if isinstance(value, int):
        return _fit_number(value, path)
    if isinstance(value, Mapping):
        present = [(name, member) for name, member in value.items() if member is not None]
        return {
            _fit_name(name, path): _fit(member, _member(path, name), depth + 1)
            for name, member in present
        }
    if isinstance(value, Sequence) and not isinstance(value, bytes | bytearray | memoryview):
        return [_fit(item, f"{path}[{at}]", depth + 1) for at, item in enumerate(value)]
    raise NotCanonical(path, _NULL if value is None else _not_taken(value))


def _fit_string(value: str, path: str) -> str:
    _sound(value, path)
    if not unicodedata.is_normalized("NFC", value):
        raise NotCanonical(path, "the text is not in Unicode form NFC")
    return value


def _fit_number(value: int, path: str) -> int:
    if not -LARGEST < value < LARGEST:
        raise NotCanonical(path, _TOO_LARGE)
    return value


def _fit_name(name: object, path: str) -> str:
    if not isinstance(name, str) or not name.isascii() or "\0" in name:
        raise NotCanonical(path, f"the name {name!r} is not plain ASCII")
    return name


def _sound(value: str, path: str) -> None:
    if "\0" in value:
        raise NotCanonical(path, "the text contains the character U+0000")
    if _SURROGATE.search(value):
        raise NotCanonical(path, "the text contains half of a surrogate pair")


def _not_taken(value: object) -> str:
    if isinstance(value, float | Decimal):
        return _FRACTION
    return f"a {type(value).__name__} has no place in a record"


def _taken(read: object, path: str, depth: int = 0) -> Json:
    """What was read, checked and in plain Python; the mirror image of `_fit`."""
    if depth > DEEPEST:
        raise NotCanonical(path, _TOO_DEEP)
    if isinstance(read, _Number):
        return _whole(read, path)
    if isinstance(read, str):
        _sound(read, path)
        return read
    if isinstance(read, bool):
        return read
    if isinstance(read, _Members):
        _each_once((name for name, _ in read), path)
        return {
            _fit_name(name, path): _taken(member, _member(path, name), depth + 1)
            for name, member in read
        }
    if isinstance(read, list):
        return [_taken(item, f"{path}[{at}]", depth + 1) for at, item in enumerate(read)]
    raise NotCanonical(path, _NULL)


def _each_once(names: Iterable[str], path: str) -> None:
    met: set[str] = set()
    for name in names:
        if name in met:
            raise NotCanonical(_member(path, name), "the name stands twice in one object")
        met.add(name)


def _whole(written: str, path: str) -> int:
    try:
        number = Decimal(written)
    except DecimalException as error:
        raise NotCanonical(path, _TOO_LARGE) from error
    if not number.is_finite():
        raise NotCanonical(path, f"{written} is not a number")
    if abs(number) >= LARGEST:
        raise NotCanonical(path, _TOO_LARGE)
    if number != (whole := number.to_integral_value()):
        raise NotCanonical(path, _FRACTION)
    return int(whole) if whole else 0


def _member(path: str, name: object) -> str:
    if isinstance(name, str) and _PLAIN_NAME.fullmatch(name):
        return f"{path}.{name}"
    return f"{path}[{name!a}]"
