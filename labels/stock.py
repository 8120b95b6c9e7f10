"""The label material in the printer: sheets of labels, and rolls of single ones.

Every stock is a plain file of measures, so that a workshop can describe the sheets it buys
without touching a program. Measures are checked when the file is read: a wrong one would show
only on a spoilt sheet.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import MISSING, dataclass, fields
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import Final

LEAST_INNER_WIDTH_MM: Final = 56.0
LEAST_INNER_HEIGHT_MM: Final = 34.0
"""What must be left of a label inside its inset, or a full tag needs type too small to read."""

DPI_RANGE: Final = (203, 1200)
INSET_RANGE_MM: Final = (1.0, 3.0)
LARGEST_PAGE_MM: Final = 450.0
MOST_LABELS_A_SIDE: Final = 40

HOLE_MARGIN_MM: Final = 2.0
"""What is kept free around a hole, or the tie tears out."""

HOLE_RANGE_MM: Final = (3.0, 12.0)
STUB_RANGE_MM: Final = (14.0, 60.0)
MOST_POCKETS_A_SIDE: Final = 12
LEAST_POCKET_MM: Final = 18.0
TRAY_HEAD_MM: Final = 26.0

_STOCK_NAME = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*\Z")
_ROUNDING_MM: Final = 0.05


class StockFault(ValueError):
    """A stock's file does not describe labels that can be printed; the text names the field."""


@dataclass(frozen=True, slots=True)
class Stock:
    """One kind of label material; measures in millimetres, dpi is the printer's.

    A tag that is tied on has a hole (`hole_mm` across, its middle at `hole_x_mm`, `hole_y_mm`),
    and may have a stub of `stub_mm` at its foot, to be torn off and kept. A tray's tag has
    `pocket_columns` by `pocket_rows` pockets below its head. A tag to be written on by hand has
    lines for what is to be known (`write_on`).
    """

    key: str
    name: str
    page_width_mm: float
    page_height_mm: float
    columns: int
    rows: int
    label_width_mm: float
    label_height_mm: float
    margin_left_mm: float
    margin_top_mm: float
    gap_x_mm: float
    gap_y_mm: float
    inset_mm: float
    dpi: int
    hole_mm: float = 0.0
    hole_x_mm: float = 0.0
    hole_y_mm: float = 0.0
    stub_mm: float = 0.0
    pocket_columns: int = 0
    pocket_rows: int = 0
    write_on: bool = False

    @property
    def top_mm(self) -> float:
        """Where words and symbol may begin: below the hole, if there is one."""
        return self.hole_y_mm + self.hole_mm / 2 + HOLE_MARGIN_MM if self.hole_mm else 0.0

    @property
    def pockets(self) -> int:
        """How many pockets the tray has that this tag is for; 0 for any other tag."""
        return self.pocket_columns * self.pocket_rows

    @property
    def labels_a_page(self) -> int:
        """Labels on one sheet; 1 for a roll."""
        return self.columns * self.rows

    def corner_mm(self, place: int) -> tuple[float, float]:
        """Top left corner of a label from the sheet's top left; place 1 is the first, by rows."""
        row, column = divmod(place - 1, self.columns)
        return (
            self.margin_left_mm + column * (self.label_width_mm + self.gap_x_mm),
            self.margin_top_mm + row * (self.label_height_mm + self.gap_y_mm),
        )


def list_stocks() -> tuple[Stock, ...]:
    """All stocks that come with the service, by key."""
    return tuple(load(key) for key in stock_keys())


def stock_keys() -> tuple[str, ...]:
    """The keys that `load` knows, in order."""
    names = (entry.name for entry in _folder().iterdir())
    return tuple(sorted(name.removesuffix(".toml") for name in names if name.endswith(".toml")))


def load(key: str) -> Stock:
    """The stock of that key. Raises StockFault for an unknown key or a faulty file."""
    if not _STOCK_NAME.match(key) or key not in stock_keys():
        raise StockFault(f"There is no stock {key!r}; known are {', '.join(stock_keys())}.")
    return parsed(key, _folder().joinpath(f"{key}.toml").read_text(encoding="utf-8"))


def parsed(key: str, text: str) -> Stock:
    """A stock from the text of its file, checked. Raises StockFault."""
    try:
        found: Mapping[str, object] = tomllib.loads(text)
    except tomllib.TOMLDecodeError as fault:
        raise StockFault(f"{key}: the file is not TOML: {fault}.") from fault
    _same_fields(key, found)
    stock = Stock(key=key, name=_words(key, found), **_measures(key, found))  # type: ignore[arg-type]
    _ranges(stock)
    _on_the_page(stock)
    _hole_and_stub(stock)
    _pockets(stock)
    return stock


def _folder() -> Traversable:
    return files("labels").joinpath("stocks")


def _same_fields(key: str, found: Mapping[str, object]) -> None:
    known = {field.name: field for field in fields(Stock) if field.name != "key"}
    for name, field in known.items():
        if name not in found and field.default is MISSING:
            raise StockFault(f"{key}: {name} is missing.")
    for name in found:
        if name not in known:
            raise StockFault(f"{key}: {name} is not a field of a stock.")


