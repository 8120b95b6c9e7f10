"""The symbol on a tag, held against the standard's figures and other readers and encoders."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
import segno
import zxingcpp
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from labels.symbol import (
    ALPHANUMERIC,
    LARGEST_VERSION,
    Correction,
    Matrix,
    PayloadFault,
    QrSymbol,
    capacity,
    symbol,
)

PUBLISHED = Path(__file__).parents[1] / "published"
PAYLOADS = st.text(alphabet=sorted(ALPHANUMERIC), min_size=1, max_size=47)

# Which modules a mask turns over, by its number (i row, j column), after ISO/IEC 18004.
# Written here from memory; a wrong one would not give the expected bits below.
MASKS = (
    lambda i, j: (i + j) % 2 == 0,
    lambda i, j: i % 2 == 0,
    lambda i, j: j % 3 == 0,
    lambda i, j: (i + j) % 3 == 0,
    lambda i, j: (i // 2 + j // 3) % 2 == 0,
    lambda i, j: (i * j) % 2 + (i * j) % 3 == 0,
    lambda i, j: ((i * j) % 2 + (i * j) % 3) % 2 == 0,
    lambda i, j: ((i + j) % 2 + (i * j) % 3) % 2 == 0,
)


def known_capacities() -> list[tuple[int, Correction, int, int]]:
    """Version, correction, modules a side and alphanumeric characters.

    Capacities after ISO/IEC 18004:2015, computed from the block tables of qrcode 8.2 and
    confirmed cell by cell with segno 1.6.6; 17 + 4 x version modules a side.
    """
    with (PUBLISHED / "qr_capacity.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    return [
        (
            int(row["version"]),
            Correction(row["ec_level"]),
            int(row["modules_per_side"]),
            int(row["alphanumeric_chars"]),
        )
        for row in rows
        if int(row["version"]) <= LARGEST_VERSION
    ]


def first_bits(matrix: Matrix, mask: int, count: int) -> str:
    """The first data bits of a version 1 symbol, read from the bottom right corner upwards.

    Two columns at a time, right one first, after ISO/IEC 18004 (from memory). Enough for the
    96 bits in the four pairs of columns below the upper right finder pattern.
    """
    bits = []
    for pair, upwards in zip(range(20, 12, -2), (True, False) * 2, strict=True):
        rows = range(20, 8, -1) if upwards else range(9, 21)
        for i in rows:
            bits += [matrix[i][j] != MASKS[mask](i, j) for j in (pair, pair - 1)]
    return "".join("1" if bit else "0" for bit in bits[:count])


def data_bits(payload: str) -> int:
    """Mode, count, characters and terminator, after ISO/IEC 18004 (from memory)."""
    pairs, single = divmod(len(payload), 2)
    return 4 + 9 + 11 * pairs + 6 * single + 4


def scanned(found: QrSymbol) -> zxingcpp.Barcode:
    side = found.modules + 8
    image = Image.new("L", (side, side), 255)
    for i, row in enumerate(found.matrix):
        for j, dark in enumerate(row):
            image.putpixel((j + 4, i + 4), 0 if dark else 255)
    large = image.resize((side * 4, side * 4), Image.Resampling.NEAREST)
    (code,) = zxingcpp.read_barcodes(large, formats=zxingcpp.BarcodeFormat.QRCode)
    return code


@pytest.mark.parametrize(("version", "level", "side", "most"), known_capacities())
def test_a_symbol_holds_as_much_as_the_standard_says(
    version: int, level: Correction, side: int, most: int
) -> None:
    full = symbol("A" * most, level)

    assert capacity(version, level) == most
    assert (full.version, full.modules) == (version, side)


@pytest.mark.parametrize(("version", "level", "side", "most"), known_capacities())
def test_one_character_more_needs_the_next_size(
    version: int, level: Correction, side: int, most: int
) -> None:
    if version == LARGEST_VERSION:
        with pytest.raises(PayloadFault, match=f"holds {most}"):
            symbol("A" * (most + 1), level)
    else:
        assert symbol("A" * (most + 1), level).version == version + 1


@pytest.mark.parametrize(("version", "level", "side", "most"), known_capacities())
def test_a_second_encoder_knows_the_same_capacities(
    version: int, level: Correction, side: int, most: int
) -> None:
    def second(characters: int) -> segno.QRCode:
        return segno.make_qr(
            "A" * characters,
            version=version,
            error=level.value,
            mode="alphanumeric",
            boost_error=False,
        )

    assert second(most).symbol_size(border=0) == (side, side)
    with pytest.raises(segno.DataOverflowError):
        second(most + 1)


def test_the_worked_bits_of_ac_42_stand_in_the_symbol() -> None:
    # The worked example of ISO/IEC 18004, from memory and worked out again by hand: mode, count,
    # two pairs (45 a + b), the single last one.
    worked = "0010" + "000000101" + "00111001110" + "11100111001" + "000010"

    found = symbol("AC-42")

    assert first_bits(found.matrix, found.mask, len(worked)) == worked


def test_a_bare_code_takes_the_smallest_symbol_with_the_most_correction() -> None:
    found = symbol("K7M2X9QD")

    assert (found.version, found.correction) == (1, Correction.H)


@settings(deadline=None, max_examples=60)
@given(PAYLOADS)
def test_every_symbol_is_read_back_as_its_payload(payload: str) -> None:
    found = symbol(payload)

    code = scanned(found)

    assert (code.text, code.ec_level) == (payload, found.correction.value)


def test_room_left_over_is_filled_with_the_two_pad_bytes_in_turn() -> None:
    # 11101100 and 00010001, after ISO/IEC 18004 (from memory). Seven characters and their
    # terminator end on a whole byte, so that no bits of zero come between.
    found = symbol("K7M2X9Q")

    assert first_bits(found.matrix, found.mask, 72)[56:] == "11101100" + "00010001"


@settings(deadline=None, max_examples=100)
@given(PAYLOADS.filter(lambda payload: data_bits(payload) % 8 != 0))
def test_another_encoder_draws_the_same_modules(payload: str) -> None:
    # Payloads that end on a whole byte are left out: segno 1.6.6 adds a byte of zeros there.
    # The mask is given: encoders read the standard's penalty rules for choosing it differently.
    ours = symbol(payload)

    other = segno.make_qr(
        payload,
        version=ours.version,
        error=ours.correction.value,
        mode="alphanumeric",
        mask=ours.mask,
        boost_error=False,
    )

    assert tuple(tuple(bool(m) for m in row) for row in other.matrix) == ours.matrix


@pytest.mark.parametrize("payload", ["k7m2x9qd", "K7M2_X9QD", "ÄB", "K7\n"])
def test_a_character_outside_the_45_is_refused_and_named(payload: str) -> None:
    with pytest.raises(PayloadFault, match="capitals, digits"):
        symbol(payload)


def test_an_empty_payload_is_refused() -> None:
    with pytest.raises(PayloadFault, match="empty"):
        symbol("")
