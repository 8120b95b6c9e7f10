"""Version, mode, format bits and capacity against two encoders that share no code with ours.

segno 1.6.6 and the writer of zxing-cpp 3.1.1. Which mask is best the encoders answer differently,
and readers take any; where theirs is ours the whole symbols are compared.
"""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
import segno
import zxingcpp

from labels.symbol import Correction, Matrix, QrSymbol, capacity, symbol

CODE = "K7M2X9QD"
ADDRESS = f"HTTPS://PARTS.EXAMPLE/T/{CODE}"
VERSIONS = (1, 2, 3)

# ISO/IEC 18004, format information, from memory: two bits say the level, three the mask; ten of a
# BCH(15,5) code follow, and all are turned over by a fixed mask. The tests below hold it to what
# both encoders wrote.
LEVEL_BITS = {0b01: "L", 0b00: "M", 0b11: "Q", 0b10: "H"}
FORMAT_MASK = 0b101010000010010
FORMAT_GENERATOR = 0b10100110111


def format_places(side: int) -> tuple[list[tuple[int, int]], list[tuple[int, int]]]:
    """Where both copies of the fifteen bits stand (row, column), the first bit first."""
    along = [(8, j) for j in (0, 1, 2, 3, 4, 5, 7, 8)]
    about = [*along, (7, 8), *((i, 8) for i in (5, 4, 3, 2, 1, 0))]
    apart = [*((side - 1 - k, 8) for k in range(7)), *((8, side - 8 + k) for k in range(8))]
    return about, apart


def format_bits(matrix: Matrix) -> int:
    """The fifteen bits as they stand there, the same in both copies."""
    copies = {
        int("".join("1" if matrix[i][j] else "0" for i, j in places), 2)
        for places in format_places(len(matrix))
    }
    (bits,) = copies
    return bits


def bch(data: int) -> int:
    """Five bits and their ten check bits, by long division."""
    rest = data << 10
    for shift in range(4, -1, -1):
        if rest >> (shift + 10) & 1:
            rest ^= FORMAT_GENERATOR << shift
    return data << 10 | rest


def level_and_mask(matrix: Matrix) -> tuple[str, int]:
    """What the format bits say; they must be a word of the code."""
    bits = format_bits(matrix) ^ FORMAT_MASK
    data = bits >> 10
    assert bits == bch(data)
    return LEVEL_BITS[data >> 3], data & 0b111


def by_segno(payload: str, level: Correction, **wanted: int) -> Matrix:
    drawn = segno.make_qr(
        payload, error=level.value, mode="alphanumeric", boost_error=False, **wanted
    )
    return tuple(tuple(bool(module) for module in row) for row in drawn.matrix)


def by_zxing(payload: str, level: Correction) -> Matrix:
    drawn = zxingcpp.create_barcode(payload, zxingcpp.BarcodeFormat.QRCode, ec_level=level.value)
    dots = np.array(zxingcpp.write_barcode_to_image(drawn, scale=1, add_quiet_zones=False))
    return tuple(tuple(bool(dot == 0) for dot in row) for row in dots)


def mode_indicator(found: QrSymbol) -> int:
    """The first four data bits: the lower right corner, without the mask's turning over."""
    side = found.modules
    turned = {
        0: lambda i, j: (i + j) % 2, 1: lambda i, j: i % 2, 2: lambda i, j: j % 3,
        3: lambda i, j: (i + j) % 3, 4: lambda i, j: (i // 2 + j // 3) % 2,
        5: lambda i, j: (i * j) % 2 + (i * j) % 3, 6: lambda i, j: ((i * j) % 2 + (i * j) % 3) % 2,
        7: lambda i, j: ((i + j) % 2 + (i * j) % 3) % 2,
    }[found.mask]  # fmt: skip
    places = [(side - 1 - k // 2, side - 1 - k % 2) for k in range(4)]
    bits = (found.matrix[i][j] != (turned(i, j) == 0) for i, j in places)
    return int("".join("1" if bit else "0" for bit in bits), 2)


def payloads() -> list[tuple[str, Correction]]:
    """At each level the bare code, an address where it fits, and both sides of each edge."""
    found = []
    for level in Correction:
        edges = [capacity(version, level) + more for version in VERSIONS for more in (0, 1)]
        lengths = [1, 2, 5, *edges[:-1]]
        texts = [CODE, ADDRESS, *((ADDRESS * 3)[:length] for length in lengths)]
        found += [(text, level) for text in texts if len(text) <= capacity(3, level)]
    return found


@pytest.mark.parametrize(("payload", "least"), payloads())
def test_version_level_mask_and_mode_are_as_two_encoders_write_them(
    payload: str, least: Correction
) -> None:
    ours = symbol(payload, least)
    segnos, zxings = by_segno(payload, ours.correction), by_zxing(payload, ours.correction)

    assert level_and_mask(ours.matrix) == (ours.correction.value, ours.mask)
    assert mode_indicator(ours) == 0b0010
    assert len(segnos) == len(zxings) == ours.modules == 17 + 4 * ours.version
    assert level_and_mask(segnos)[0] == level_and_mask(zxings)[0] == ours.correction.value
    for other in (segnos, zxings):
        if level_and_mask(other)[1] == ours.mask:
            assert format_bits(other) == format_bits(ours.matrix)


@pytest.mark.parametrize("mask", range(8))
@pytest.mark.parametrize("level", Correction)
def test_all_format_bits_are_words_of_the_standards_code(level: Correction, mask: int) -> None:
    other = by_segno(CODE, level, version=2, mask=mask)

    assert level_and_mask(other) == (level.value, mask)


def test_where_the_masks_agree_the_whole_symbols_are_the_same() -> None:
    agreeing = 0
    for first, second in product("ACDEFGHJKMNPQRTUVWXY", repeat=2):
        # Without runs of digits: zxing-cpp would write those as a number, in a segment of its own.
        payload = f"HTTPS://PARTS.EXAMPLE/T/K{first}M{second}X{second}Q{first}"
        ours = symbol(payload)
        other = by_zxing(payload, ours.correction)
        if level_and_mask(other)[1] == ours.mask:
            agreeing += 1
            assert other == ours.matrix

    assert agreeing > 40


@pytest.mark.parametrize("level", Correction)
@pytest.mark.parametrize("version", VERSIONS)
def test_one_character_more_is_the_next_version_for_two_encoders(
    version: int, level: Correction
) -> None:
    most = capacity(version, level)

    for encoder in (by_segno, by_zxing):
        sides = [len(encoder("A" * length, level)) for length in (most, most + 1)]
        assert sides == [17 + 4 * version, 17 + 4 * (version + 1)]