def _measures(key: str, found: Mapping[str, object]) -> dict[str, float | bool]:
    """All fields but the name, each read as what it is."""
    read: dict[str, float | bool] = {}
    for name in found:
        if name.endswith("_mm"):
            read[name] = _measure(key, found, name)
        elif name == "write_on":
            read[name] = _yes_or_no(key, found, name)
        elif name != "name":
            read[name] = _whole(key, found, name)
    return read


def _yes_or_no(key: str, found: Mapping[str, object], field: str) -> bool:
    value = found[field]
    if not isinstance(value, bool):
        raise StockFault(f"{key}: {field} must be true or false, not {value!r}.")
    return value


def _words(key: str, found: Mapping[str, object]) -> str:
    name = found["name"]
    if not isinstance(name, str) or not name.strip():
        raise StockFault(f"{key}: name must be words, not {name!r}.")
    return name


def _whole(key: str, found: Mapping[str, object], field: str) -> int:
    value = found[field]
    if not isinstance(value, int) or isinstance(value, bool):
        raise StockFault(f"{key}: {field} must be a whole number, not {value!r}.")
    return value


def _measure(key: str, found: Mapping[str, object], field: str) -> float:
    value = found[field]
    if not isinstance(value, int | float) or isinstance(value, bool):
        raise StockFault(f"{key}: {field} must be millimetres, not {value!r}.")
    return float(value)


def _ranges(stock: Stock) -> None:
    _within(stock, "inset_mm", *INSET_RANGE_MM)
    least_width = LEAST_INNER_WIDTH_MM + 2 * stock.inset_mm
    least_height = LEAST_INNER_HEIGHT_MM + 2 * stock.inset_mm
    least_height += stock.top_mm + stock.stub_mm
    for thing in ("label", "page"):
        _within(stock, f"{thing}_width_mm", least_width, LARGEST_PAGE_MM)
        _within(stock, f"{thing}_height_mm", least_height, LARGEST_PAGE_MM)
    _within(stock, "columns", 1, MOST_LABELS_A_SIDE)
    _within(stock, "rows", 1, MOST_LABELS_A_SIDE)
    _within(stock, "dpi", *DPI_RANGE)
    for field in ("margin_left_mm", "margin_top_mm", "gap_x_mm", "gap_y_mm"):
        _within(stock, field, 0, LARGEST_PAGE_MM)


def _within(stock: Stock, field: str, least: float, most: float) -> None:
    value = getattr(stock, field)
    # Written so that a value that is not a number at all fails too.
    if not least <= value <= most:
        raise StockFault(f"{stock.key}: {field} must be {least:g} to {most:g}, not {value:g}.")


def _on_the_page(stock: Stock) -> None:
    x_mm, y_mm = stock.corner_mm(stock.labels_a_page)
    right, bottom = x_mm + stock.label_width_mm, y_mm + stock.label_height_mm
    if right > stock.page_width_mm + _ROUNDING_MM:
        raise StockFault(
            f"{stock.key}: page_width_mm is {stock.page_width_mm:g}, "
            f"but the last column ends at {right:.2f} mm."
        )
    if bottom > stock.page_height_mm + _ROUNDING_MM:
        raise StockFault(
            f"{stock.key}: page_height_mm is {stock.page_height_mm:g}, "
            f"but the last row ends at {bottom:.2f} mm."
        )


def _hole_and_stub(stock: Stock) -> None:
    if stock.stub_mm:
        _within(stock, "stub_mm", *STUB_RANGE_MM)
    if not stock.hole_mm:
        for field in ("hole_x_mm", "hole_y_mm"):
            if getattr(stock, field):
                raise StockFault(f"{stock.key}: {field} is given, but hole_mm is not.")
        return
    _within(stock, "hole_mm", *HOLE_RANGE_MM)
    edge = stock.hole_mm / 2 + HOLE_MARGIN_MM
    _within(stock, "hole_x_mm", edge, stock.label_width_mm - edge)
    _within(stock, "hole_y_mm", edge, stock.label_height_mm / 3)


def _pockets(stock: Stock) -> None:
    if not (stock.pocket_columns or stock.pocket_rows):
        return
    for field in ("pocket_columns", "pocket_rows"):
        _within(stock, field, 1, MOST_POCKETS_A_SIDE)
    width = (stock.label_width_mm - 2 * stock.inset_mm) / stock.pocket_columns
    height = (stock.label_height_mm - 2 * stock.inset_mm - TRAY_HEAD_MM) / stock.pocket_rows
    for field, side in (("pocket_columns", width), ("pocket_rows", height)):
        if side < LEAST_POCKET_MM:
            raise StockFault(
                f"{stock.key}: {field} leaves {side:.1f} mm for a pocket; it needs "
                f"{LEAST_POCKET_MM:g} mm for its number and its code."
            )
