"""What the demonstration tells on the screen: short, and in the words of the workshop."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from textwrap import shorten
from typing import Any

from partsvc.domain.plan import Phase, Plan
from seed.play.papers import Paper
from seed.play.tally import ROWS, Cost, Row, Tally

Say = Callable[[str], None]

A_LINE = 170
TWO_LINES = 260


def opened(say: Say, plan: Plan, bags: int) -> None:
    """How large the job is."""
    strip = sum(step.phase is not Phase.REFIT for step in plan.steps)
    pieces = sum(position.pieces() for _, position in plan.each_position())
    on = sum(item.quantity for step in plan.steps for item in step.temporaries)
    say(f"{plan.title}")
    say(
        f"  {len(plan.steps)} steps, {strip} of them for taking apart; {pieces} pieces come off or "
        f"loose, {on} caps, covers and tools go on; {bags} tags for bags, shelves and trolleys"
    )


def order(say: Say, title: str, found: dict[str, Any]) -> None:
    """An order in lines that fit a screen."""
    lines = [line for line in found["lines"] if line["to_order"]]
    say(f"{title}: {len(lines)} lines, {sum(line['to_order'] for line in lines)} pieces")
    for line in lines:
        say(f"  {_order_line(line)}")


def _order_line(line: dict[str, Any]) -> str:
    spare = f" + {line['spare']} spare" if line["spare"] else ""
    instead = f", instead of {', '.join(line['instead_of'])}" if line["instead_of"] else ""
    why = f" ({'; '.join(line['why'])})" if line["why"] else ""
    return f"{line['to_order']:>4}  {line['called']}: {line['needed']} needed{spare}{why}{instead}"


def order_changes(say: Say, before: dict[str, Any], after: dict[str, Any]) -> None:
    """What stripping taught: parts of which more are needed than was known before."""
    known = {line["part"]: line["needed"] for line in before["lines"]}
    say("Learnt while stripping:")
    for line in after["lines"]:
        more = line["needed"] - known.get(line["part"], 0)
        if more > 0:
            instead = f" instead of {', '.join(line['instead_of'])}" if line["instead_of"] else ""
            why = "; ".join(line["why"])
            say(
                f"  {line['called']}{instead}: {more} more needed ({why}); {line['in_stock']} in "
                f"stock, {line['to_order']} to order"
            )


def findings(say: Say, title: str, account: dict[str, Any]) -> None:
    """What is open, each in a line, and the two lines of the reconciliation."""
    say(f"{title}: the book {account['book_words']}; {account['seen_words']}")
    for one in account["findings"]:
        say(f"  {one['title']}: {shorten(one['words'], A_LINE, placeholder=' …')}")


def stopped(say: Say, hold: str, words: str) -> None:
    """What stopped a close-up."""
    say(f"Not passed: {hold}")
    say(f"  {words}")


def scene(say: Say, title: str, words: str) -> None:
    """Something that did not go as planned, in a line or two."""
    say(f"  {title}: {shorten(words, TWO_LINES, placeholder=' …')}")


A_TAP = (
    "A scan is a tag or a photo of many bags; a tap is one to send, and one for each thing chosen "
    "or typed that no scan said."
)
_HEADING = ("acts", "scans", "taps")


def table(say: Say, short: Tally, long: Tally) -> None:
    """What the same job costs the long way and in few scans."""
    say("What the same job takes, recorded the long way and in few scans:")
    say(f"{'':18}{'the long way':>24}{'in few scans':>24}")
    say(f"{'':18}" + "".join(f"{name:>8}" for name in _HEADING * 2))
    for row in ROWS:
        say(_table_line(row.value, long.costs[row], short.costs[row]))
    whole = [sum((tally.costs[row] for row in ROWS), Cost()) for tally in (long, short)]
    say(_table_line("together", *whole))
    say(A_TAP)
    say(_beside_the_table(short))


def _beside_the_table(played: Tally) -> str:
    delivered = played.acts["receive"]
    wrong = played.costs[Row.BESIDE].acts - delivered
    return (
        f"In few scans: {played.bags_seen} looks into bags in {played.photos} photos. Not in the "
        f"table: {delivered} deliveries booked in, {wrong} acts for what did not go as planned; "
        f"{played.refusals} acts were refused first."
    )


def _table_line(name: str, *costs: Cost) -> str:
    cells = "".join(f"{one.acts:>8}{one.scans:>8}{one.taps:>8}" for one in costs)
    return f"{name:18}{cells}"


def how_to_go_on(
    say: Say, out: Path, data: Path, logins: Iterator[str], papers: list[Paper]
) -> None:
    """Where the papers lie, and how the same data is opened again."""
    say(f"Written into {out}: {', '.join(paper.name for paper in papers)}")
    say(f"Look around: partsvc serve --folder {data}")
    for line in logins:
        say(f"  {line}")
    say("These passwords are for the demonstration only. Running it again replaces")
    say(f"{data} and the files above, and nothing else.")
