"""What is done at the bench while taking apart, as a technician does it: scans, taps, photos.

The tests go by these, and so does the table of scans and taps.
"""

from __future__ import annotations

import io
import json
import uuid
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from floor import Floor, Van, wait_until
from PIL import Image
from playwright.sync_api import Page, expect
from tally import Tally

import seed
from seed.play.people import password

PROCEDURE = json.loads((Path(seed.__file__).parent / "van_battery/procedure.json").read_text())
STEPS: dict[str, dict[str, Any]] = {one["id"]: one for one in PROCEDURE["steps"]}

READINGS = {"HV+ to HV-": "0.3", "HV+ to chassis": "0.2", "HV- to chassis": "0.1"}


def picture() -> bytes:
    """A photo as a phone takes it."""
    found = io.BytesIO()
    Image.new("RGB", (640, 480), "gray").save(found, "JPEG")
    return found.getvalue()


@dataclass(slots=True)
class Bench:
    """A technician's device at the strip bench of a van."""

    floor: Floor
    van: Van
    page: Page
    tally: Tally

    @property
    def shown(self) -> str:
        """The step that is shown."""
        return str(self.page.locator("section.step:visible").get_attribute("data-step"))

    def bag_of(self, position: str) -> str:
        """The code of the tag that was made for a position."""
        return self.van.bags[self.van.home[position]]

    def acts(self, kind: str) -> list[dict[str, Any]]:
        """The acts of a kind in the ledger, oldest first."""
        return [one for one in self.floor.acts(self.van.job) if one["kind"] == kind]

    def step(self, step: str) -> Any:
        """The section of a step."""
        return self.page.locator(f"section[data-step={step}]")

    def go(self, step: str) -> None:
        """Open a step by the list of all steps."""
        if self.shown != step:
            self.tally.tap("#step-nav [data-go=all]")
            number = str(STEPS[step]["number"])
            self.tally.tap(
                self.page.locator("#all-steps button").filter(
                    has=self.page.locator(f".number:text-is('{number}')")
                )
            )
        expect(self.step(step)).to_be_visible()

    def moved_on(self, step: str) -> None:
        """The page shows another step by itself."""
        expect(self.step(step)).to_be_hidden()

    def all_off(self, step: str, bag: str) -> None:
        """The usual case: one scan, one tap."""
        self.tally.scan(bag)
        self.tally.tap(self.step(step).locator("form[data-all-off] button"))

    def otherwise(self, position: str, button: str) -> None:
        """What does not go as planned at a position, two taps away."""
        self.tally.tap(f"[data-otherwise='{position}']")
        self.tally.tap(self.page.locator("#otherwise button").filter(has_text=button))
        expect(self.page.locator("#otherwise")).to_be_hidden()

    def caps_on(self, step: str) -> None:
        """Everything that goes on for a while at a step."""
        together = self.step(step).locator("[data-together-caps]")
        one = self.step(step).locator("form.together-caps button")
        self.tally.tap(together if together.count() else one)
        expect(one).to_have_count(0)

    def hold(self, step: str, witness: str = "", readings: dict[str, str] | None = None) -> None:
        """A hold point passed, with what it asks for."""
        form = self.step(step).locator("form:has(button:text-is('Passed'))")
        for name, value in (readings or {}).items():
            self.tally.fill(form.get_by_label(name), value)
        for kind, number in (("instrument", "M-07"), ("gloves", "G-02"), ("lift", "L-01")):
            field = form.locator(f"input[name={kind}]")
            if field.count() and not field.input_value():
                self.tally.fill(field, number)
        for box in form.locator("input[type=checkbox]").all():
            self.tally.tap(box)
        if witness:
            self.tally.choose(form.locator("select[name=witness]"), witness)
        self.tally.tap(form.locator("button.main"))
        self.moved_on(step)

    def undo_last(self, reason: str = "tapped by mistake") -> None:
        """The last act undone."""
        self.tally.tap("#undo")
        self.tally.tap(f"#undo-last [data-reason='{reason}']")


def bench(floor: Floor, login: str = "tove") -> Bench:
    """Somebody at the strip bench of the van."""
    page = floor.device(login)
    page.goto(floor.url(f"/bench/{floor.van.job}"))
    page.wait_for_selector("html[data-ready]")
    page.wait_for_selector("#step-nav:visible")
    return Bench(floor, floor.van, page, Tally(page))


