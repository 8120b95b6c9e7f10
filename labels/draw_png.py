"""Draws one tag as a picture of pure black and white dots, as a label printer prints it.

Everything lands on whole dots; the modules of a symbol are exactly as many dots each as the
layout said, so that no printer has to scale.
"""

from __future__ import annotations

from io import BytesIO
from math import ceil
from typing import Final

from PIL import Image, ImageDraw

from labels.fonts import picture_font, width_mm
from labels.items import Box, Dashes, Item, Mark, Ring, Rule, Symbol, Text
from labels.layout import MM_PER_INCH, LabelSize, label_size
from labels.on_stock import items_on
from labels.shapes import patches
from labels.stock import Stock
from labels.tag import TagFace

_BLACK: Final = 0
_WHITE: Final = 1


def png(face: TagFace, stock: Stock) -> bytes:
    """One tag at the size and the dots of a stock, as a black and white PNG."""
    size = label_size(stock)
    return _encoded(picture(items_on(face, stock), size), stock.dpi)


def picture(items: tuple[Item, ...], size: LabelSize) -> Image.Image:
    """The items drawn into a picture of the label's size."""
    pixels = (_dots(size.width_mm, size), _dots(size.height_mm, size))
    image = Image.new("1", pixels, _WHITE)
    draw = ImageDraw.Draw(image)
    draw.fontmode = "1"
    for item in items:
        _draw_item(draw, item, size)
    return image


def _draw_item(draw: ImageDraw.ImageDraw, item: Item, size: LabelSize) -> None:
    match item:
        case Text():
            _draw_text(draw, item, size)
        case Rule():
            _draw_rule(draw, item, size)
        case Box():
            _draw_box(draw, item, size)
        case Symbol():
            _draw_symbol(draw, item, size)
        case Mark():
            _draw_mark(draw, item, size)
        case Ring():
            _draw_ring(draw, item, size)
        case Dashes():
            _draw_dashes(draw, item, size)


def _draw_text(draw: ImageDraw.ImageDraw, item: Text, size: LabelSize) -> None:
    """Letter by letter at the measured places: a whole run would drift from the layout."""
    font = picture_font(item.weight, round(item.size_mm / size.dot_mm, 1))
    baseline = _dots(item.y_mm, size)
    ink = _WHITE if item.white else _BLACK
    x_mm = item.x_mm
    for letter in item.text:
        draw.text((_dots(x_mm, size), baseline), letter, fill=ink, font=font, anchor="ls")
        x_mm += width_mm(letter, item.size_mm, item.weight)


def _draw_rule(draw: ImageDraw.ImageDraw, item: Rule, size: LabelSize) -> None:
    """With the same number of dots for the same line, wherever it falls between dots."""
    line = max(1, _dots(item.line_mm, size))
    left, top = _dots(item.x_mm, size), _dots(item.y_mm - item.line_mm / 2, size)
    right = _dots(item.x_mm + item.length_mm, size) - 1
    draw.rectangle((left, top, right, top + line - 1), fill=_BLACK)


def _draw_box(draw: ImageDraw.ImageDraw, item: Box, size: LabelSize) -> None:
    left, top = _dots(item.x_mm, size), _dots(item.y_mm, size)
    right = _dots(item.x_mm + item.width_mm, size) - 1
    foot = _dots(item.y_mm + item.height_mm, size) - 1
    line = max(1, _dots(item.line_mm, size))
    fill = _BLACK if item.filled else None
    draw.rectangle((left, top, right, foot), fill=fill, outline=_BLACK, width=line)


def _draw_symbol(draw: ImageDraw.ImageDraw, item: Symbol, size: LabelSize) -> None:
    left, top = _dots(item.x_mm, size), _dots(item.y_mm, size)
    side = _dots(item.module_mm, size)
    for j, row in enumerate(item.matrix):
        for k, dark in enumerate(row):
            if dark:
                x, y = left + k * side, top + j * side
                draw.rectangle((x, y, x + side - 1, y + side - 1), fill=_BLACK)


def _draw_mark(draw: ImageDraw.ImageDraw, item: Mark, size: LabelSize) -> None:
    scale = item.size_mm / size.dot_mm
    left, top = item.x_mm / size.dot_mm, item.y_mm / size.dot_mm
    for patch in patches(item.shape):
        points = [(left + x * scale, top + y * scale) for x, y in patch.points]
        draw.polygon(points, fill=_BLACK if patch.black else _WHITE)


def _draw_ring(draw: ImageDraw.ImageDraw, item: Ring, size: LabelSize) -> None:
    half = item.across_mm / 2
    near = (_dots(item.x_mm - half, size), _dots(item.y_mm - half, size))
    far = (_dots(item.x_mm + half, size), _dots(item.y_mm + half, size))
    draw.ellipse((*near, *far), outline=_BLACK, width=max(1, _dots(item.line_mm, size)))


def _draw_dashes(draw: ImageDraw.ImageDraw, item: Dashes, size: LabelSize) -> None:
    """Every other stretch of the line, dark ones first."""
    for k in range(0, ceil(item.length_mm / item.dash_mm), 2):
        start = k * item.dash_mm
        length = min(item.dash_mm, item.length_mm - start)
        _draw_rule(draw, Rule(item.x_mm + start, item.y_mm, length, item.line_mm), size)


def _dots(length_mm: float, size: LabelSize) -> int:
    return round(length_mm * size.dpi / MM_PER_INCH)


def _encoded(image: Image.Image, dpi: int) -> bytes:
    out = BytesIO()
    image.save(out, "PNG", dpi=(dpi, dpi), optimize=True)
    return out.getvalue()
