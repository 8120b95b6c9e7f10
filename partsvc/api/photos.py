"""Addresses of photos: sent as they are taken, kept without their history."""

from __future__ import annotations

from flask import Response, jsonify

from partsvc.api.act_document import reference
from partsvc.api.files import JPEG, file
from partsvc.api.paging import LINK_HEADER, next_page
from partsvc.api.room import PHOTO_BODY, Room, sent_photo
from partsvc.domain.acts.kinds import ALL
from partsvc.web.running import sender, service
from partsvc.work import job_photos, photos, pictures
from partsvc.work.job_photos import JobPhotos, PhotosWanted
from partsvc.work.pictures import JobPictures, PicturesWanted

room = Room("photos", __name__, description="Photos, kept under the hash of what they show.")

_ANSWERS = {
    201: {
        "description": "The photo is kept; name it in acts by its hash.",
        "content": {"application/json": {"schema": reference("PhotoShown")}},
    }
}


@room.plain(
    "POST", "/photos", (400, 401, 403, 413, 415, 422, 503), roles=ALL, answers=_ANSWERS,
    takes="photo", requestBody=PHOTO_BODY,
)  # fmt: skip
def post_photo() -> Response:
    """Keep a photo

    It is turned upright and shrunk, and all that the camera wrote into it is removed. The same
    photo twice is one.
    """
    kept = photos.add(service(), sender(), sent_photo())
    answer = jsonify({"hash": kept.hash, "size_bytes": kept.size_bytes})
    answer.status_code = 201
    answer.headers["Location"] = f"/api/v1/photos/{kept.hash}.jpg"
    return answer


@room.at("GET", "/photos/<photo>.jpg", roles=ALL, gives=JPEG)
def get_photo(photo: str) -> Response:
    """Look at a photo"""
    answer = file(photos.photo(service(), photo), JPEG)
    answer.headers["Cache-Control"] = "private, max-age=31536000, immutable"
    return answer


@room.at("GET", "/jobs/<job>/photos", roles=ALL, asks=PhotosWanted, gives=JobPhotos,
         headers=LINK_HEADER)  # fmt: skip
def get_photos_of_job(job: str, *, asked: PhotosWanted) -> tuple[JobPhotos, dict[str, str]]:
    """List the photos of a job, of a step, a position or a bag

    Each with the act that carries it, and whether it shows how it was before, or after.
    """
    page = job_photos.photos_of_job(service(), job, asked)
    return page, next_page("after", page.next_after or None)


@room.at("GET", "/jobs/<job>/pictures", roles=ALL, asks=PicturesWanted, gives=JobPictures)
def get_pictures_of_job(job: str, *, asked: PicturesWanted) -> JobPictures:
    """Look at the photos of a job's steps, with what is where on them

    Each spot with its number, the order of tightening as tapped, and how far its position is now.
    """
    return pictures.job_pictures(service(), job, asked)
