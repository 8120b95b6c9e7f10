"""What somebody at the parts desk does, in the browser's words, for the tests of the desk."""

from __future__ import annotations

import io
from typing import Any

import pypdfium2
import zxingcpp
from floor import Floor
from PIL import Image
from playwright.sync_api import Page

from seed.play import people
from seed.play.door import SignedIn


def program(floor: Floor, login: str) -> SignedIn:
    """The same person, seen by a program."""
    return floor.door().sign_in(login, people.password(login), "a program")


def lines_of(floor: Floor) -> list[dict[str, Any]]:
    """The order lines of the van."""
    lines = program(floor, "asha").get(f"/jobs/{floor.van.job}/order-lines")["lines"]
    return list(lines)


def stock_of(floor: Floor) -> dict[str, int]:
    """What the store has by its book."""
    lines = program(floor, "asha").get("/stock?limit=500")["stock"]
    return {one["part"]: one["quantity"] for one in lines}


def acts_of(floor: Floor, kind: str) -> list[dict[str, Any]]:
    """The acts of one kind on the van's ledger."""
    return [one for one in floor.acts(floor.van.job) if one["kind"] == kind]


def downloaded(page: Page, name: str) -> bytes:
    """A link or button with this word is tapped, and what comes is a file."""
    with page.expect_download() as coming:
        page.get_by_role("link", name=name).or_(page.get_by_role("button", name=name)).first.click()
    path = coming.value.path()
    return path.read_bytes()


def opened_pdf(page: Page, name: str) -> bytes:
    """A link or button with this word is tapped, and what the browser opens is a PDF."""
    with page.expect_request(lambda asked: ".pdf" in asked.url) as asking:
        page.get_by_role("link", name=name).or_(page.get_by_role("button", name=name)).first.click()
    answer = page.request.get(asking.value.url)
    assert answer.headers["content-type"] == "application/pdf"
    return answer.body()


def codes_on(pdf: bytes) -> list[str]:
    """The tags that an independent reader finds on the pages of a PDF, top left first."""
    found = []
    for page in pypdfium2.PdfDocument(pdf):
        picture: Image.Image = page.render(scale=300 / 72).to_pil().convert("L")
        codes = zxingcpp.read_barcodes(picture)
        codes.sort(key=lambda one: (one.position.top_left.y // 80, one.position.top_left.x))
        found += [code_of(one.text) for one in codes]
    return found


def code_of(text: str) -> str:
    """The eight characters of what a tag says."""
    return text.rstrip("/").rpartition("/")[2].replace("-", "")


def table_of(data: bytes) -> str:
    """The text of a table as a spreadsheet reads it: by its byte order mark."""
    assert data.startswith(b"\xef\xbb\xbf")
    return io.TextIOWrapper(io.BytesIO(data), "utf-8-sig", newline="").read()
