"""Reads the codes of tags from a photo, for people whose browser cannot.

Where the service is reached over plain HTTP a browser gives no access to a live camera; a photo
of the tag, read here, does the same.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import zxingcpp

from labels.picture import PictureFault, upright

__all__ = ["PictureFault", "Reading", "read_codes"]

_LONGEST_PX: Final = 4000
"""Twelve million pixels at most are searched; more only takes longer."""


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
    image = upright(image_bytes, longest_px=_LONGEST_PX)
    formats = zxingcpp.BarcodeFormats((zxingcpp.BarcodeFormat.QRCode,))
    found = zxingcpp.read_barcodes(image, formats=formats)
    readings = (_reading(code, image.width, image.height) for code in found if code.text)
    return tuple(sorted(readings, key=lambda reading: (reading.y, reading.x)))


def _reading(code: zxingcpp.Barcode, width: int, height: int) -> Reading:
    place = code.position
    corners = (place.top_left, place.top_right, place.bottom_left, place.bottom_right)
    x = sum(corner.x for corner in corners) / 4 / width
    y = sum(corner.y for corner in corners) / 4 / height
    return Reading(code.text, round(x, 4), round(y, 4))
