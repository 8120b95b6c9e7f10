"""From a code to the black and white modules that a scanner reads.

Nothing here knows how large a module is or where it is printed. The symbols are QR Codes of
ISO/IEC 18004 in alphanumeric mode only: with capitals a tag's code fits the smallest symbol, and
small letters would cost a larger one for nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from typing import Final, TypeAlias

import qrcode
from qrcode import constants
from qrcode.util import MODE_ALPHA_NUM, QRData

Matrix: TypeAlias = tuple[tuple[bool, ...], ...]

ALPHANUMERIC: Final = frozenset("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:")
"""The 45 characters of the alphanumeric mode (ISO/IEC 18004)."""

QUIET_MODULES: Final = 4
"""Blank modules that belong to a symbol on each of its sides (ISO/IEC 18004)."""

LARGEST_VERSION: Final = 3
"""A larger symbol would leave no room for words on the labels we print."""


class PayloadFault(ValueError):
    """What was to go into the symbol cannot: a wrong character, nothing, or too much."""


class Correction(StrEnum):
    """How much of a symbol may be dirty or torn: about 7, 15, 25 or 30 per cent."""

    L = "L"
    M = "M"
    Q = "Q"
    H = "H"


_FROM_LEAST = (Correction.L, Correction.M, Correction.Q, Correction.H)

_ALPHANUMERIC_CAPACITY: Final[dict[Correction, tuple[int, ...]]] = {
    # Characters that fit versions 1 to 3 (ISO/IEC 18004); tests hold them to a second encoder.
    Correction.L: (25, 47, 77),
    Correction.M: (20, 38, 61),
    Correction.Q: (16, 29, 47),
    Correction.H: (10, 20, 35),
}

_LIBRARY_LEVEL: Final[dict[Correction, int]] = {
    Correction.L: constants.ERROR_CORRECT_L,
    Correction.M: constants.ERROR_CORRECT_M,
    Correction.Q: constants.ERROR_CORRECT_Q,
    Correction.H: constants.ERROR_CORRECT_H,
}


@dataclass(frozen=True, slots=True)
class QrSymbol:
    """One symbol as it stands on a tag, without its quiet zone; True is a dark module."""

    payload: str
    matrix: Matrix
    version: int
    correction: Correction
    mask: int

    @property
    def modules(self) -> int:
        """Modules along one side, without the quiet zone."""
        return len(self.matrix)


def capacity(version: int, correction: Correction) -> int:
    """Alphanumeric characters that a symbol of `version` (1 to 3) holds."""
    return _ALPHANUMERIC_CAPACITY[correction][version - 1]


@lru_cache(maxsize=4096)
def symbol(payload: str, least: Correction = Correction.Q) -> QrSymbol:
    """The smallest symbol that holds the payload with at least the asked-for correction.

    Where the same size holds more correction it is taken: dirt is sure, room is free. Raises
    PayloadFault for an empty or too long payload and for a character outside the 45.
    """
    _checked(payload)
    version = _smallest_version(payload, least)
    correction = _most_correction(payload, version)
    return _encoded(payload, version, correction)


def _checked(payload: str) -> None:
    if not payload:
        raise PayloadFault("A tag's symbol needs a payload: it is empty.")
    strange = sorted(set(payload) - ALPHANUMERIC)
    if strange:
        raise PayloadFault(
            f"The payload may hold capitals, digits, space and $%*+-./: only; it holds {strange}."
        )


def _smallest_version(payload: str, least: Correction) -> int:
    for version in range(1, LARGEST_VERSION + 1):
        if len(payload) <= capacity(version, least):
            return version
    raise PayloadFault(
        f"The payload has {len(payload)} characters; a tag's symbol holds "
        f"{capacity(LARGEST_VERSION, least)}. Use a shorter address."
    )


def _most_correction(payload: str, version: int) -> Correction:
    return max(
        (level for level in Correction if len(payload) <= capacity(version, level)),
        key=_FROM_LEAST.index,
    )


def _encoded(payload: str, version: int, correction: Correction) -> QrSymbol:
    code = qrcode.QRCode(version=version, error_correction=_LIBRARY_LEVEL[correction], border=0)
    # One alphanumeric segment, said outright: left to itself the library splits a long payload
    # into bytes and digits, which needs a larger symbol, and sets a code of digits as a number.
    code.add_data(QRData(payload.encode("ascii"), mode=MODE_ALPHA_NUM), optimize=0)
    code.mask_pattern = code.best_mask_pattern()
    code.make(fit=False)
    matrix = tuple(tuple(bool(module) for module in row) for row in code.modules)
    return QrSymbol(payload, matrix, version, correction, code.mask_pattern)
