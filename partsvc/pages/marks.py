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
    "to-do": Mark("ring", _("to do"), "plain"),
    # of a step of the refit
    "to-fit": Mark("ring", _("not back yet"), "plain"),
    "part-fitted": Mark("half", _("begun"), "warn"),
    "finished": Mark("disc", _("done"), "good"),
    "left-out": Mark("gap", _("not done"), "warn"),
    # of pieces
    "secured": Mark("disc", _("secured"), "good"),
    "loose": Mark("half", _("loose"), "warn"),
    "own-hole": Mark("dot-ring", _("in its own hole"), "warn"),
    "off-pieces": Mark("ring", _("off"), "plain"),
    "missing": Mark("gap", _("missing"), "stop"),
    "never-off": Mark("ring-full", _("never off"), "plain"),
    "broken": Mark("cross", _("broken"), "stop"),
    "critical": Mark("triangle", _("critical"), "warn"),
    "count-differs": Mark("triangle", _("counted otherwise"), "warn"),
    "void-tag": Mark("cross", _("void"), "stop"),
    "alike": Mark("triangle", _("looks like others"), "warn"),
    "in-hand": Mark("tick", _("in hand"), "good"),
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
    # of order lines
    "line-asked": Mark("ring", _("asked for"), "plain"),
    "line-ordered": Mark("half", _("ordered"), "plain"),
    "line-part-delivered": Mark("half", _("some have come"), "warn"),
    "line-back-ordered": Mark("clock", _("back-ordered"), "warn"),
    "line-refused": Mark("cross", _("refused by the supplier"), "stop"),
    "line-delivered": Mark("disc", _("all of it has come"), "good"),
    "line-cancelled": Mark("bar", _("cancelled"), "plain"),
    "late": Mark("triangle", _("late"), "stop"),
    "lacks": Mark("gap", _("lacks"), "warn"),
    # of what is noted on them
    "note-asked": Mark("ring", _("asked for"), "plain"),
    "note-ordered": Mark("half", _("ordered"), "plain"),
    "note-amended": Mark("half", _("another number is ordered"), "plain"),
    "note-delivered": Mark("disc", _("arrived"), "good"),
    "note-taken-back": Mark("back", _("did not arrive after all"), "warn"),
    "note-wrong-part": Mark("cross", _("the wrong part came"), "stop"),
    "note-back-ordered": Mark("clock", _("back-ordered"), "warn"),
    "note-refused": Mark("cross", _("refused by the supplier"), "stop"),
    "note-cancelled": Mark("bar", _("cancelled"), "plain"),
    # of what the parts desk is told
    "told-bench": Mark("hand", _("taken from the bench"), "warn"),
    "told-bought": Mark("hand", _("bought in"), "warn"),
    "told-unbooked-receipt": Mark("triangle", _("the store's book had none"), "warn"),
    "told-taken": Mark("hand", _("taken from the store"), "plain"),
    "told-differs": Mark("triangle", _("differs on this vehicle"), "warn"),
    "told-return": Mark("back", _("came back"), "good"),
    # of printings
    "print-waiting": Mark("clock", _("waits"), "warn"),
    "print-begun": Mark("clock", _("waits"), "warn"),
    "print-numbered": Mark("clock", _("waits"), "warn"),
    "print-sending": Mark("half", _("is sent"), "warn"),
    "print-at-printer": Mark("half", _("at the printer"), "warn"),
    "print-printed": Mark("disc", _("printed"), "good"),
    "print-failed": Mark("cross", _("did not work"), "stop"),
    "print-unsure": Mark("triangle", _("look at the printer"), "stop"),
    "print-cancelled": Mark("bar", _("cancelled"), "plain"),
    # of counts, and of pieces without a number
    "count-right": Mark("tick", _("as the book had it"), "good"),
    "count-over": Mark("triangle", _("more than the book"), "warn"),
    "count-short": Mark("gap", _("fewer than the book"), "warn"),
    "stray": Mark("dot-ring", _("stray"), "warn"),
    "unnamed": Mark("ring", _("no number yet"), "warn"),
    "rule-reuse": Mark("ring", _("goes back"), "plain"),
    "rule-inspect": Mark("ring", _("goes back when it was looked at"), "plain"),
    "rule-limited": Mark("half", _("goes back so many times"), "warn"),
    "rule-replace": Mark("cross", _("never goes back: single use"), "stop"),
    "apart": Mark("triangle", _("into another bag"), "warn"),
    # of printers
    "printer-ready": Mark("tick", _("ready"), "good"),
    "printer-trouble": Mark("triangle", _("look at the printer"), "warn"),
    "printer-away": Mark("cross", _("does not answer"), "stop"),
    # of a job
    "job-open": Mark("ring", _("open"), "plain"),
    "job-released": Mark("tick", _("released"), "good"),
    "job-handed-over": Mark("triangle", _("handed over incomplete"), "warn"),
    "job-stopped": Mark("hand", _("stopped"), "stop"),
    # of a person's access
    "access": Mark("tick", _("may sign in"), "good"),
    "no-access": Mark("cross", _("has left"), "plain"),
    # of the check date of a piece of equipment
    "check-good": Mark("tick", _("good"), "good"),
    "check-soon": Mark("triangle", _("due soon"), "warn"),
    "check-past": Mark("cross", _("past: not to be used"), "stop"),
    # of a printing
    "printing-waiting": Mark("clock", _("waits"), "warn"),
    "printing-begun": Mark("clock", _("waits"), "warn"),
    "printing-numbered": Mark("clock", _("waits"), "warn"),
    "printing-sending": Mark("half", _("is being sent"), "warn"),
    "printing-at-printer": Mark("half", _("at the printer"), "warn"),
    "printing-printed": Mark("tick", _("printed"), "good"),
    "printing-failed": Mark("cross", _("not printed"), "stop"),
    "printing-unsure": Mark("triangle", _("look what came out"), "warn"),
    "printing-cancelled": Mark("ring", _("cancelled"), "plain"),
    # of a step between two revisions
    "step-new": Mark("disc", _("new"), "good"),
    "step-gone": Mark("cross", _("gone"), "stop"),
    # of a trail, and of the readings of a hold
    "undone": Mark("back", _("undone"), "plain"),
    "anyway": Mark("triangle", _("refused, and done anyway"), "warn"),
    "within": Mark("tick", _("within"), "good"),
    "outside": Mark("cross", _("outside its limit"), "stop"),
    "not-taken": Mark("gap", _("not taken"), "stop"),
    "put-back": Mark("hand", _("fitted or secured: does not release it"), "plain"),
    "voltage": Mark("danger", _("high voltage"), "stop"),
    # of what was done on a day
    "sort-refused": Mark("cross", _("refused"), "stop"),
    "sort-undone": Mark("back", _("undone"), "warn"),
    "sort-hold": Mark("bar", _("hold or lock"), "warn"),
    "sort-away": Mark("right", _("sent away, lent"), "warn"),
    "sort-hand-over": Mark("two", _("handed over, released"), "warn"),
    "sort-supply": Mark("bag", _("parts"), "plain"),
    "sort-back": Mark("disc", _("put back"), "good"),
    "sort-off": Mark("ring", _("taken off"), "plain"),
    "sort-look": Mark("dot-ring", _("looked, told"), "plain"),
    "sort-other": Mark("dot", _("other"), "plain"),
    # in general
    "yes": Mark("tick", _("yes"), "good"),
    "no": Mark("cross", _("no"), "stop"),
    "warn": Mark("triangle", _("look"), "warn"),
}
