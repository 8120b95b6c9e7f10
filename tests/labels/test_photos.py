"""Photos from the bench: read, cleaned, and refused in words where they cannot be used."""

from __future__ import annotations

import struct
import zlib
from collections.abc import Callable
from io import BytesIO

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, PngImagePlugin
from tag_bench import BAG, BLANK, NEW_PARTS, page_picture

from labels.draw_pdf import sheet_pdf
from labels.draw_png import png
from labels.items import Symbol
from labels.layout import MM_PER_INCH, label_size, lay_out
from labels.photo import clean
from labels.picture import MOST_BYTES, PictureFault
from labels.reading import Reading, read_codes
from labels.stock import load
from labels.tag import TagFace

ORIENTATION = 0x0112
GPS = 0x8825
STOCK = load("single-70x50-300")


def saved(image: Image.Image, kind: str, **options: object) -> bytes:
    out = BytesIO()
    image.save(out, kind, **options)
    return out.getvalue()


def opened(data: bytes) -> Image.Image:
    return Image.open(BytesIO(data))


def tag_picture(face: TagFace = BAG) -> Image.Image:
    return opened(png(face, STOCK)).convert("RGB")


def bench_photo() -> Image.Image:
    """A tag lying on a grey bench, in the upper left quarter."""
    bench = Image.new("RGB", (2400, 1800), (140, 140, 135))
    bench.paste(tag_picture(), (150, 100))
    return bench


