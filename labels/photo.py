"""Makes a photo fit to be kept as evidence: upright, of a sensible size, and without a history.

A phone writes the place, the time and its owner's device into every photo. None of that belongs
in a record, so only the pixels are kept.
"""

from __future__ import annotations

from io import BytesIO
from typing import Final

from labels.picture import PictureFault, upright

__all__ = ["PictureFault", "clean"]

_QUALITY: Final = 85


def clean(image_bytes: bytes, *, longest_px: int = 1600) -> bytes:
    """The photo as a JPEG, upright, no side longer than `longest_px`, all metadata removed.

    The same bytes give the same photo. Raises PictureFault, with a sentence for the person who
    sent it, for a file that is no JPEG, PNG or WebP picture, is damaged, or is too large.
    """
    out = BytesIO()
    upright(image_bytes, longest_px=longest_px).save(out, "JPEG", quality=_QUALITY, optimize=True)
    return out.getvalue()
