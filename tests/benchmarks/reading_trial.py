"""How well tags are read after days in a workshop: a table of read rates, by an independent reader.

    .venv/bin/python tests/benchmarks/reading_trial.py [--tags 100] [--grades used,rough]

Every tag is drawn at the dots of its stock, then spoilt and photographed, by numbers that stand
in `GRADES`, and read by zxing-cpp, which shares no code with the encoder. The degrees are our own:
no standard grades a bag tag in oil. ISO/IEC 15415 grades a print, not what became of it.
"""

from __future__ import annotations

import argparse
import json
import time
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from io import BytesIO
from random import Random

import numpy as np
import qrcode
import zxingcpp
from PIL import Image, ImageDraw, ImageFilter

from labels.draw_png import png
from labels.reading import read_picture
from labels.stock import Stock, load, stock_keys
from labels.symbol import Correction, symbol
from labels.tag import TagFace
from partsvc.domain import tagcode

Box = tuple[int, int, int, int]
"""Left, top, right and foot of a symbol, in dots."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Grade:
    """What becomes of a tag, and how it is photographed.

    Lengths in modules of the symbol, so that a large tag is not spoilt less than a small one:
    `module_px` is how large a module is on the photo, `blur_modules` the spread of the blur,
    `tilt` the perspective (how much shorter the far side is), `shade` how dark the darker side
    is against the lighter, `ink` how much of the contrast is left, `noise` of 255, `film` the
    share of the symbol under grease that takes half of the contrast there, `mud` the share under
    drops that hide everything, `scuffs` bright scratches half a module wide across the symbol,
    `torn` the share of its side torn off at the corner that has no finder pattern.

    A module of 5 pixels is a label of 70 mm across half of a photo that was shrunk to 1600 pixels.
    """

    name: str
    module_px: float
    blur_modules: float = 0.0
    turn_deg: float = 0.0
    tilt: float = 0.0
    shade: float = 1.0
    ink: float = 1.0
    noise: float = 0.0
    film: float = 0.0
    mud: float = 0.0
    scuffs: int = 0
    torn: float = 0.0
    quality: int = 90


GRADES = (
    Grade(name="fresh", module_px=6),
    Grade(
        name="used", module_px=6, blur_modules=0.25, turn_deg=180, tilt=0.10, shade=0.6, ink=0.7,
        noise=5, film=0.12, mud=0.002, scuffs=1, torn=0.03, quality=85,
    ),
    Grade(
        name="rough", module_px=5, blur_modules=0.3, turn_deg=180, tilt=0.16, shade=0.5, ink=0.6,
        noise=7, film=0.2, mud=0.01, scuffs=3, torn=0.05, quality=75,
    ),
    Grade(
        name="ruined", module_px=4, blur_modules=0.45, turn_deg=180, tilt=0.25, shade=0.4, ink=0.45,
        noise=10, film=0.4, mud=0.05, scuffs=6, torn=0.10, quality=60,
    ),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Rate:
    """What was read of so many tags."""

    stock: str
    grade: str
    tags: int
    read: int
    plainly: int
    misread: int

    @property
    def share(self) -> float:
        """The share that was read rightly."""
        return self.read / self.tags


def spoilt(tag: Image.Image, grade: Grade, chance: Random) -> Image.Image:
    """The photo of a tag after its days in the workshop."""
    found = _only(tag)
    side_px = max(found[2] - found[0], found[3] - found[1])
    modules = _modules(tag)
    worn = _smeared(tag.convert("L"), found, modules, grade, chance)
    worn = _torn(worn, found, grade)
    scale = grade.module_px * modules / side_px
    photo = _photographed(worn, scale, grade, chance)
    return _developed(photo, grade, chance)


def _only(tag: Image.Image) -> Box:
    """Where the tag's main symbol lies: left, top, right, foot, in dots."""
    codes = zxingcpp.read_barcodes(tag.convert("L"), formats=zxingcpp.BarcodeFormat.QRCode)
    if not codes:
        raise SystemExit("A fresh tag cannot be read: the trial means nothing.")
    first = min(codes, key=lambda code: (code.position.top_left.y, code.position.top_left.x))
    place = first.position
    xs = [p.x for p in (place.top_left, place.top_right, place.bottom_left, place.bottom_right)]
    ys = [p.y for p in (place.top_left, place.top_right, place.bottom_left, place.bottom_right)]
    return min(xs), min(ys), max(xs), max(ys)