def bomb_png(side: int) -> bytes:
    """A few kilobytes that say they are a picture of `side` times `side` pixels."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        check = struct.pack(">I", zlib.crc32(kind + data))
        return struct.pack(">I", len(data)) + kind + data + check

    head = struct.pack(">IIBBBBB", side, side, 8, 0, 0, 0, 0)
    body = zlib.compress(b"\0" * 100_000)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", body) + chunk(b"IEND", b"")


def tried(data: bytes) -> str:
    """How cleaning ends: with a picture, or with which of its two sentences."""
    try:
        cleaned = opened(clean(data))
    except PictureFault as fault:
        return "not whole" if "not a whole JPEG" in str(fault) else "too large"
    cleaned.load()
    return "cleaned"


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_a_photo_of_a_tag_says_its_code_and_where_it_is(kind: str) -> None:
    (found,) = read_codes(saved(bench_photo(), kind))

    symbol = lay_out(BAG, label_size(STOCK))[0]
    assert isinstance(symbol, Symbol)
    middle = (symbol.x_mm + symbol.side_mm / 2) * STOCK.dpi / MM_PER_INCH
    assert found.text == "K7M2X9QD"
    assert (found.x, found.y) == pytest.approx(
        ((150 + middle) / 2400, (100 + middle) / 1800), abs=0.002
    )


@pytest.mark.parametrize("degrees", [13, 45, 90, 180, 270])
def test_a_tag_may_lie_any_way_round(degrees: int) -> None:
    turned = tag_picture().rotate(degrees, expand=True, fillcolor="white")

    assert [found.text for found in read_codes(saved(turned, "JPEG"))] == ["K7M2X9QD"]


def test_places_are_those_of_the_upright_photo() -> None:
    on_its_side = bench_photo().transpose(Image.Transpose.ROTATE_90)
    exif = Image.Exif()
    exif[ORIENTATION] = 6

    (found,) = read_codes(saved(on_its_side, "JPEG", exif=exif))
    (upright,) = read_codes(saved(bench_photo(), "JPEG"))

    assert (found.x, found.y) == pytest.approx((upright.x, upright.y), abs=0.01)


def test_a_whole_sheet_is_read_from_top_to_bottom() -> None:
    codes = [f"SHEET{n:03d}" for n in range(10)]
    sheet = sheet_pdf([TagFace(code=code) for code in codes], load("a4-2x5"))

    found = read_codes(saved(page_picture(sheet), "PNG"))

    assert sorted(reading.text for reading in found) == codes
    assert [reading.y for reading in found] == sorted(reading.y for reading in found)


def test_a_very_large_photo_is_read_too() -> None:
    large = bench_photo().resize((7200, 5400))

    assert [found.text for found in read_codes(saved(large, "JPEG", quality=60))] == ["K7M2X9QD"]


def test_a_photo_without_a_tag_reads_as_nothing() -> None:
    assert read_codes(saved(Image.new("RGB", (800, 600), "gray"), "JPEG")) == ()


def test_an_address_is_read_as_it_was_printed() -> None:
    (found,) = read_codes(png(NEW_PARTS, STOCK))

    assert isinstance(found, Reading)
    assert found.text == NEW_PARTS.symbol_payload


@pytest.mark.parametrize("turn", range(1, 9))
def test_a_cleaned_photo_stands_upright(turn: int) -> None:
    corner = Image.new("RGB", (400, 300), "white")
    corner.paste("red", (0, 0, 100, 100))
    # What a camera stores so that this orientation brings the corner back to the top left.
    back = {2: 0, 3: 3, 4: 1, 5: 5, 6: 2, 7: 6, 8: 4}
    stored = corner if turn == 1 else corner.transpose(Image.Transpose(back[turn]))
    exif = Image.Exif()
    exif[ORIENTATION] = turn

    cleaned = opened(clean(saved(stored, "JPEG", exif=exif, quality=95)))

    assert cleaned.size == (400, 300)
    red, green, _ = cleaned.getpixel((30, 30))
    assert (red > 200, green < 60) == (True, True)


def test_nothing_but_pixels_is_left_of_a_photo() -> None:
    exif = Image.Exif()
    exif[0x010F] = "camera-of-someone"
    exif[GPS] = {1: "N", 2: (52.0, 31.0, 12.0)}
    marked = saved(
        bench_photo(),
        "JPEG",
        exif=exif,
        comment=b"note-of-someone",
        icc_profile=b"profile-of-someone",
        xmp=b"<x>packet-of-someone</x>",
    )

    cleaned = clean(marked)

    assert b"-of-someone" in marked
    assert b"-of-someone" not in cleaned
    image = opened(cleaned)
    assert (image.format, dict(image.getexif())) == ("JPEG", {})
    assert set(image.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}


def test_words_hidden_in_a_png_are_gone_too() -> None:
    words = PngImagePlugin.PngInfo()
    words.add_text("Author", "note-of-someone")

    assert b"-of-someone" not in clean(saved(bench_photo(), "PNG", pnginfo=words))


def test_a_large_photo_is_shrunk_and_a_small_one_left() -> None:
    assert opened(clean(saved(bench_photo(), "JPEG"))).size == (1600, 1200)
    assert opened(clean(saved(bench_photo(), "JPEG"), longest_px=800)).size == (800, 600)
    assert opened(clean(saved(Image.new("RGB", (90, 70)), "PNG"))).size == (90, 70)


def test_cleaning_twice_gives_the_same_bytes() -> None:
    photo = saved(bench_photo(), "JPEG")

    assert clean(photo) == clean(photo)


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "RGBA", "I;16"])
def test_every_way_of_storing_colours_is_taken(mode: str) -> None:
    image = opened(clean(saved(Image.new(mode, (60, 40)), "PNG")))

    assert (image.mode, image.size) == ("RGB", (60, 40))


def test_a_transparent_picture_is_laid_on_white() -> None:
    cleaned = opened(clean(saved(Image.new("RGBA", (60, 40), (0, 0, 0, 0)), "PNG")))

    assert cleaned.getpixel((30, 20)) == (255, 255, 255)


@pytest.mark.parametrize("use", [clean, read_codes])
@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"not a picture",
        b"%PDF-1.7\n",
        b"\xff\xd8\xff\xe0\x00\x10JFIF",
        saved(Image.new("RGB", (40, 40)), "GIF"),
        saved(Image.new("RGB", (40, 40)), "BMP"),
        saved(Image.new("RGB", (40, 40)), "TIFF"),
        png(BLANK, STOCK)[:900],
        b"<svg xmlns='http://www.w3.org/2000/svg'/>",
    ],
    ids=["empty", "words", "pdf", "cut-head", "gif", "bmp", "tiff", "cut-png", "svg"],
)
def test_what_is_no_whole_picture_is_refused_in_words(
    use: Callable[[bytes], object], data: bytes
) -> None:
    with pytest.raises(PictureFault, match="not a whole JPEG, PNG or WebP picture"):
        use(data)


@pytest.mark.parametrize("use", [clean, read_codes])
@pytest.mark.parametrize("side", [7_300, 12_000, 60_000])
@pytest.mark.filterwarnings("ignore::PIL.Image.DecompressionBombWarning")
def test_a_small_file_that_unfolds_to_a_huge_picture_is_refused(
    use: Callable[[bytes], object], side: int
) -> None:
    with pytest.raises(PictureFault, match="more than 52 million pixels"):
        use(bomb_png(side))


def test_a_file_of_too_many_bytes_is_refused_unopened() -> None:
    with pytest.raises(PictureFault, match="larger than 25 MB"):
        clean(b"\0" * (MOST_BYTES + 1))


@pytest.mark.filterwarnings("ignore::UserWarning:PIL")
@settings(deadline=None, max_examples=150)
@given(
    st.sampled_from(["JPEG", "PNG", "WEBP"]),
    st.integers(min_value=0, max_value=10_000),
    st.binary(min_size=1, max_size=12),
)
def test_a_damaged_photo_is_cleaned_or_refused_and_nothing_else(
    kind: str, place: int, damage: bytes
) -> None:
    exif = Image.Exif()
    exif[ORIENTATION] = 6
    whole = saved(Image.new("RGB", (64, 48), "teal"), kind, exif=exif)
    place %= len(whole)
    damaged = whole[:place] + damage + whole[place + len(damage) :]

    outcome = tried(damaged)

    assert outcome in {"cleaned", "not whole", "too large"}
