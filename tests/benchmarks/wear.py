"""What days in a workshop and a quick photo do to a tag, in stated degrees.

The degrees are our own: no standard grades a bag tag in oil. ISO/IEC 15415 grades a print, not
what became of it. Everything is drawn by chance from a seed, so that a trial can be repeated.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO
from random import Random

import numpy as np
from PIL import Image, ImageDraw, ImageFilter

MODULES_OF_A_FINDER = 8
"""A finder pattern and its blank edge."""

_BENCH = 120
_WORKING_PX = 12
"""Pixels a module while wear is drawn; a photo shows fewer, a printer's dots are often more."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Grade:
    """What becomes of a tag, and how it is photographed.

    Lengths in modules of the symbol, so that a large tag is not spoilt less than a small one:

    - `module_px`: how large a module is on the photo. Six pixels are a label of 70 mm across half
      of a photo that was shrunk to 1600 pixels.
    - `blur_modules`: the spread (sigma) of the blur.
    - `turn_deg`: turned by as much at most, either way.
    - `tilt`: the perspective, how much shorter the far side is at most.
    - `shade`: how bright the darker side is against the lighter.
    - `ink`: how much of the contrast is left.
    - `noise`: of 255.
    - `film`: the share of the symbol under grease, `film_ink` the contrast left there.
    - `mud`: the share under drops that hide everything, `mud_on_finders` whether they fall on
      the finder patterns too.
    - `scratches`: bright lines across the symbol from edge to edge, `scratch_modules` wide.
    - `torn_modules`: how far along both edges the corner without a finder pattern is torn off.
    - `quality`: of the JPEG.
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
    film_ink: float = 1.0
    mud: float = 0.0
    mud_on_finders: bool = False
    scratches: int = 0
    scratch_modules: float = 0.0
    torn_modules: float = 0.0
    quality: int = 90


@dataclass(frozen=True, slots=True)
class Place:
    """Where a symbol lies on a picture, in its pixels, without the quiet zone."""

    left: float
    top: float
    module: float
    modules: int

    @property
    def side(self) -> float:
        """Length of a side."""
        return self.module * self.modules

    @property
    def right(self) -> float:
        """The right edge."""
        return self.left + self.side

    @property
    def foot(self) -> float:
        """The lower edge."""
        return self.top + self.side

    def shrunk(self, share: float) -> Place:
        """The same place on a picture of another size."""
        return Place(self.left * share, self.top * share, self.module * share, self.modules)

    def on_a_finder(self, x: float, y: float, reach: float) -> bool:
        """Whether something of that reach around x, y touches a finder pattern."""
        far = MODULES_OF_A_FINDER * self.module + reach
        left, top = x - self.left < far, y - self.top < far
        right, foot = self.right - x < far, self.foot - y < far
        return (left and top) or (right and top) or (left and foot)


def spoilt(tag: Image.Image, place: Place, grade: Grade, chance: Random) -> Image.Image:
    """The photo of a tag after its days in the workshop; `place` is its symbol's."""
    share = min(1.0, _WORKING_PX / place.module)
    worn = _resized(tag.convert("L"), share)
    there = place.shrunk(share)
    _film(worn, there, grade, chance)
    draw = ImageDraw.Draw(worn)
    _mud(draw, there, grade, chance)
    _scratches(draw, there, grade, chance)
    _torn(draw, there, grade)
    photo = _photographed(worn, grade.module_px / there.module, grade, chance)
    return _developed(photo, grade, chance)


def _resized(image: Image.Image, share: float) -> Image.Image:
    size = (max(8, round(image.width * share)), max(8, round(image.height * share)))
    return image if size == image.size else image.resize(size, Image.Resampling.BOX)


