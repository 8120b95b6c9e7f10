"""Where things stand on a tag: nothing overlaps, nothing is too small, and words are cut last."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tag_bench import BAG, BLANK, FACES, NEW_PARTS, OLD_PARTS, TRAY

from labels.fit import LEAST_SIZE_MM, LayoutFault
from labels.fonts import ASCENT, DESCENT, Weight, picture_font, width_mm
from labels.items import Box, Dashes, Item, Mark, Ring, Rule, Symbol, Text
from labels.layout import LEAST_MODULE_MM, LabelSize, label_size, lay_out
from labels.on_stock import items_on
from labels.shapes import Shape
from labels.stock import (
    DPI_RANGE,
    INSET_RANGE_MM,
    LEAST_INNER_HEIGHT_MM,
    LEAST_INNER_WIDTH_MM,
    list_stocks,
    load,
    stock_keys,
)
from labels.tag import Band, Pocket, TagFace, TagFault
from labels.wording import NOT_PRINTED

Edges = tuple[float, float, float, float]

SMALLEST = tuple(
    LabelSize(
        width_mm=LEAST_INNER_WIDTH_MM + 2 * inset_mm,
        height_mm=LEAST_INNER_HEIGHT_MM + 2 * inset_mm,
        inset_mm=inset_mm,
        dpi=dpi,
    )
    for inset_mm in INSET_RANGE_MM
    for dpi in (*DPI_RANGE, 300, 600)
)
SIZES = (*SMALLEST, *(label_size(stock) for stock in list_stocks()))
INK_DOTS = 1000

WORDS = st.one_of(
    st.none(),
    st.text(max_size=400),
    st.text(alphabet="ÅÄÖgjpqyQWМЖщΩφĞİıŞżłЁ六角ト🔧 ", max_size=200),
    st.lists(st.sampled_from(["bolt", "M10", "W" * 60, "—", "left"]), max_size=60).map(" ".join),
)
CODES = st.text(alphabet="0123456789ABCDEFGHJKLMNPQRSTUVWXYZ", min_size=8, max_size=8)
PAYLOADS = st.one_of(
    st.none(),
    st.integers(min_value=1, max_value=47).map(
        lambda n: "HTTPS://BENCH.EXAMPLE/".ljust(n, "7")[:n]
    ),
)


@st.composite
def faces(draw: st.DrawFn) -> TagFace:
    rule = draw(WORDS)
    return TagFace(
        code=draw(CODES),
        payload=draw(PAYLOADS),
        kind=draw(WORDS),
        kind_band=draw(st.sampled_from(Band)),
        job=draw(WORDS),
        vehicle=draw(WORDS),
        step=draw(WORDS),
        position=draw(WORDS),
        part=draw(WORDS),
        count=draw(WORDS),
        rule=rule,
        rule_shape=draw(st.sampled_from(Shape)) if rule else None,
        lookalike=draw(WORDS),
        cautions=tuple(draw(st.lists(WORDS.filter(bool), max_size=4))),
    )


def ink(item: Text) -> Edges:
    """Where the letters' ink lies, from the font's own outlines at a large size.

    As far as the letters keep to the font's own line height. All European ones do; a few
    stacked ones (capitals with two marks, joined Arabic) reach out and may touch the next line.
    """
    font = picture_font(item.weight, float(INK_DOTS))
    _, top, _, foot = font.getbbox(item.text, anchor="ls")
    top, foot = max(top, -ASCENT * INK_DOTS), min(foot, DESCENT * INK_DOTS)
    scale = item.size_mm / INK_DOTS
    right = item.x_mm + width_mm(item.text, item.size_mm, item.weight)
    return (item.x_mm, item.y_mm + top * scale, right, item.y_mm + foot * scale)


def edges(item: Item) -> Edges:
    match item:
        case Text():
            return ink(item)
        case Ring():
            half = item.across_mm / 2
            return (item.x_mm - half, item.y_mm - half, item.x_mm + half, item.y_mm + half)
        case Rule() | Dashes():
            half = item.line_mm / 2
            x, y = item.x_mm, item.y_mm
            return (x, y - half, x + item.length_mm, y + half)
        case Symbol():
            quiet = 4 * item.module_mm
            x, y = item.x_mm - quiet, item.y_mm - quiet
            far = item.side_mm + 2 * quiet
            return (x, y, x + far, y + far)
        case Mark():
            x, y = item.x_mm, item.y_mm
            return (x, y, x + item.size_mm, y + item.size_mm)
        case Box():
            x, y = item.x_mm, item.y_mm
            return (x, y, x + item.width_mm, y + item.height_mm)


def overlap(one: Edges, other: Edges) -> bool:
    slack = 1e-6
    across = min(one[2], other[2]) - max(one[0], other[0])
    down = min(one[3], other[3]) - max(one[1], other[1])
    return across > slack and down > slack


def crosses_frame(box: Box, other: Edges) -> bool:
    """Whether something lies on a frame's line rather than within it or apart from it."""
    outer = edges(box)
    line = 0.0 if box.filled else box.line_mm
    inner = (outer[0] + line, outer[1] + line, outer[2] - line, outer[3] - line)
    within = all(
        (other[0] >= inner[0], other[1] >= inner[1], other[2] <= inner[2], other[3] <= inner[3])
    )
    return overlap(outer, other) and not within


