"""A step is photographed and tapped at; where it is, and how far, is seen when it goes back."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from floor import DESK, TABLET, Floor, answered, wait_until
from PIL import Image, ImageDraw
from playwright.sync_api import Page, expect

STEP = "liner-left"
# Where the invented photo has its four screws, in thousandths.
SCREWS = [(170, 220), (830, 780), (830, 220), (170, 780)]


@pytest.fixture
def photo(tmp_path: Path) -> Path:
    """A photo with four screws on it."""
    width, height = 1200, 900
    picture = Image.new("RGB", (width, height), "#667")
    draw = ImageDraw.Draw(picture)
    for x, y in SCREWS:
        at = (x * width // 1000, y * height // 1000)
        draw.ellipse((at[0] - 30, at[1] - 30, at[0] + 30, at[1] + 30), fill="#bbb")
    out = BytesIO()
    picture.save(out, "JPEG")
    path = tmp_path / "step.jpg"
    path.write_bytes(out.getvalue())
    return path


def tap(page: Page, x: int, y: int) -> None:
    """A finger on the photo, at thousandths of it."""
    image = page.locator("#tap-photo")
    image.scroll_into_view_if_needed()
    box = image.bounding_box()
    assert box is not None
    spot = {"x": box["width"] * x / 1000, "y": box["height"] * y / 1000}
    image.click(position=spot)  # type: ignore[arg-type]


def spots(floor: Floor, n: int = -1) -> list[tuple[int, int, str]]:
    """What an act of the ledger told, the newest if not said otherwise."""
    told = [one for one in floor.acts(floor.van.job) if one["kind"] == "spots"][n]
    (effect,) = (one for one in told["effects"] if one["effect"] == "spots-tapped")
    found = []
    for one in effect.get("spots", "").split():
        x, y, position = one.split(",")
        found.append((int(x), int(y), position))
    return found


def put_at(page: Page) -> tuple[int, int]:
    """Where the first spot is put on the page, in thousandths."""
    left, top = page.locator("#spot-1").evaluate("one => [one.style.left, one.style.top]")
    return round(float(left.rstrip("%")) * 10), round(float(top.rstrip("%")) * 10)


def near(found: list[tuple[int, int, str]], wanted: list[tuple[int, int]]) -> bool:
    """Within half a percent: a finger is no needle."""
    return len(found) == len(wanted) and all(
        abs(x - a) <= 5 and abs(y - b) <= 5 for (x, y, _), (a, b) in zip(found, wanted, strict=True)
    )


def test_a_step_is_photographed_tapped_and_seen_with_numbers(
    stripped_van: Floor, photo: Path
) -> None:
    van = stripped_van.van
    page = stripped_van.device("tove")
    page.goto(stripped_van.url(f"/pictures/{van.job}"))
    page.locator(f"section[data-step={STEP}] a.button").click()

    page.set_input_files("#photo-taken", photo)
    for x, y in SCREWS:
        tap(page, x, y)
    page.click("#spots-keep")
    assert "Recorded" in answered(page, "what is where")

    assert near(spots(stripped_van), SCREWS)
    looker = stripped_van.device("miro", size=TABLET)
    looker.goto(stripped_van.url(f"/bench/{van.job}/refit#step-{STEP}"))
    expect(looker.locator(f"#photos-{STEP} .picture .spots")).to_be_visible()
    shown = looker.locator(f"#photos-{STEP} .spot")
    expect(shown).to_have_count(4)
    assert shown.locator(".number").all_text_contents() == ["1", "2", "3", "4"]
    expect(shown.locator(".word").first).to_have_text("off")
    expect(looker.locator(f"#photos-{STEP} .legend")).to_contain_text("off")


def test_with_no_line_the_photo_waits_with_its_spots(stripped_van: Floor, photo: Path) -> None:
    van = stripped_van.van
    page = stripped_van.device("tove")
    page.goto(stripped_van.url(f"/pictures/{van.job}/spots/{STEP}"))
    page.wait_for_selector("html[data-ready]")

    stripped_van.kill()
    page.wait_for_selector("#line[data-state=gone]")
    page.set_input_files("#photo-taken", photo)
    tap(page, *SCREWS[0])
    page.click("#spots-keep")
    answered(page, "Kept on this device")
    tap(page, *SCREWS[1])
    page.click("#spots-keep")
    answered(page, "Kept on this device")
    stripped_van.serve()

    wait_until(
        lambda: sum(one["kind"] == "spots" for one in stripped_van.acts(van.job)) == 2,
        "both are sent",
    )
    assert near(spots(stripped_van), SCREWS[:2])


def test_a_keyboard_is_enough(stripped_van: Floor, photo: Path) -> None:
    page = stripped_van.device("tove", size=DESK)
    page.goto(stripped_van.url(f"/pictures/{stripped_van.van.job}/spots/{STEP}"))
    page.set_input_files("#photo-taken", photo)
    keys = page.keyboard

    page.focus("#spot-add")
    keys.press("Enter")
    expect(page.locator("#spot-1")).to_be_focused()
    before = put_at(page)
    for key in ("ArrowLeft", "ArrowLeft", "ArrowUp", "Shift+ArrowDown"):
        keys.press(key)
    page.focus("#spot-add")
    keys.press("Enter")
    keys.press("Delete")
    expect(page.locator("#spot-1")).to_be_focused()
    page.focus("#spots-keep")
    keys.press("Enter")
    answered(page, "Recorded")

    ((x, y, _),) = spots(stripped_van)
    assert (x - before[0], y - before[1]) == (-20, 40)


def test_a_spot_is_dragged_put_earlier_and_given_another_place(
    stripped_van: Floor, photo: Path
) -> None:
    page = stripped_van.device("tove", size=DESK)
    page.goto(stripped_van.url(f"/pictures/{stripped_van.van.job}/spots/{STEP}"))
    page.set_input_files("#photo-taken", photo)
    tap(page, *SCREWS[0])
    tap(page, *SCREWS[1])

    box = page.locator("#tap-photo").bounding_box()
    assert box is not None
    page.locator("#spot-2").hover()
    page.mouse.down()
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2, steps=4)
    page.mouse.up()
    page.locator("#spot-list li").nth(1).locator("[data-do=earlier]").click()
    other = page.locator("#spot-list li").first.locator("select option").nth(2)
    place: Any = other.get_attribute("value")
    page.locator("#spot-list li").first.locator("select").select_option(place)
    page.click("#spots-keep")
    answered(page, "Recorded")

    first, second = spots(stripped_van)
    assert near([first, second], [(500, 500), SCREWS[0]])
    assert first[2] == place


def test_a_place_that_is_not_on_the_list_is_recorded_and_tapped(
    stripped_van: Floor, photo: Path
) -> None:
    page = stripped_van.device("tove")
    page.goto(stripped_van.url(f"/pictures/{stripped_van.van.job}/spots/{STEP}"))
    page.set_input_files("#photo-taken", photo)

    page.select_option("#next-place", "new")
    page.fill("#new-where", "behind the liner")
    page.fill("#new-words", "grey clip")
    page.fill("#new-quantity", "2")
    page.click("#new-place button.main")
    answered(page, "Recorded")
    tap(page, *SCREWS[2])
    page.click("#spots-keep")
    answered(page, "what is where on the photo. Recorded")

    added = next(one for one in reversed(stripped_van.acts(stripped_van.van.job))
                 if one["kind"] == "correct")  # fmt: skip
    ((_, _, position),) = spots(stripped_van)
    assert position == added["effects"][0]["position"]


def test_a_bag_shows_where_it_belongs(stripped_van: Floor, photo: Path) -> None:
    van = stripped_van.van
    page = stripped_van.device("tove")
    page.goto(stripped_van.url(f"/pictures/{van.job}/spots/{STEP}"))
    page.set_input_files("#photo-taken", photo)
    tap(page, *SCREWS[0])
    page.click("#spots-keep")
    answered(page, "Recorded")
    ((_, _, position),) = spots(stripped_van)

    page.goto(stripped_van.url(f"/t/{van.bags[van.home[position]]}"))

    expect(page.get_by_role("heading", name="Where it belongs")).to_be_visible()
    expect(page.locator("#tag-now .spot:not(.faint)")).to_have_count(1)
    page.goto(stripped_van.url(f"/check/{van.job}/trail/position/{position}"))
    expect(page.locator("#pictures .spot:not(.faint)")).to_have_count(1)


def test_how_far_it_is_and_its_days_are_told_in_words_too(stripped_van: Floor) -> None:
    van = stripped_van.van
    page = stripped_van.device("jorin", size=DESK)
    page.goto(stripped_van.url(f"/pictures/{van.job}"))

    expect(page.locator("#how-far")).to_contain_text("pieces came off")
    bars = page.locator("#how-far .zone .bar")
    assert bars.count() == page.locator("#how-far .zone .told").count() > 3
    page.click("text=Day by day")
    expect(page.locator("#day .moments li").first).to_contain_text("job opened")
    expect(page.locator("#days .watch").first).to_contain_text("refused")
    lines = page.locator("#day .moments li").count()
    told = page.locator("#day .moment").count()
    assert 0 < told < lines


def test_spots_not_kept_yet_are_not_lost_by_leaving(stripped_van: Floor, photo: Path) -> None:
    page = stripped_van.device("tove")
    asked: list[str] = []
    page.on("dialog", lambda dialog: (asked.append(dialog.type), dialog.dismiss()))
    page.goto(stripped_van.url(f"/pictures/{stripped_van.van.job}/spots/{STEP}"))
    page.set_input_files("#photo-taken", photo)
    tap(page, *SCREWS[0])

    page.click("text=All pictures of this job")
    wait_until(lambda: asked == ["beforeunload"], "it asks before leaving")
    page.click("#spots-keep")
    answered(page, "Recorded")
    page.click("text=All pictures of this job")

    expect(page.get_by_role("heading", name="Photos by step")).to_be_visible()
    assert asked == ["beforeunload"]
