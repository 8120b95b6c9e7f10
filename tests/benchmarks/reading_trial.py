"""How well tags are read after days in a workshop: a table of read rates, by an independent reader.

    .venv/bin/python tests/benchmarks/reading_trial.py [--tags 40] [--grades used,rough]

Every tag is drawn at the dots of its stock, then spoilt and photographed (`wear`) to the degrees
in `GRADES`, and read by zxing-cpp, which shares no code with the encoder.

- fresh: as it came from the printer, held straight.
- used: days in a workshop. A quarter of the symbol under a light film of grease, small
  drops of mud beside the finder patterns, a thin scratch from edge to edge, the corner without a
  finder pattern torn off by two modules, then photographed at any angle, a little from the
  side, in uneven light, faded and slightly out of focus.
- rough: more of each, two wide scratches, and mud that falls on the finder patterns too.
- ruined: most of it. Such a tag is reprinted.

What is beyond the grade "used": mud over a finder pattern. Without all three of them no reader
finds a symbol, whatever its correction, so the code stands beside it in large print as well.
A misread is any text that does not stand on the tag; there may be none in any grade.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from random import Random

import qrcode
import zxingcpp
from PIL import Image
from wear import Grade, Place, spoilt

from labels.draw_png import picture
from labels.items import Symbol
from labels.layout import label_size
from labels.on_stock import items_on
from labels.reading import read_picture
from labels.stock import Stock, load, stock_keys
from labels.symbol import QUIET_MODULES, Correction, capacity
from labels.tag import Pocket, TagFace
from partsvc.domain import tagcode

GRADES = (
    Grade(name="fresh", module_px=6),
    Grade(
        name="used", module_px=6, blur_modules=0.2, turn_deg=180, tilt=0.10, shade=0.6, ink=0.7,
        noise=4, film=0.25, film_ink=0.7, mud=0.003, scratches=1, scratch_modules=0.25,
        torn_modules=2, quality=85,
    ),
    Grade(
        name="rough", module_px=5, blur_modules=0.3, turn_deg=180, tilt=0.16, shade=0.5, ink=0.6,
        noise=7, film=0.3, film_ink=0.5, mud=0.01, mud_on_finders=True, scratches=2,
        scratch_modules=0.5, torn_modules=3, quality=75,
    ),
    Grade(
        name="ruined", module_px=4, blur_modules=0.4, turn_deg=180, tilt=0.25, shade=0.4, ink=0.5,
        noise=8, film=0.4, film_ink=0.5, mud=0.03, mud_on_finders=True, scratches=3,
        scratch_modules=0.5, torn_modules=4, quality=60,
    ),
)  # fmt: skip

SMEARED = tuple(
    Grade(name=f"mud {share:.0%}", module_px=6, blur_modules=0.2, turn_deg=180, mud=share)
    for share in (0.03, 0.06, 0.09)
)
"""Only mud, beside the finder patterns: what correction is there for."""

AROUND_MODULES = 10

QR = zxingcpp.BarcodeFormats((zxingcpp.BarcodeFormat.QRCode,))


@dataclass(frozen=True, slots=True)
class Rate:
    """What was read of so many tags; `plainly` is what one look of the reader alone reads."""

    stock: str
    grade: str
    tags: int
    read: int
    plainly: int
    misread: int


def face(number: int, stock: Stock) -> TagFace:
    """A tag of the day; every other one carries an address."""
    code = _code(number, 0)
    payload = f"HTTPS://PARTS.EXAMPLE/T/{code}" if number % 2 else None
    return TagFace(
        code=code, payload=payload, kind="BAG", job="Job 12", part="Flange bolt M8 x 30",
        count="4 pieces", step="Step 12", position="tray, left",
        pockets=tuple(Pocket(n, _code(number, n)) for n in range(1, stock.pockets + 1)),
    )  # fmt: skip


def _code(number: int, place: int) -> str:
    return tagcode.from_number(number * 104_729 + place * 7 + 17)


@lru_cache(maxsize=100)
def drawn(number: int, stock: Stock) -> tuple[TagFace, Image.Image, Place]:
    """A tag as it is printed, about its main symbol, and where that lies."""
    tag, size = face(number, stock), label_size(stock)
    items = items_on(tag, stock)
    main = next(item for item in items if isinstance(item, Symbol))
    left, top, module = (mm / size.dot_mm for mm in (main.x_mm, main.y_mm, main.module_mm))
    place = Place(left, top, module, len(main.matrix))
    return tag, *_about(picture(items, size), place)


def _about(tag: Image.Image, place: Place) -> tuple[Image.Image, Place]:
    """The symbol with what is printed up to ten modules around it: more only takes longer."""
    reach = AROUND_MODULES * place.module
    left, top = max(0, round(place.left - reach)), max(0, round(place.top - reach))
    right, foot = round(place.right + reach), round(place.foot + reach)
    near = tag.crop((left, top, min(tag.width, right), min(tag.height, foot)))
    return near, Place(place.left - left, place.top - top, place.module, place.modules)


def tried(stock: Stock, grade: Grade, tags: int) -> Rate:
    """Read so many tags of a stock after a grade."""
    chance = Random(f"{stock.key} {grade.name}")
    read = plainly = misread = 0
    for number in range(tags):
        tag, image, place = drawn(number, stock)
        photo = spoilt(image, place, grade, chance)
        texts = {code.text for code in read_picture(photo)}
        plain = {code.text for code in zxingcpp.read_barcodes(photo, formats=QR)}
        read += tag.symbol_payload in texts
        plainly += tag.symbol_payload in plain
        misread += bool((texts | plain) - _on(tag))
    return Rate(stock.key, grade.name, tags, read, plainly, misread)


def _on(tag: TagFace) -> set[str]:
    """Every text that stands on the tag in a symbol: on a stub it is the bare code."""
    return {tag.symbol_payload, tag.code, *(pocket.symbol_payload for pocket in tag.pockets)}


def table(rates: Sequence[Rate]) -> str:
    """The rates as a table, a row for each stock and one for all."""
    grades = list(dict.fromkeys(rate.grade for rate in rates))
    lines = ["| stock | " + " | ".join([*grades, "misread"]) + " |"]
    lines.append("| --- |" + " ---: |" * (len(grades) + 1))
    for stock in dict.fromkeys(rate.stock for rate in rates):
        lines.append(_row(stock, [rate for rate in rates if rate.stock == stock], grades))
    lines.append(_row("**all**", rates, grades))
    return "\n".join(lines)


def _row(name: str, rates: Sequence[Rate], grades: Sequence[str]) -> str:
    cells = [_cell([rate for rate in rates if rate.grade == grade]) for grade in grades]
    return f"| {name} | {' | '.join(cells)} | {sum(rate.misread for rate in rates)} |"


def _cell(rates: Sequence[Rate]) -> str:
    tags = sum(rate.tags for rate in rates)
    read, plainly = (sum(getattr(rate, field) for rate in rates) for field in ("read", "plainly"))
    return f"{read / tags:.1%} ({plainly / tags:.1%})"


def by_correction(payload_of: str, grade: Grade, tags: int) -> str:
    """Read rates at each level of correction, all else equal: why Q or more."""
    rates = (_share_read(payload_of, grade, level, tags) for level in Correction)
    return f"| {payload_of or 'the bare code'} | {grade.name} | {' | '.join(rates)} |"


def _share_read(before: str, grade: Grade, level: Correction, tags: int) -> str:
    """The same size and the same spoilings for every level; only the correction differs."""
    chance = Random(f"correction {before} {grade.name}")
    read = wrong = 0
    for number in range(tags):
        payload = before + _code(number, 0)
        image, place = _bare(payload, level)
        texts = {one.text for one in read_picture(spoilt(image, place, grade, chance))}
        read += payload in texts
        wrong += bool(texts - {payload})
    return f"{read / tags:.1%}" + (f" ({wrong} misread)" if wrong else "")


def _bare(payload: str, level: Correction) -> tuple[Image.Image, Place]:
    """A symbol alone in its quiet zone, in the size that its payload needs at level H."""
    levels = {"L": 1, "M": 0, "Q": 3, "H": 2}
    version = next(v for v in (1, 2, 3) if len(payload) <= capacity(v, Correction.H))
    code = qrcode.QRCode(
        version=version, error_correction=levels[level], box_size=8, border=QUIET_MODULES
    )
    code.add_data(payload, optimize=0)
    code.make(fit=False)
    corner = QUIET_MODULES * 8.0
    place = Place(corner, corner, 8.0, code.modules_count)
    return code.make_image().get_image().convert("L"), place


def trial(stocks: Iterable[Stock], grades: Sequence[Grade], tags: int) -> Iterator[Rate]:
    """Every stock after every grade."""
    for stock in stocks:
        for grade in grades:
            yield tried(stock, grade, tags)


def main() -> None:
    """Run the trial and print its tables."""
    asked = argparse.ArgumentParser(description="How well spoilt tags are read.")
    asked.add_argument("--tags", type=int, default=40, help="tags of each stock and grade")
    asked.add_argument("--grades", default="", help="only these grades, with commas between")
    given = asked.parse_args()
    wanted = given.grades.split(",") if given.grades else [grade.name for grade in GRADES]
    grades = [grade for grade in GRADES if grade.name in wanted]
    begun = time.perf_counter()
    rates = list(trial(map(load, stock_keys()), grades, given.tags))
    print(table(rates))
    print("\n| payload | wear | L | M | Q | H |\n| --- | --- | ---: | ---: | ---: | ---: |")
    for before in ("", "HTTPS://PARTS.EXAMPLE/T/"):
        for grade in (*grades, *SMEARED):
            print(by_correction(before, grade, given.tags * 2))
    photos = sum(rate.tags for rate in rates)
    print(f"\n{photos} photos of tags in {time.perf_counter() - begun:.0f} s")


if __name__ == "__main__":
    main()
