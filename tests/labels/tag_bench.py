"""Tags, renders and measures that the label tests share; all names are invented."""

from __future__ import annotations

import re

import pypdfium2
import pypdfium2.raw as pdfium
import zxingcpp
from PIL import Image

from labels.shapes import Shape
from labels.tag import Band, TagFace

MM_PER_POINT = 25.4 / 72

BAG = TagFace(
    code="K7M2X9QD",
    kind="BAG",
    job="Job 24-0113",
    vehicle="Panel van, long wheelbase",
    step="Step 12",
    position="Underbody tray, left sill",
    part="Flange bolt M10 x 35",
    count="4 pieces",
    rule="REPLACE: single-use, do not put back",
    rule_shape=Shape.CROSSED_BOX,
    lookalike="Looks like M10 x 45 in bag R3T8-WW21: longer",
    cautions=("High-voltage zone: proved dead first",),
)
BLANK = TagFace(code="00000001")
OLD_PARTS = TagFace(
    code="WWWWWWWW",
    kind="OLD PARTS",
    kind_band=Band.SOLID,
    job="Job 24-0113",
    part="Clip, door trim",
    count="2 pieces",
)
NEW_PARTS = TagFace(
    code="N1B2C3D4",
    payload="HTTPS://BENCH.EXAMPLE/T/N1B2C3D4",
    kind="NEW PARTS",
    kind_band=Band.DOUBLE,
    job="Job 24-0113",
    vehicle="Van 3",
    part="Seal ring 18 x 24",
    count="10 pieces",
    rule="Inspect before reuse: no nicks in the lip",
    rule_shape=Shape.DIAMOND,
)
TRAY = TagFace(
    code="Q8Q8Q8Q8",
    payload="HTTPS://PARTS-ROOM.EXAMPLE/NORTH/TAG/Q8Q8Q8Q8",
    kind="TRAY FOR EVERYTHING THAT CAME OFF THE REAR CROSS MEMBER",
    job="Job 24-0113 of the second shift",
    vehicle="Panel van with a high roof, second of three on this floor",
    step="Step 12 of the lowering",
    position="Behind the third cross member, above the harness clip rail, left and right " * 3,
    part="Hexagon flange bolt with captive washer and patch coating M10 x 1.25 x 35 " * 3,
    count="14 pieces",
    rule="REPLACE: single-use, do not put back; the new ones lie in the kit bag of this step",
    rule_shape=Shape.CROSSED_BOX,
    lookalike="Looks like M10 x 45 in bag R3T8-WW21: longer, would bottom out in the sill " * 2,
    cautions=("High-voltage zone: proved dead first", "Coolant may be hot"),
)
FACES = (BAG, BLANK, OLD_PARTS, NEW_PARTS, TRAY)


def page_picture(pdf: bytes, page: int = 0, *, dpi: int = 300) -> Image.Image:
    """One page as a printer of that many dots would show it."""
    document = pypdfium2.PdfDocument(pdf)
    return document[page].render(scale=dpi / 72).to_pil()


def page_count(pdf: bytes) -> int:
    return len(pypdfium2.PdfDocument(pdf))


def page_text(pdf: bytes, page: int = 0) -> str:
    return pypdfium2.PdfDocument(pdf)[page].get_textpage().get_text_range()


def whole_text(pdf: bytes) -> str:
    return "\n".join(page_text(pdf, page) for page in range(page_count(pdf)))


def scanned(image: Image.Image) -> list[str]:
    """What a scanner reads, from the top left to the bottom right."""
    found = zxingcpp.read_barcodes(image, formats=zxingcpp.BarcodeFormat.QRCode)
    placed = sorted(found, key=lambda code: (code.position.top_left.y, code.position.top_left.x))
    return [code.text for code in placed]


def path_bounds_mm(pdf: bytes, page: int = 0) -> list[tuple[float, float, float, float]]:
    """Left, top, right, bottom of each drawn path, from the sheet's top left corner."""
    document = pypdfium2.PdfDocument(pdf)
    sheet = document[page]
    height = sheet.get_height()
    found = []
    for thing in sheet.get_objects(filter=[pdfium.FPDF_PAGEOBJ_PATH]):
        left, bottom, right, top = thing.get_bounds()
        edges = (left, height - top, right, height - bottom)
        found.append(tuple(edge * MM_PER_POINT for edge in edges))
    return found


def path_corners(pdf: bytes, page: int = 0) -> list[int]:
    """How many corners and line ends each drawn path has."""
    document = pypdfium2.PdfDocument(pdf)
    paths = document[page].get_objects(filter=[pdfium.FPDF_PAGEOBJ_PATH])
    return [pdfium.FPDFPath_CountSegments(path.raw) for path in paths]


def unembedded_fonts(pdf: bytes) -> list[str]:
    """Fonts the file names without carrying them; a printer would put its own in their place."""
    named = re.findall(rb"/BaseFont\s*/([^\s/>]+)", pdf)
    return [name.decode() for name in named if not re.match(rb"[A-Z]{6}\+DejaVuSans", name)]


def fonts_of_words(pdf: bytes, page: int = 0) -> set[bool]:
    """Whether the font of each run of words on a page is carried by the file."""
    document = pypdfium2.PdfDocument(pdf)
    words = document[page].get_objects(filter=[pdfium.FPDF_PAGEOBJ_TEXT])
    return {
        bool(pdfium.FPDFFont_GetIsEmbedded(pdfium.FPDFTextObj_GetFont(run.raw))) for run in words
    }
