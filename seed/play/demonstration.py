"""The whole demonstration: a service of its own, three jobs, the papers, the account of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path

from seed.play import account, mistakes, panel, papers, people, second_van, van
from seed.play.bags import bags_in_the_story
from seed.play.door import Door, SignedIn
from seed.play.hand import Hand, ShiftClock
from seed.play.job import SECOND_SHIFT, Played, open_van
from seed.play.loopback import fresh_folder, running
from seed.play.tally import Row, Tally

Say = Callable[[str], None]

FIRST_HOUR = 6


@dataclass(slots=True)
class StoryClock:
    """The service's clock while the story is played: it goes with the devices' clocks."""

    at: datetime

    def __call__(self) -> datetime:
        """The time in the story."""
        return self.at


def demo(out: Path, data: Path, say: Say) -> None:
    """Play both scenarios on a fresh service in `data` and write the papers into `out`.

    May be run again: `data` is replaced if an earlier run made it, and so are the files named in
    `papers.ALL`; nothing else is touched. Raises `NotOurs` when `data` holds something else.
    """
    out.mkdir(parents=True, exist_ok=True)
    fresh_folder(data)
    start = _first_morning()
    clock = StoryClock(start)
    with running(data, clock) as (door, access):
        people.set_up(door, access)
        crew = people.signed_in(door)
        played = _play_van(door, crew, clock, out, say)
        _play_panel(played.people, clock, say)
        account.table(say, played.tally, _play_second_van(door, clock, out))
    account.how_to_go_on(say, out, data, people.logins(), list(papers.ALL))


def _first_morning() -> datetime:
    """The morning before yesterday: the second van is worked on the day after."""
    today = datetime.now(UTC).replace(hour=FIRST_HOUR, minute=0, second=0, microsecond=0)
    return today - timedelta(days=2)


def _play_van(
    door: Door, crew: dict[str, SignedIn], clock: StoryClock, out: Path, say: Say
) -> Played:
    played = open_van(
        crew,
        clock.at,
        told=clock,
        homes=bags_in_the_story,
        vin=van.VIN,
        tell=partial(account.scene, say),
    )
    lead = crew["jorin"]
    account.opened(say, played.plan, len(played.bags))
    papers.fetch(lead, played.job, papers.BEFORE_STRIPPING, out)
    van.order_early(played)
    account.order(say, "To order before anything is taken apart", played.order_before)
    say("While it comes out:")
    van.strip_and_supply(played)
    account.order_changes(say, played.order_before, played.order_after)
    played.people = people.signed_in(door)
    papers.fetch(played.people["jorin"], played.job, papers.BEFORE_REFIT, out)
    _refit_and_release(played, out, say)
    return played


def _refit_and_release(played: Played, out: Path, say: Say) -> None:
    lead = played.people["jorin"]

    def stopped(hold: str, words: str) -> None:
        account.stopped(say, played.plan.holds[hold][1].title, words)
        if hold == mistakes.OUTSIDE:
            papers.fetch(lead, played.job, papers.BEFORE_PUTTING_RIGHT, out)
            account.findings(say, "Before the road test", played.read("reconciliation"))

    say("While it goes back:")
    work = van.refit_with_mistakes(played, stopped)
    van.finish(played, work)
    account.findings(say, "After putting right", played.read("reconciliation"))
    van.accept_and_release(played, work.hand.clock, say)
    papers.fetch(lead, played.job, papers.AT_THE_END, out)
    account.findings(say, "Released by quality", played.read("reconciliation"))
    say(f"Planted: {len(mistakes.PLANTED)} findings. What no book can show: {_limits(played)}")


def _play_second_van(door: Door, clock: StoryClock, out: Path) -> Tally:
    """The same procedure recorded the long way on the next day, without a word."""
    clock.at = max(clock.at, _first_morning() + timedelta(days=1))
    morning = people.signed_in(door, "tove", "asha", "jorin")
    quiet = second_van.open_second(morning, clock.at, told=clock)
    second_van.strip_and_supply(quiet)
    quiet.people = people.signed_in(door, "tove", "miro", "brun", "jorin")
    second_van.refit_without_mistakes(quiet)
    quality = quiet.hand("brun", quiet.clock(after=SECOND_SHIFT * 2), Row.REFIT)
    van.release(quality, quality.signed.get(quiet.path)["head"])
    papers.fetch(quality.signed, quiet.job, papers.THE_LONG_WAY, out)
    return quiet.tally


def _limits(played: Played) -> str:
    return str(played.read("reconciliation")["limits"])


def _play_panel(crew: Mapping[str, SignedIn], clock: StoryClock, say: Say) -> None:
    groups = panel.record()["groups"]
    lead = crew["jorin"]
    job = lead.make("/jobs", {"title": panel.record()["title"]})["id"]
    titles = {group["step_title"] for group in groups}
    tags = [one["code"] for one in lead.make("/tags", {"count": len(titles)})["tags"]]
    shift = ShiftClock(clock.at, told=clock)
    tally = Tally()
    hands = {
        login: Hand(
            signed=crew[login], path=f"/jobs/{job}", clock=shift, tally=tally, row=Row.STRIP
        )
        for login in ("tove", "asha")
    }
    stripped = panel.strip_unplanned(hands["tove"], groups, tags)
    nameless = panel.name_them(hands["asha"], stripped)
    say(
        f"{panel.record()['title']}: {len(groups)} groups, {stripped.pieces} pieces off in "
        f"{sum(tally.acts.values())} acts; {len(groups) - nameless} named afterwards, {nameless} "
        "not yet. The job stays open."
    )
    account.order(say, "To order for the panel", lead.get(f"/jobs/{job}/order"))