def clashes(items: tuple[Item, ...]) -> list[tuple[Item, Item]]:
    solid = [item for item in items if not isinstance(item, Box)]
    boxes = [item for item in items if isinstance(item, Box)]
    pairs: list[tuple[Item, Item]] = [
        (one, other) for one, other in combinations(solid, 2) if overlap(edges(one), edges(other))
    ]
    pairs += [(box, item) for box in boxes for item in solid if crosses_frame(box, edges(item))]
    return pairs


def texts(items: tuple[Item, ...]) -> list[Text]:
    return [item for item in items if isinstance(item, Text)]


def words(face: TagFace, size: LabelSize) -> str:
    return "\n".join(text.text for text in texts(lay_out(face, size)))


@pytest.mark.parametrize("face", FACES, ids=lambda face: face.kind or "blank")
@pytest.mark.parametrize(
    "size", SIZES, ids=lambda size: f"{size.width_mm}x{size.height_mm}@{size.dpi}"
)
def test_nothing_overlaps_on_a_tag_of_the_day(face: TagFace, size: LabelSize) -> None:
    assert clashes(lay_out(face, size)) == []


@settings(deadline=None, max_examples=150)
@given(faces(), st.sampled_from(SIZES))
def test_whatever_the_words_nothing_overlaps_or_leaves_the_label(
    face: TagFace, size: LabelSize
) -> None:
    items = lay_out(face, size)

    assert clashes(items) == []
    for item in items:
        left, top, right, foot = edges(item)
        assert (left >= -1e-6, top >= -1e-6) == (True, True)
        assert (right <= size.width_mm + 1e-6, foot <= size.height_mm + 1e-6) == (True, True)


@settings(deadline=None, max_examples=150)
@given(faces(), st.sampled_from(SIZES))
def test_whatever_the_words_no_type_is_smaller_than_can_be_read(
    face: TagFace, size: LabelSize
) -> None:
    items = lay_out(face, size)

    assert min(text.size_mm for text in texts(items)) >= LEAST_SIZE_MM
    assert all(text.text for text in texts(items))


def ink_edges(item: Item) -> Edges:
    """Where something is printed: a symbol without its quiet zone."""
    if isinstance(item, Symbol):
        far = item.side_mm
        return (item.x_mm, item.y_mm, item.x_mm + far, item.y_mm + far)
    return edges(item)


@pytest.mark.parametrize("key", stock_keys())
@settings(deadline=None, max_examples=8)
@given(face=faces(), lines=st.lists(WORDS.filter(bool), max_size=6), pockets=st.integers(0, 144))
def test_whatever_the_words_every_stock_keeps_them_apart_and_inside_its_inset(
    key: str, face: TagFace, lines: list[str], pockets: int
) -> None:
    stock = load(key)
    inside = tuple(Pocket(n + 1, f"{n:08}") for n in range(min(pockets, stock.pockets)))
    face = replace(face, lines=tuple(lines), pockets=inside)

    items = items_on(face, stock)

    assert clashes(items) == []
    assert min(text.size_mm for text in texts(items)) >= LEAST_SIZE_MM
    near = stock.inset_mm - 1e-6
    for item in items:
        # Where it is cut, torn or punched a line may run to the edge.
        if not isinstance(item, Ring | Dashes):
            left, top, right, foot = ink_edges(item)
            assert (left >= near, top >= near) == (True, True)
            assert right <= stock.label_width_mm - near
            assert foot <= stock.label_height_mm - near


