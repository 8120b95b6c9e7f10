"""At the bench: a tag read from a photo, an apprentice with somebody standing by, a comma."""

from __future__ import annotations

import io

from floor import Floor, answered, scan, wait_until
from PIL import Image
from playwright.sync_api import Page, expect
from strip_flows import bench, strip_to_the_lift, strip_underneath

from seed.play.people import password


def tag_on_a_photo(shop: Floor, code: str) -> bytes:
    """The real tag, as printed, photographed at a slant on a grey bench by a poor camera."""
    lead = shop.door().sign_in("jorin", password("jorin"), "office")
    drawn = lead.fetch(f"/tags/{code}.png")
    tag = Image.open(io.BytesIO(drawn)).convert("RGB").resize((640, 400))
    photo = Image.new("RGB", (1600, 1200), "#8d8a80")
    photo.paste(tag.rotate(11, expand=True, fillcolor="#8d8a80"), (420, 330))
    out = io.BytesIO()
    photo.save(out, "JPEG", quality=60)
    return out.getvalue()


def photograph(page: Page, photo: bytes) -> None:
    """The phone's camera hands the page a photo."""
    page.set_input_files(
        "#scan-photo", files=[{"name": "tag.jpg", "mimeType": "image/jpeg", "buffer": photo}]
    )


def test_a_photo_of_the_tag_is_as_good_as_a_scan(opened_van: Floor) -> None:
    at = bench(opened_van)
    strip_to_the_lift(at)
    bag = at.bag_of("WL-L1")

    photograph(at.page, tag_on_a_photo(opened_van, bag))
    expect(at.page.locator("#scan-last")).to_contain_text(f"{bag[:4]}-{bag[4:]}")
    at.page.locator("section[data-step=liner-left] form[data-all-off] button").click()
    wait_until(
        lambda: [act for act in at.acts("remove") if act["request"].get("step") == "liner-left"],
        "the step is off",
    )

    (off,) = [act for act in at.acts("remove") if act["request"].get("step") == "liner-left"]
    assert off["request"]["bag"].replace("-", "") == bag


def test_a_photo_without_a_tag_says_what_to_do(opened_van: Floor) -> None:
    page = bench(opened_van).page
    out = io.BytesIO()
    Image.new("RGB", (800, 600), "#8d8a80").save(out, "JPEG")

    photograph(page, out.getvalue())

    assert "Go closer, or type the code" in answered(page, "No tag")


def test_an_apprentice_says_once_who_stands_by(opened_van: Floor) -> None:
    van = opened_van.van
    at = bench(opened_van)
    strip_to_the_lift(at)
    strip_underneath(at, "shield-front")
    page = opened_van.device("lio")
    page.goto(opened_van.url(f"/bench/{van.job}#step-measure-cover"))

    scan(page, at.bag_of("MC-01"))
    page.locator("section[data-step=measure-cover] form[data-all-off] button").click()
    refusal = page.locator("#refusal")
    refusal.locator("#stands-by").select_option(label="Tove Rask")
    refusal.get_by_role("button", name="Stands by").click()
    expect(page.locator("#who")).to_contain_text("Tove Rask stands by")
    wait_until(lambda: at.acts("remove")[-1]["by"] == van.people["lio"], "the cover is off")

    off = at.acts("remove")[-1]["request"]
    assert off["step"] == "measure-cover"
    assert off["supervised_by"] == van.people["tove"]


def test_a_reading_with_a_comma_is_kept_with_a_point(opened_van: Floor) -> None:
    page = bench(opened_van).page

    told = page.evaluate(
        """async () => {
            const address = document.querySelector("script[src$='app.js']").src;
            const { actOf } = await import(address.replace("app.js", "acts.js"));
            const form = document.createElement("form");
            form.dataset.act = '{"kind": "done"}';
            form.innerHTML = '<input name="values[0].name" value="HV+">'
              + '<input name="values[0].value" inputmode="decimal" value="0,3">'
              + '<input name="values[1].name" value="not taken">';
            return actOf(form);
        }"""
    )

    assert told == {"kind": "done", "values": [{"name": "HV+", "value": "0.3"}]}
