"""Every drawn tag is read back by a reader, and what was drawn is measured."""

from __future__ import annotations

from io import BytesIO

import pytest
from PIL import Image
from tag_bench import (
    BAG,
    BLANK,
    FACES,
    NEW_PARTS,
    fonts_of_words,
    page_count,
    page_picture,
    page_text,
    path_bounds_mm,
    path_corners,
    scanned,
    unembedded_fonts,
)

from labels.draw_pdf import MOST_TAGS, SheetFault, sheet_pdf
from labels.draw_png import picture, png
from labels.items import Symbol
from labels.layout import MM_PER_INCH, label_size, lay_out
from labels.on_stock import items_on
from labels.shapes import Shape, patches
from labels.stock import load, stock_keys
from labels.tag import TagFace

STOCKS = stock_keys()


def opened(data: bytes) -> Image.Image:
    return Image.open(BytesIO(data))


def printed_on(face: TagFace, key: str) -> list[str]:
    """What a scanner finds on a label: the tag's code, and the bare code once more on a stub."""
    return [face.symbol_payload, *([face.code] if load(key).stub_mm else [])]


def symbols_on(face: TagFace, key: str) -> list[Symbol]:
    """The symbols on a label and where they stand."""
    return [item for item in items_on(face, load(key)) if isinstance(item, Symbol)]


def symbol_edges_mm(pdf: bytes, page: int = 0) -> list[tuple[float, float, float, float]]:
    """Left, top, right and bottom of each symbol: the only paths with hundreds of corners."""
    bounds = zip(path_bounds_mm(pdf, page), path_corners(pdf, page), strict=True)
    return [edges for edges, corners in bounds if corners > 300]


@pytest.mark.parametrize("key", STOCKS)
@pytest.mark.parametrize("face", FACES, ids=lambda face: face.kind or "blank")
def test_every_tag_on_every_stock_is_scanned_from_its_picture(face: TagFace, key: str) -> None:
    assert scanned(opened(png(face, load(key)))) == printed_on(face, key)


@pytest.mark.parametrize("dpi", [203, 300])
@pytest.mark.parametrize("key", STOCKS)
def test_every_tag_on_every_stock_is_scanned_from_its_sheet(key: str, dpi: int) -> None:
    pdf = sheet_pdf(FACES, load(key))

    found = [
        text for n in range(page_count(pdf)) for text in scanned(page_picture(pdf, n, dpi=dpi))
    ]

    assert sorted(found) == sorted(code for face in FACES for code in printed_on(face, key))


@pytest.mark.parametrize("key", ["a4-3x7", "a4-2x5", "letter-2x5"])
def test_a_full_sheet_is_scanned_whole(key: str) -> None:
    stock = load(key)
    codes = [f"SHEET{n:03d}" for n in range(stock.labels_a_page)]

    pdf = sheet_pdf([TagFace(code=code, kind="BAG") for code in codes], stock)

    assert page_count(pdf) == 1
    assert sorted(scanned(page_picture(pdf))) == codes


@pytest.mark.parametrize("key", STOCKS)
def test_a_picture_has_the_labels_size_in_the_printers_dots(key: str) -> None:
    stock = load(key)

    image = opened(png(BAG, stock))

    per_mm = stock.dpi / MM_PER_INCH
    assert image.mode == "1"
    assert image.size == (
        round(stock.label_width_mm * per_mm),
        round(stock.label_height_mm * per_mm),
    )
    assert image.info["dpi"] == pytest.approx((stock.dpi, stock.dpi), abs=0.01)


@pytest.mark.parametrize("key", STOCKS)
def test_every_module_is_drawn_on_its_own_dots(key: str) -> None:
    size = label_size(load(key))
    items = items_on(BLANK, load(key))
    symbol = symbols_on(BLANK, key)[0]

    image = picture(items, size)

    side = round(symbol.module_mm / size.dot_mm)
    corner, down = round(symbol.x_mm / size.dot_mm), round(symbol.y_mm / size.dot_mm)
    for i, row in enumerate(symbol.matrix):
        for j, dark in enumerate(row):
            left, top = corner + j * side, down + i * side
            module = image.crop((left, top, left + side, top + side)).convert("L")
            assert module.getextrema() == ((0, 0) if dark else (255, 255))


@pytest.mark.parametrize("key", STOCKS)
def test_pages_have_the_stocks_size(key: str) -> None:
    stock = load(key)

    image = page_picture(sheet_pdf((BAG,), stock), dpi=254)

    assert image.size == pytest.approx((stock.page_width_mm * 10, stock.page_height_mm * 10), abs=1)