@pytest.mark.parametrize("key", stock_keys())
def test_the_longest_names_of_steps_and_positions_leave_every_stock_its_rule(key: str) -> None:
    step = "Schritt 118 Hochvoltkabelführungsschienenbefestigungsschraube lösen und ablegen " * 2
    face = replace(BAG, step=step, position="Za trzecią poprzeczką, nad szyną wiązki " * 6)

    shown = " ".join(text.text for text in texts(items_on(face, load(key))))

    assert face.shown_code in shown
    assert load(key).write_on or "REPLACE: single-use, do not put back" in shown


@pytest.mark.parametrize(
    "part",
    [
        "Śruba kołnierzowa zażółć gęślą jaźń",
        "Flanş cıvatası İĞŞ ığş",
        "Φλαντζωτή βίδα άέήίόύώ",
        "Болт с фланцем, съёмный",
        "Bulông mặt bích",
    ],
)
def test_letters_beyond_english_are_printed_as_written(part: str) -> None:
    assert part in words(TagFace(code="K7M2X9QD", part=part), label_size(load("a4-2x4")))


def test_letters_that_the_typeface_has_not_are_marked_and_the_code_stays() -> None:
    face = TagFace(code="K7M2X9QD", part="六角ボルト M10", position="左前 left \N{WRENCH}")

    shown = words(face, label_size(load("a4-2x4"))).splitlines()

    assert shown == ["K7M2-X9QD", f"{NOT_PRINTED} M10", f"{NOT_PRINTED} left {NOT_PRINTED}"]


@pytest.mark.parametrize("key", ["tie-on-60x120-300", "tie-on-a4-3x2"])
def test_a_stub_says_kind_and_job_in_one_clean_line(key: str) -> None:
    face = TagFace(code="K7M2X9QD", kind="BAG\t六", job="Job\n12")

    assert f"BAG {NOT_PRINTED} · Job 12" in [one.text for one in texts(items_on(face, load(key)))]


@pytest.mark.parametrize("key", ["tray-160x110-300", "tray-a4-4x6"])
def test_a_bags_tag_on_a_trays_stock_loses_no_word(key: str) -> None:
    shown = {text.text for text in texts(items_on(BAG, load(key)))}

    assert {BAG.rule, BAG.lookalike, *BAG.cautions} <= shown


@settings(deadline=None, max_examples=60)
@given(faces(), st.sampled_from(SIZES))
def test_there_is_always_a_line_to_write_on(face: TagFace, size: LabelSize) -> None:
    items = lay_out(face, size)

    line = items[-1]
    assert isinstance(line, Rule)
    above = max(edges(item)[3] for item in items[:-1])
    assert line.y_mm - above > 4.0


@pytest.mark.parametrize("key", stock_keys())
@pytest.mark.parametrize("face", FACES, ids=lambda face: face.kind or "blank")
def test_a_module_is_a_whole_number_of_printer_dots(face: TagFace, key: str) -> None:
    size = label_size(load(key))

    symbol = lay_out(face, size)[0]

    assert isinstance(symbol, Symbol)
    for length in (symbol.module_mm, symbol.x_mm, symbol.y_mm):
        assert length / size.dot_mm == pytest.approx(round(length / size.dot_mm))
    assert symbol.module_mm >= LEAST_MODULE_MM


def test_the_code_is_the_largest_type_on_a_tag() -> None:
    for face in FACES:
        found = texts(lay_out(face, label_size(load("a4-3x7"))))
        assert max(found, key=lambda text: text.size_mm).text == face.shown_code


def test_a_code_is_shown_in_two_halves() -> None:
    assert "K7M2-X9QD" in words(BAG, SMALLEST[0])


