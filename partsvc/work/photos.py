"""Photos: kept under the hash of what they show, without the history a phone writes into them."""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass
from typing import Annotated

from labels.photo import PictureFault, clean
from partsvc.domain.records import Says
from partsvc.errors import Invalid, NotFound
from partsvc.store import people
from partsvc.work.service import Sender, Service

_HASH = re.compile(r"[0-9a-f]{64}")


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoShown:
    """A photo as it is kept."""

    hash: Annotated[str, Says("names the photo in acts")]
    size_bytes: int


def add(service: Service, sender: Sender, sent: bytes) -> PhotoShown:
    """Keep a photo, upright, of a sensible size and without its history; Invalid if it is none."""
    try:
        jpeg = clean(sent)
    except PictureFault as fault:
        raise Invalid(str(fault), field="photo") from fault
    digest = hashlib.sha256(jpeg).hexdigest()
    with service.database.writing() as db:
        people.add_photo(
            db, service.site, digest=digest, jpeg=jpeg, by=sender.person, at=service.stamp()
        )
    return PhotoShown(hash=digest, size_bytes=len(jpeg))


def photo(service: Service, digest: str) -> bytes:
    """The photo of a hash, as a JPEG; NotFound if there is none."""
    with service.database.reading() as db:
        found = people.photo(db, service.site, digest) if _HASH.fullmatch(digest) else None
    if found is None:
        raise NotFound("There is no photo of that hash here.", photo=digest[:64])
    return found
