"""How a state looks: a shape, a word and a colour, so that none of them is needed alone."""

from __future__ import annotations

from dataclasses import dataclass


def _(text: str) -> str:
    """Marks a text for the catalogues; it is put into the reader's language where it is shown."""
    return text


@dataclass(frozen=True, slots=True)
class Mark:
    """A state: its shape (the id of a symbol in `marks.svg`), its word, its colour's class."""

    shape: str
    word: str
    tone: str


MARKS = {
    # of a step of the strip
    "on": Mark("ring", _("still on"), "plain"),
    "started": Mark("half", _("begun"), "warn"),
    "off": Mark("disc", _("all off"), "good"),
    "refit-only": Mark("ring", _("only when putting back"), "plain"),
    # of a step of the refit
    "to-fit": Mark("ring", _("not back yet"), "plain"),
    "part-fitted": Mark("half", _("begun"), "warn"),
    "finished": Mark("disc", _("done"), "good"),
    # of pieces
    "secured": Mark("disc", _("secured"), "good"),
    "loose": Mark("half", _("loose"), "warn"),
    "own-hole": Mark("dot-ring", _("in its own hole"), "warn"),
    "off-pieces": Mark("ring", _("off"), "plain"),
    "missing": Mark("gap", _("missing"), "stop"),
    "broken": Mark("cross", _("broken"), "stop"),
    # of a hold point
    "hold-open": Mark("bar", _("hold: not passed"), "stop"),
    "hold-stands": Mark("tick", _("hold: passed"), "good"),
    "hold-lapsed": Mark("bar", _("hold: no longer good"), "stop"),
    # of an act on this device
    "waiting": Mark("clock", _("waiting to be sent"), "warn"),
    "refused": Mark("cross", _("refused"), "stop"),
    # of findings
    "high": Mark("cross", _("grave"), "stop"),
    "medium": Mark("triangle", _("to be settled"), "warn"),
    "low": Mark("ring", _("small"), "plain"),
    # in general
    "yes": Mark("tick", _("yes"), "good"),
    "no": Mark("cross", _("no"), "stop"),
    "warn": Mark("triangle", _("look"), "warn"),
}