def test_a_short_tag_says_every_word_it_was_given() -> None:
    size = label_size(load("a4-2x5"))

    shown = words(BAG, size)

    assert shown.splitlines() == [
        "BAG",
        "K7M2-X9QD",
        "Job 24-0113 · Panel van, long wheelbase",
        "4 pieces · Flange bolt M10 x 35",
        "Step 12 · Underbody tray, left sill",
        "REPLACE: single-use, do not put back",
        "Looks like M10 x 45 in bag R3T8-WW21: longer",
        "High-voltage zone: proved dead first",
    ]


def test_an_empty_field_leaves_nothing_behind() -> None:
    size = label_size(load("a4-2x5"))

    assert words(BLANK, size) == "0000-0001"
    assert words(TagFace(code="00000001", job="", part="  \t", cautions=("",)), size) == "0000-0001"


def test_type_shrinks_before_a_word_is_cut() -> None:
    size = label_size(load("a4-2x5"))
    longer = TagFace(code="K7M2X9QD", part="bolt " * 40, position="sill " * 30)

    found = texts(lay_out(longer, size))

    assert "…" not in words(longer, size)
    assert LEAST_SIZE_MM <= min(text.size_mm for text in found) < 3.8


def test_the_rule_is_cut_after_the_position_and_the_part() -> None:
    shown = words(TRAY, label_size(load("single-70x50-300"))).splitlines()
    whole_rule = (
        "REPLACE: single-use, do not put back; the new ones lie in the kit bag of this step"
    )

    cut = [line for line in shown if line.endswith("…")]

    assert whole_rule in " ".join(shown)
    assert any(line.startswith("Step 12") for line in cut)


def test_rules_and_kinds_differ_by_shape_as_well_as_by_words() -> None:
    size = label_size(load("a4-3x7"))

    def marks(face: TagFace) -> list[Shape]:
        return [item.shape for item in lay_out(face, size) if isinstance(item, Mark)]

    def frames(face: TagFace) -> tuple[int, bool]:
        head = [item for item in lay_out(face, size)[1:4] if isinstance(item, Box)]
        return (len(head), head[0].filled)

    assert marks(BAG) == [Shape.CROSSED_BOX, Shape.WARNING, Shape.WARNING]
    assert marks(NEW_PARTS) == [Shape.DIAMOND]
    assert (frames(BAG), frames(OLD_PARTS), frames(NEW_PARTS)) == (
        (1, False),
        (1, True),
        (2, False),
    )


def test_a_rule_without_a_shape_is_refused() -> None:
    with pytest.raises(TagFault, match="needs a shape"):
        TagFace(code="K7M2X9QD", rule="REPLACE")


@pytest.mark.parametrize("code", ["", "K7M2X9Q", "k7m2x9qd", "K7M2-X9QD", "K7M2X9QD\n"])
def test_what_is_no_code_is_refused(code: str) -> None:
    with pytest.raises(TagFault, match="eight capitals or digits"):
        TagFace(code=code)


def test_a_label_too_small_for_the_words_is_refused() -> None:
    tiny = LabelSize(width_mm=60, height_mm=25, inset_mm=2, dpi=300)

    with pytest.raises(LayoutFault, match="too small"):
        lay_out(BAG, tiny)


def test_letters_of_european_languages_keep_to_their_line() -> None:
    letters = (
        "ÀÁÂÃÄÅÆÇÈÉĚËÌÍĮİÐÑÒÓŐÖØÙÚŰÜŮÝŽŠŘŤŹŻŁĄĘŚĆĶĻŅŖȘȚßþgjpqyQЖЩЙЁЇЎҐђџΆΈΉΊΌΎΏΪΫξζςμ(){}[]|@§"
    )

    for weight in Weight:
        _, top, _, foot = picture_font(weight, float(INK_DOTS)).getbbox(letters, anchor="ls")
        assert (-top <= ASCENT * INK_DOTS, foot <= DESCENT * INK_DOTS) == (True, True)


def test_words_are_measured_as_the_letters_are_drawn() -> None:
    for text in ("Flange bolt M10 x 35", "Прокладка", "Ωmega Żółć"):
        drawn = picture_font(Weight.REGULAR, float(INK_DOTS)).getlength(text)
        assert width_mm(text, INK_DOTS, Weight.REGULAR) == pytest.approx(drawn, rel=0.005)