def strip_to_the_lift(at: Bench) -> None:
    """Steps 10 to 70: made safe, the plug in the lock box, the van on the lift."""
    witness = at.van.people["jorin"]
    with at.tally.task("a hold with a second person"):
        at.hold("identify", witness)
    at.caps_on("fence")
    at.hold("fence")
    at.all_off("key-12v", at.bag_of("KB-01"))
    at.caps_on("key-12v")
    at.moved_on("key-12v")
    at.all_off("plug-access", at.bag_of("PA-02"))
    at.moved_on("plug-access")
    with at.tally.task("service plug pulled, locked, socket covered"):
        at.tally.tap(at.step("service-plug").get_by_text("into my lock box"))
        at.tally.tap(at.step("service-plug").get_by_text("My lock hangs"))
        at.caps_on("service-plug")
    at.moved_on("service-plug")
    at.hold("plug-custody", witness)
    at.caps_on("lift")
    at.hold("lift")


def strip_underneath(at: Bench, *steps: str) -> None:
    """Steps whose pieces go into one bag each."""
    for step in steps:
        homes = [one["id"] for one in STEPS[step]["positions"] if one["id"] in at.van.home]
        bag = at.bag_of(homes[-1])
        at.go(step)
        with at.tally.task("a whole step off into its bag"):
            at.all_off(step, bag)
        at.moved_on(step)


def tray_and_cover(at: Bench) -> None:
    """The cover of the rear shield onto the shelf, its look-alikes into the pockets of a tray."""
    at.go("shield-rear")
    at.tally.scan(at.bag_of("RS-04"))
    at.otherwise("RS-04", "All of these off")
    expect(at.step("shield-rear").get_by_text("All 28 off")).to_be_visible()
    at.all_off("shield-rear", at.van.bags["tray"])
    at.moved_on("shield-rear")


def a_clip_breaks(at: Bench) -> None:
    """A clip of the right liner broke, and its foot is still in the vehicle."""
    with at.tally.task("a clip broke, its foot is still in the vehicle"):
        at.tally.scan(at.bag_of("WL-R2"))
        at.otherwise("WL-R2", "the rest is in the vehicle")


def one_is_missing(at: Bench) -> None:
    """A screw of the right sill cover was not there."""
    with at.tally.task("one is missing"):
        at.otherwise("SC-R3", "missing")


def a_group(at: Bench, count: int, bag: str) -> None:
    """A group of pieces that no procedure knows: a photo, a count, a bag, one tap."""
    with at.tally.task("a group of pieces that no list knows"):
        at.tally.photo("#group-photo", picture())
        at.tally.tap(at.page.get_by_role("button", name=str(count), exact=True))
        at.tally.scan(bag)
        at.tally.tap("#group button.main")


def recorded(at: Bench, kind: str, count: int) -> list[dict[str, Any]]:
    """So many acts of a kind are in the ledger now."""
    wait_until(lambda: len(at.acts(kind)) >= count, f"{count} acts {kind}")
    return at.acts(kind)


def made_safe(floor: Floor, *, lifted: bool = True) -> None:
    """Told by another device: looked at, fenced, the 12 V battery off, and up on the lift."""
    van = floor.van
    hand = floor.door().sign_in("miro", password("miro"), "handheld 2")

    def told(kind: str, **asked: Any) -> None:
        act = {"key": str(uuid.uuid4()), "kind": kind, **asked}
        hand.make(f"/jobs/{van.job}/acts", act)

    told("hold", hold="h-identified", witness=van.people["jorin"])
    told("hold", hold="h-fenced", instrument="M-07", proved_before=True, proved_after=True)
    told("remove", step="key-12v", bag=van.bags[van.home["KB-02"]])
    if lifted:
        told("hold", hold="h-lift", lift="L-01")


def bare_job(floor: Floor) -> str:
    """A job that was opened without a procedure."""
    lead = floor.door().sign_in("jorin", password("jorin"), "office")
    vehicle = lead.make("/vehicles", {"model": "Small tipper (invented)"})["id"]
    return str(lead.make("/jobs", {"title": "Water pump", "vehicle": vehicle})["id"])


def new_tag(floor: Floor, words: str = "", **asked: Any) -> str:
    """A tag from the roll, on nothing yet."""
    lead = floor.door().sign_in("jorin", password("jorin"), "office")
    asked |= {"words": words} if words else {}
    return str(lead.make("/tags", {"count": 1, **asked})["tags"][0]["code"])


def badge(floor: Floor, login: str) -> str:
    """Somebody's badge."""
    lead = floor.door().sign_in("jorin", password("jorin"), "office")
    return str(lead.make(f"/people/{floor.van.people[login]}/badge", {})["code"])