@pytest.mark.parametrize("key", STOCKS)
def test_labels_stand_where_the_stock_has_them_to_a_tenth_of_a_millimetre(key: str) -> None:
    stock = load(key)
    symbols = symbols_on(BLANK, key)
    pdf = sheet_pdf([BLANK] * stock.labels_a_page, stock)

    found = symbol_edges_mm(pdf)

    assert len(found) == stock.labels_a_page * len(symbols)
    for number, edges in enumerate(found):
        place, symbol = number // len(symbols) + 1, symbols[number % len(symbols)]
        x_mm, y_mm = stock.corner_mm(place)
        left, top = x_mm + symbol.x_mm, y_mm + symbol.y_mm
        expected = (left, top, left + symbol.side_mm, top + symbol.side_mm)
        assert edges == pytest.approx(expected, abs=0.1)


@pytest.mark.parametrize("key", STOCKS)
def test_symbols_on_a_sheet_begin_on_a_whole_printer_dot(key: str) -> None:
    stock = load(key)
    dot_mm = MM_PER_INCH / stock.dpi

    pdf = sheet_pdf([NEW_PARTS] * stock.labels_a_page, stock)

    for left, top, _, _ in symbol_edges_mm(pdf):
        for edge in (left, top):
            assert abs(edge / dot_mm - round(edge / dot_mm)) < 0.05


def test_printing_begins_at_any_label_of_a_half_used_sheet() -> None:
    stock = load("a4-3x7")
    size = label_size(stock)
    symbol = lay_out(BAG, size)[0]
    assert isinstance(symbol, Symbol)

    pdf = sheet_pdf([BAG] * 3, stock, start_at=20)

    x_mm, y_mm = stock.corner_mm(20)
    assert [page_count(pdf), len(symbol_edges_mm(pdf)), len(symbol_edges_mm(pdf, 1))] == [2, 2, 1]
    assert symbol_edges_mm(pdf)[0][:2] == pytest.approx(
        (x_mm + symbol.x_mm, y_mm + symbol.y_mm), abs=0.1
    )
    assert symbol_edges_mm(pdf, 1)[0][0] == pytest.approx(
        stock.corner_mm(1)[0] + symbol.x_mm, abs=0.1
    )


@pytest.mark.parametrize("start_at", [0, -1, 22])
def test_a_label_the_sheet_does_not_have_is_refused(start_at: int) -> None:
    with pytest.raises(SheetFault, match="labels 1 to 21"):
        sheet_pdf((BAG,), load("a4-3x7"), start_at=start_at)


def test_no_tags_or_too_many_are_refused() -> None:
    with pytest.raises(SheetFault, match="no tags"):
        sheet_pdf((), load("a4-3x7"))
    with pytest.raises(SheetFault, match="too many"):
        sheet_pdf([BLANK] * (MOST_TAGS + 1), load("a4-3x7"))


def test_the_same_tags_give_the_same_bytes() -> None:
    stock = load("a4-2x5")

    assert sheet_pdf(FACES, stock) == sheet_pdf(FACES, stock)
    assert png(BAG, stock) == png(BAG, stock)


@pytest.mark.parametrize("key", STOCKS)
def test_a_sheet_carries_every_font_it_names(key: str) -> None:
    pdf = sheet_pdf(FACES, load(key))

    assert unembedded_fonts(pdf) == []
    assert fonts_of_words(pdf) == {True}


def test_the_words_can_be_searched_in_the_file() -> None:
    face = TagFace(code="K7M2X9QD", part="Прокладка Ø18 · łącznik", kind="BAG")

    text = page_text(sheet_pdf((face,), load("a4-2x5")))

    assert "K7M2-X9QD" in text
    assert "Прокладка Ø18 · łącznik" in text


def test_letters_land_where_the_layout_measured_them() -> None:
    size = label_size(load("a4-2x5"))
    items = lay_out(BLANK, size)

    ink = picture(items[1:2], size).convert("L").point(lambda v: 255 - v)
    left, top, right, foot = ink.getbbox() or (0, 0, 0, 0)

    pdf = sheet_pdf((BLANK,), load("a4-2x5"))
    other = page_picture(pdf, dpi=300).convert("L").point(lambda v: 255 if v < 128 else 0)
    x, y = (round(mm * size.dpi / MM_PER_INCH) for mm in load("a4-2x5").corner_mm(1))
    window = other.crop((x + left - 8, y + top - 8, x + right + 8, y + foot + 8)).getbbox()
    assert window == pytest.approx((8, 8, right - left + 8, foot - top + 8), abs=2)


def test_every_sign_has_its_own_outline() -> None:
    drawn = {patches(shape) for shape in Shape}

    assert len(drawn) == len(Shape)
    for shape in Shape:
        places = [place for patch in patches(shape) for point in patch.points for place in point]
        assert (min(places) >= -0.001, max(places) <= 1.001) == (True, True)