def _film(tag: Image.Image, place: Place, grade: Grade, chance: Random) -> None:
    """Grease lightens what is black and darkens what is white."""
    if not grade.film:
        return
    under = Image.new("L", tag.size, 0)
    draw = ImageDraw.Draw(under)
    for x, y, half_x, half_y in _drops(place, grade.film, chance):
        draw.ellipse((x - half_x, y - half_y, x + half_x, y + half_y), fill=255)
    lightest = (1 - grade.film_ink) * 128
    tag.paste(tag.point(lambda grey: round(lightest + grey * grade.film_ink)), mask=under)


def _mud(draw: ImageDraw.ImageDraw, place: Place, grade: Grade, chance: Random) -> None:
    for x, y, half_x, half_y in _drops(place, grade.mud, chance):
        while not grade.mud_on_finders and place.on_a_finder(x, y, max(half_x, half_y)):
            x, y = chance.uniform(place.left, place.right), chance.uniform(place.top, place.foot)
        grey = chance.randrange(60, 180)
        draw.ellipse((x - half_x, y - half_y, x + half_x, y + half_y), fill=grey)


def _drops(
    place: Place, share: float, chance: Random
) -> Sequence[tuple[float, float, float, float]]:
    """Middles and half axes of one to three drops that cover so much of the symbol."""
    if not share:
        return ()
    count = chance.randint(1, 3)
    found = []
    for _ in range(count):
        ratio = chance.uniform(0.5, 2.0)
        half = (place.side**2 * share / count / 3.1416) ** 0.5
        half_x, half_y = half * ratio**0.5, half / ratio**0.5
        x = chance.uniform(place.left + half_x, max(place.left + half_x, place.right - half_x))
        y = chance.uniform(place.top + half_y, max(place.top + half_y, place.foot - half_y))
        found.append((x, y, half_x, half_y))
    return found


def _scratches(draw: ImageDraw.ImageDraw, place: Place, grade: Grade, chance: Random) -> None:
    """From one edge to the opposite one, down or across."""
    width = max(1, round(grade.scratch_modules * place.module))
    for _ in range(grade.scratches):
        first, last = chance.random() * place.side, chance.random() * place.side
        if chance.random() < 0.5:
            ends = [(place.left, place.top + first), (place.right, place.top + last)]
        else:
            ends = [(place.left + first, place.top), (place.left + last, place.foot)]
        draw.line(ends, fill=225, width=width)


def _torn(draw: ImageDraw.ImageDraw, place: Place, grade: Grade) -> None:
    if grade.torn_modules:
        off = grade.torn_modules * place.module
        right, foot = place.right + 1, place.foot + 1
        draw.polygon([(right, foot), (right - off, foot), (right, foot - off)], fill=205)


def _photographed(tag: Image.Image, share: float, grade: Grade, chance: Random) -> Image.Image:
    """Seen from the side and turned, at so many pixels a module, on a bench's grey."""
    small = _resized(tag, share)
    if grade.tilt:
        small = _leaned(small, grade.tilt * chance.uniform(0.5, 1.0), chance)
    turn = chance.uniform(-grade.turn_deg, grade.turn_deg)
    if not turn:
        return small
    return small.rotate(turn, Image.Resampling.BICUBIC, expand=True, fillcolor=_BENCH)


def _leaned(image: Image.Image, tilt: float, chance: Random) -> Image.Image:
    width, height = image.size
    inset_x, inset_y = width * tilt / 2, height * tilt / 2 * chance.uniform(0.0, 0.6)
    corners = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)]
    seen = [(inset_x, inset_y), (width - inset_x, inset_y), (width, height), (0.0, height)]
    return image.transform(
        image.size,
        Image.Transform.PERSPECTIVE,
        _perspective(seen, corners),
        Image.Resampling.BICUBIC,
        fillcolor=_BENCH,
    )


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
        grey = grey + dice.standard_normal(grey.shape, dtype=np.float32) * grade.noise
    out = BytesIO()
    Image.fromarray(np.clip(grey, 0, 255).astype(np.uint8)).save(out, "JPEG", quality=grade.quality)
    return Image.open(BytesIO(out.getvalue()))
