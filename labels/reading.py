"""Reads the codes of tags from a photo, for people whose browser cannot.

Where the service is reached over plain HTTP a browser gives no access to a live camera; a photo
of the tag, read here, does the same.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import zxingcpp
from PIL import Image, ImageFilter

from labels.picture import PictureFault, upright

__all__ = ["PictureFault", "Reading", "read_codes", "read_picture"]

_QR: Final = zxingcpp.BarcodeFormats((zxingcpp.BarcodeFormat.QRCode,))

_LONGEST_PX: Final = 4000
"""Twelve million pixels at most are searched; more only takes longer."""

_SOFTENED_PX: Final = 1.5


@dataclass(frozen=True, slots=True)
class Reading:
    """A code found on a photo; x and y are its middle as shares of the upright width and height.

    Both run from 0 to 1 from the top left corner, whatever size the photo was read at.
    """

    text: str
    x: float
    y: float


def read_codes(image_bytes: bytes) -> tuple[Reading, ...]:
    """All codes on the photo, from top to bottom; none is an answer too.

    Raises PictureFault, with a sentence for the person who sent it, for a file that is no JPEG,
    PNG or WebP picture, is damaged, or is too large.
    """
    return read_picture(upright(image_bytes, longest_px=_LONGEST_PX))


def read_picture(image: Image.Image) -> tuple[Reading, ...]:
    """All codes on an opened picture, from top to bottom.

    A tag that was scratched or is small on the photo is looked for once more in other light: what
    a first look finds is kept, and each further look only adds.
    """
    found: dict[str, Reading] = {}
    for look in _looks(image.convert("L")):
        for code in zxingcpp.read_barcodes(look, formats=_QR):
            if code.text and code.text not in found:
                found[code.text] = _reading(code, look.width, look.height)
    return tuple(sorted(found.values(), key=lambda reading: (reading.y, reading.x)))


def _looks(grey: Image.Image) -> Iterator[Image.Image]:
    """The picture as it is; enlarged where it is small; with bright scratches closed; softened.

    A scratch through a finder pattern hides it from a look at the bare picture. The wider closing
    and the softening are measured in pixels, so a large photo is shrunk for them first.
    """
    yield grey
    if max(grey.size) <= _LONGEST_PX // 2:
        twice = (grey.width * 2, grey.height * 2)
        yield grey.resize(twice, Image.Resampling.BICUBIC)
    yield grey.filter(ImageFilter.MinFilter(3))
    small = grey.copy()
    small.thumbnail((_LONGEST_PX // 2, _LONGEST_PX // 2), Image.Resampling.BOX)
    yield small.filter(ImageFilter.MinFilter(5)).filter(ImageFilter.MaxFilter(5))
    yield small.filter(ImageFilter.GaussianBlur(_SOFTENED_PX))


def _reading(code: zxingcpp.Barcode, width: int, height: int) -> Reading:
    place = code.position
    corners = (place.top_left, place.top_right, place.bottom_left, place.bottom_right)
    x = sum(corner.x for corner in corners) / 4 / width
    y = sum(corner.y for corner in corners) / 4 / height
    return Reading(code.text, round(x, 4), round(y, 4))
