"""Addresses of tags: minted, printed, scanned, voided."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from flask import Response

from partsvc.api.files import PDF, PNG, file
from partsvc.api.room import Room, sent_photo
from partsvc.domain.acts.kinds import ALL
from partsvc.domain.records import Between, Id, Length, Says
from partsvc.domain.tag_look import TagView
from partsvc.errors import Invalid
from partsvc.web.running import sender, service
from partsvc.work import boards, tag_photos, tagging
from partsvc.work.answers import Writing
from partsvc.work.boards import BoardMade, NewBoard
from partsvc.work.tag_photos import PhotoRead, ReadWanted
from partsvc.work.tag_view import tag_view
from partsvc.work.tagging import (
    MOST_ON_A_SHEET,
    ONE_LABEL,
    USUAL_STOCK,
    NewTags,
    TagLine,
    TagsMade,
    VoidTag,
)

room = Room("tags", __name__, description="Tags: the codes on bags, trays, boxes and trolleys.")

Stock = Annotated[str, Length(1, 40), Says("the label stock, by its key")]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetWanted:
    """Which tags to print, on which labels, from which label of the first sheet on."""

    codes: Annotated[
        str | None, Length(8, 40 * MOST_ON_A_SHEET), Says("tag codes, with commas between")
    ] = None
    job: Annotated[Id | None, Says("all tags of this job that are still good")] = None
    board: Annotated[
        str | None, Length(8, 40), Says("a board by its own tag: that, and its pockets")
    ] = None
    stock: Stock = USUAL_STOCK
    start_at: Annotated[int, Between(1, 400), Says("the first label that is still free")] = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelWanted:
    """On which label a tag is to be drawn."""

    stock: Stock = ONE_LABEL


@room.at("POST", "/tags", roles=ALL, takes=NewTags, gives=TagsMade, status=201, writes=True,
         problems=[404])  # fmt: skip
def post_tags(*, db: Writing, given: NewTags) -> TagsMade:
    """Mint tags

    So many blank ones, or one for each position of a job that goes into a bag.
    """
    return tagging.mint(service(), db, given)


@room.at("POST", "/tags/boards", roles=ALL, takes=NewBoard, gives=BoardMade, status=201,
         writes=True, problems=[404])  # fmt: skip
def post_board(*, db: Writing, given: NewBoard) -> BoardMade:
    """Mint a board or tray with numbered pockets

    One tag for the board and one for each pocket: scanning a pocket is scanning a bag.
    """
    return boards.mint_board(service(), db, given)


@room.at("GET", "/tags/<code>", roles=ALL, gives=TagView)
def get_tag(code: str) -> TagView:
    """Say what is in a bag, where it belongs, and what to do with it next"""
    return tag_view(service(), code)


@room.at("GET", "/tags/<code>.png", roles=ALL, asks=LabelWanted, gives=PNG)
def get_tag_picture(code: str, *, asked: LabelWanted) -> Response:
    """Draw a tag as a picture"""
    return file(tagging.picture_of_tag(service(), code, stock=asked.stock), PNG)


@room.at("GET", "/tags.pdf", roles=ALL, asks=SheetWanted, gives=PDF, problems=[404])
def get_tag_sheet(*, asked: SheetWanted) -> Response:
    """Print tags on sheets of labels

    Named by their `codes`, or all of a `job`, or a `board` with its pockets.
    """
    if sum(one is not None for one in (asked.codes, asked.job, asked.board)) != 1:
        raise Invalid("Say either `codes`, or a `job`, or a `board`.", field="codes")
    return file(_sheet(asked), PDF, name="tags.pdf")


def _sheet(asked: SheetWanted) -> bytes:
    if asked.job is not None:
        return tagging.sheet_of_job(
            service(), asked.job, stock=asked.stock, start_at=asked.start_at
        )
    if asked.board is not None:
        return boards.sheet_of_board(
            service(), asked.board, stock=asked.stock, start_at=asked.start_at
        )
    codes = [code for code in (asked.codes or "").split(",") if code.strip()]
    if len(codes) > MOST_ON_A_SHEET:
        raise Invalid(f"{len(codes)} tags; at most {MOST_ON_A_SHEET} at once.", field="codes")
    return tagging.sheet_of_tags(service(), codes, stock=asked.stock, start_at=asked.start_at)


@room.at("GET", "/jobs/<job>/tags", roles=ALL, gives=TagsMade)
def get_tags_of_job(job: str) -> TagsMade:
    """List the tags of a job"""
    return tagging.tags_of_job(service(), job)


@room.at("POST", "/tags/<code>/void", roles=ALL, takes=VoidTag, gives=TagLine, writes=True)
def post_void(code: str, *, db: Writing, given: VoidTag) -> TagLine:
    """Void a tag that is lost, torn or unreadable

    Refused while pieces lie in its bag by the book.
    """
    return tagging.void(service(), db, code, given)


@room.at("POST", "/tags/read", roles=ALL, asks=ReadWanted, gives=PhotoRead, takes_photo=True,
         problems=[404])  # fmt: skip
def post_read(*, asked: ReadWanted) -> PhotoRead:
    """Read the tags on a photo

    A tray, a rack or a heap of bags: which tags are on it and where, which bags of the job are
    missing, which are not of this job.
    """
    return tag_photos.read_photo(service(), sender(), sent_photo(), asked)
