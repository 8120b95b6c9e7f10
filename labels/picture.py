"""The one door for pictures from outside: a phone's camera, or whatever someone uploads.

A picture is opened only when its kind, its bytes and its pixels are within bounds, so that a
small file that unfolds to gigabytes is refused before it is unfolded.
"""

from __future__ import annotations

import struct
from io import BytesIO
from typing import Final

from PIL import Image
from PIL.Image import Transpose

MOST_BYTES: Final = 25_000_000
MOST_PIXELS: Final = 52_000_000
"""Room for the 50 million of a large phone camera."""

_KINDS: Final = ("JPEG", "PNG", "WEBP")
_ORIENTATION: Final = 0x0112

_TURNS: Final[dict[object, Transpose]] = {
    # How to bring a picture upright, by its EXIF orientation.
    2: Transpose.FLIP_LEFT_RIGHT,
    3: Transpose.ROTATE_180,
    4: Transpose.FLIP_TOP_BOTTOM,
    5: Transpose.TRANSPOSE,
    6: Transpose.ROTATE_270,
    7: Transpose.TRANSVERSE,
    8: Transpose.ROTATE_90,
}


class PictureFault(ValueError):
    """The picture cannot be used; the text says what to send instead."""


def upright(image_bytes: bytes, *, longest_px: int) -> Image.Image:
    """The picture the way up it was taken, shrunk to at most `longest_px` on its longer side.

    Raises PictureFault for anything but a whole JPEG, PNG or WebP picture within bounds.
    """
    if len(image_bytes) > MOST_BYTES:
        raise PictureFault(f"The picture is larger than {MOST_BYTES // 1_000_000} MB.")
    try:
        return _turned_and_shrunk(image_bytes, longest_px)
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as fault:
        raise _too_many_pixels() from fault
    except PictureFault:
        raise
    except (OSError, ValueError, SyntaxError, struct.error) as fault:
        raise PictureFault(
            "The file is not a whole JPEG, PNG or WebP picture. Take or choose the picture again."
        ) from fault


def _turned_and_shrunk(image_bytes: bytes, longest_px: int) -> Image.Image:
    with Image.open(BytesIO(image_bytes), formats=_KINDS) as image:
        if image.width * image.height > MOST_PIXELS:
            raise _too_many_pixels()
        turn = _TURNS.get(image.getexif().get(_ORIENTATION))
        # A JPEG can be decoded at a half or a quarter of its size, which spares most of the work.
        share = min(1.0, longest_px / max(image.size))
        image.draft(None, (int(image.width * share), int(image.height * share)))
        image.load()
        shrunk = _plain_colours(image)
    shrunk.thumbnail((longest_px, longest_px), Image.Resampling.LANCZOS)
    return shrunk if turn is None else shrunk.transpose(turn)


def _plain_colours(image: Image.Image) -> Image.Image:
    """The bare pixels, on white where the picture is transparent, and nothing that came along."""
    bare = Image.new("RGB", image.size, "white")
    if image.has_transparency_data:
        layer = image.convert("RGBA")
        bare.paste(layer, mask=layer.getchannel("A"))
    else:
        bare.paste(image.convert("RGB"))
    return bare


def _too_many_pixels() -> PictureFault:
    most = MOST_PIXELS // 1_000_000
    return PictureFault(f"The picture has more than {most} million pixels. Send a smaller one.")