def _modules(tag: Image.Image) -> int:
    codes = zxingcpp.read_barcodes(tag.convert("L"), formats=zxingcpp.BarcodeFormat.QRCode)
    return len(symbol(codes[0].text, Correction.Q).matrix)


def _smeared(
    tag: Image.Image, found: Box, modules: int, grade: Grade, chance: Random
) -> Image.Image:
    """Grease, mud and scratches, anywhere on the symbol."""
    film = Image.new("L", tag.size, 0)
    _drops(ImageDraw.Draw(film), found, grade.film, [255], chance)
    tag.paste(tag.point(lambda grey: 70 + grey * 90 // 255), mask=film)
    draw = ImageDraw.Draw(tag)
    _drops(draw, found, grade.mud, range(60, 180), chance)
    left, top, right, foot = found
    for _ in range(grade.scuffs):
        ends = [(chance.uniform(left, right), chance.uniform(top, foot)) for _ in range(2)]
        draw.line(ends, fill=225, width=max(1, round((right - left) / modules / 2)))
    return tag


def _drops(
    draw: ImageDraw.ImageDraw, found: Box, share: float, greys: Sequence[int], chance: Random
) -> None:
    """So much of the symbol under one to three drops."""
    left, top, right, foot = found
    count = chance.randint(1, 3)
    area = (right - left) * (foot - top) * share / count
    for _ in range(count if share else 0):
        ratio = chance.uniform(0.5, 2.0)
        width = (area * 4 / 3.1416 * ratio) ** 0.5
        height = width / ratio
        x = chance.uniform(left, max(left, right - width))
        y = chance.uniform(top, max(top, foot - height))
        draw.ellipse((x, y, x + width, y + height), fill=chance.choice(greys))


def _torn(tag: Image.Image, found: Box, grade: Grade) -> Image.Image:
    """The corner without a finder pattern is gone; the others kill any symbol, as is known."""
    if grade.torn:
        left, _top, right, foot = found
        off = (right - left) * grade.torn * 2
        ImageDraw.Draw(tag).polygon(
            [(right + 1, foot + 1), (right + 1 - off, foot + 1), (right + 1, foot + 1 - off)],
            fill=205,
        )
    return tag


def _photographed(tag: Image.Image, scale: float, grade: Grade, chance: Random) -> Image.Image:
    """Seen from the side and turned, at so many pixels a module, on a bench's grey."""
    width, height = (max(8, round(side * scale)) for side in tag.size)
    small = tag.resize((width, height), Image.Resampling.BOX)
    if grade.tilt:
        lean = grade.tilt * chance.uniform(0.5, 1.0) / 2
        inset_x, inset_y = width * lean, height * lean * chance.uniform(0.0, 0.6)
        corners = [(0, 0), (width, 0), (width, height), (0, height)]
        seen = [(inset_x, inset_y), (width - inset_x, inset_y), (width, height), (0, height)]
        small = small.transform(
            (width, height), Image.Transform.PERSPECTIVE, _perspective(seen, corners),
            Image.Resampling.BICUBIC, fillcolor=120,
        )  # fmt: skip
    turn = chance.uniform(-grade.turn_deg, grade.turn_deg)
    return small.rotate(turn, Image.Resampling.BICUBIC, expand=True, fillcolor=120)


def _perspective(
    source: list[tuple[float, float]], target: list[tuple[float, float]]
) -> list[float]:
    """The eight numbers that map the target's corners back onto the source's."""
    rows, values = [], []
    for (x, y), (u, v) in zip(source, target, strict=True):
        rows.append([x, y, 1, 0, 0, 0, -u * x, -u * y])
        rows.append([0, 0, 0, x, y, 1, -v * x, -v * y])
        values += [u, v]
    return [float(one) for one in np.linalg.solve(np.array(rows), np.array(values))]


def _developed(photo: Image.Image, grade: Grade, chance: Random) -> Image.Image:
    """Blurred, unevenly lit, faded, noisy, and squeezed by the camera."""
    if grade.blur_modules:
        photo = photo.filter(ImageFilter.GaussianBlur(grade.blur_modules * grade.module_px))
    grey = np.asarray(photo, dtype=np.float32)
    grey = 255 - (255 - grey) * grade.ink
    along = np.linspace(grade.shade, 1.0, grey.shape[1], dtype=np.float32)
    grey = grey * (along if chance.random() < 0.5 else along[::-1])[None, :]
    if grade.noise:
        dice = np.random.default_rng(chance.randrange(2**32))
        grey = grey + dice.normal(0, grade.noise, grey.shape)
    out = BytesIO()
    Image.fromarray(np.clip(grey, 0, 255).astype(np.uint8)).save(out, "JPEG", quality=grade.quality)
    return Image.open(BytesIO(out.getvalue()))


def face(number: int) -> TagFace:
    """A tag of the day; every other one carries an address."""
    code = tagcode.from_number(number * 104_729 + 17)
    payload = f"HTTPS://PARTS.EXAMPLE/T/{code}" if number % 2 else None
    return TagFace(
        code=code, payload=payload, kind="BAG", job="Job 12", part="Flange bolt M8 x 30",
        count="4 pieces", step="Step 12", position="tray, left",
    )  # fmt: skip


def tried(stock: Stock, grade: Grade, tags: int) -> Rate:
    """Read so many tags of a stock after a grade."""
    chance = Random(f"{stock.key} {grade.name}")
    read = plainly = misread = 0
    for number in range(tags):
        tag = face(number)
        photo = spoilt(Image.open(BytesIO(png(tag, stock))), grade, chance)
        texts = {code.text for code in read_picture(photo)}
        once = {code.text for code in zxingcpp.read_barcodes(photo.convert("L"))}
        plainly += tag.symbol_payload in once
        right = {tag.symbol_payload} | ({tag.code} if stock.stub_mm else set())
        read += tag.symbol_payload in texts
        misread += bool((texts | once) - right)
    return Rate(stock.key, grade.name, tags, read, plainly, misread)


def table(rates: Iterable[Rate]) -> str:
    """The rates as a table, a row for each stock."""
    grades = [grade.name for grade in GRADES]
    by_stock: dict[str, dict[str, Rate]] = {}
    for rate in rates:
        by_stock.setdefault(rate.stock, {})[rate.grade] = rate
    lines = ["| stock | " + " | ".join(grades) + " | misread |", "| --- |" + " --- |" * 5]
    for stock, found in by_stock.items():
        cells = [_cell(found[name]) if name in found else "" for name in grades]
        wrong = sum(rate.misread for rate in found.values())
        lines.append(f"| {stock} | {' | '.join(cells)} | {wrong} |")
    return "\n".join(lines)


def _cell(rate: Rate) -> str:
    """The share read, and in brackets what one plain look of the reader alone reads."""
    return f"{rate.share:.1%} ({rate.plainly / rate.tags:.1%})"


def corrections(grade: Grade, tags: int) -> dict[str, float]:
    """Read rates of the bare code at each level of correction, all else equal: why Q or more."""
    found: dict[str, float] = {}
    for level in Correction:
        chance = Random(f"correction {grade.name}")
        read = 0
        for number in range(tags):
            code = tagcode.from_number(number * 7_919 + 3)
            picture = _bare(code, level)
            photo = spoilt(picture, grade, chance)
            texts = {one.text for one in zxingcpp.read_barcodes(photo)}
            read += code in texts
        found[level.value] = read / tags
    return found


def _bare(code: str, level: Correction) -> Image.Image:
    """A symbol alone at eight dots a module, at just this level."""
    levels = {"L": 1, "M": 0, "Q": 3, "H": 2}
    drawn = qrcode.QRCode(version=2, error_correction=levels[level.value], box_size=8, border=6)
    drawn.add_data(code)
    drawn.make(fit=False)
    return drawn.make_image().get_image().convert("L")


def main() -> None:
    """Run the trial and print its tables."""
    asked = argparse.ArgumentParser(description="How well spoilt tags are read.")
    asked.add_argument("--tags", type=int, default=100, help="tags of each stock and grade")
    asked.add_argument("--json", action="store_true", help="figures for a program")
    given = asked.parse_args()
    begun = time.perf_counter()
    stocks = [load(key) for key in stock_keys()]
    rates = [
        tried(stock, grade, given.tags) for stock in stocks if not stock.pockets for grade in GRADES
    ]
    levels = {grade.name: corrections(grade, given.tags * 3) for grade in GRADES[1:]}
    if given.json:
        print(json.dumps({"rates": [[r.stock, r.grade, r.share, r.misread] for r in rates],
                          "levels": levels}))  # fmt: skip
        return
    print(table(rates))
    print()
    print("Version 2, the bare code, by level of correction:")
    for name, found in levels.items():
        print(f"  {name}: " + ", ".join(f"{level} {share:.1%}" for level, share in found.items()))
    print(f"{sum(r.tags for r in rates)} photos in {time.perf_counter() - begun:.0f} s")


if __name__ == "__main__":
    main()
