"""The label stocks there are, and a page to try each with before labels are spoilt."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from labels.scale_page import scale_page
from labels.stock import Stock, list_stocks
from partsvc.domain.records import Decimal, Says
from partsvc.work.tagging import stock_of

_WORDS = (
    "Print at 100 %, on plain paper. Hold the ruler on it, then the page against a sheet of labels."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelStock:
    """A label stock: its measures in millimetres, and the dots an inch of the printer it is for."""

    key: str
    name: str
    page_width_mm: Decimal
    page_height_mm: Decimal
    label_width_mm: Decimal
    label_height_mm: Decimal
    dpi: int
    labels_a_page: Annotated[int, Says("1 for a roll of single labels")]
    pockets: Annotated[int, Says("how many pockets the tray has; 0 for any other tag")]
    write_on: Annotated[bool, Says("with lines to write on by hand")]
    tied_on: Annotated[bool, Says("with a hole for a tie")]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stocks:
    """All label stocks, by key."""

    stocks: tuple[LabelStock, ...]


def all_stocks() -> Stocks:
    """The label stocks that come with the service."""
    return Stocks(stocks=tuple(map(_line, list_stocks())))


def scale_page_of(key: str) -> bytes:
    """A stock's labels in outline with rulers, as a PDF; Invalid lists the stocks there are."""
    return scale_page(stock_of(key), _WORDS)


def _line(stock: Stock) -> LabelStock:
    return LabelStock(
        key=stock.key,
        name=stock.name,
        page_width_mm=f"{stock.page_width_mm:g}",
        page_height_mm=f"{stock.page_height_mm:g}",
        label_width_mm=f"{stock.label_width_mm:g}",
        label_height_mm=f"{stock.label_height_mm:g}",
        dpi=stock.dpi,
        labels_a_page=stock.labels_a_page,
        pockets=stock.pockets,
        write_on=stock.write_on,
        tied_on=stock.hole_mm > 0,
    )
