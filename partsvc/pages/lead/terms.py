"""The words of the lead's pages for what records say in a word of their own.

A template puts a record's own word through the catalogues; so that they have it, it stands here.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from partsvc.domain.parts import SpentAt
from partsvc.domain.plan import Phase, Record
from partsvc.pages.words import gettext


def _(text: str) -> str:
    """Marks a text for the catalogues; it is put into the reader's language where it is shown."""
    return text


SPENT_WORDS: Mapping[str, str] = {
    SpentAt.NEVER: _("never"),
    SpentAt.FIT: _("once put in"),
    SpentAt.SECURE: _("once tightened"),
}
PHASE_WORDS: Mapping[str, str] = {
    Phase.BOTH: _("taken apart and put back"),
    Phase.STRIP: _("when taking apart"),
    Phase.REFIT: _("when putting back"),
}
RECORD_WORDS: Mapping[str, str] = {
    Record.NOTHING: _("nothing"),
    Record.TICK: _("a tick"),
    Record.SETTING: _("the tool's setting"),
    Record.VALUES: _("the values read"),
}
#: What the members of a plan are called where two revisions stand side by side.
MEMBER_WORDS: Mapping[str, str] = {
    "title": _("title"),
    "assembly": _("assembly"),
    "number": _("number"),
    "zone": _("zone"),
    "phase": _("when it is worked"),
    "after": _("comes after"),
    "refit_after": _("put back after"),
    "hazards": _("dangers"),
    "cautions": _("cautions"),
    "holds": _("hold"),
    "temporaries": _("for a while"),
    "applications": _("applied"),
    "readings": _("reading"),
    "positions": _("position"),
    "lapses": _("makes lapse"),
    "energises": _("brings voltage"),
    "where": _("where"),
    "sets": _("sets"),
    "stack": _("part"),
    "side": _("side"),
    "loosen_only": _("loosened only"),
    "record": _("written down"),
    "stages": _("stage"),
    "pattern": _("pattern"),
    "critical": _("critical"),
    "on": _("lies on"),
    "as_found": _("as many as are found"),
    "per_set": _("in one set"),
    "rule": _("whether it goes back"),
    "max_uses": _("most uses"),
    "criterion": _("looked at for"),
    "accepts": _("or"),
    "words": _("words"),
    "torque_nm": _("torque in N·m"),
    "angle_deg": _("angle in degrees"),
    "source": _("source"),
    "quantity": _("how many"),
    "witness": _("a second person looks"),
    "qualified": _("training"),
    "valid_hours": _("good for hours"),
    "until_shift_end": _("good until the shift ends"),
    "per_person": _("each person passes it for themselves"),
    "wait_minutes": _("minutes to wait"),
    "wait_after": _("waits after step"),
    "equipment": _("by number"),
    "limit": _("at most"),
    "at_least": _("at least"),
    "unit": _("unit"),
    "when": _("when it stands before work"),
}
#: Shown as they stand in the records: roles, kinds of parts and equipment, what a file counts.
AS_THEY_STAND = (
    _("technician"), _("parts"), _("quality"), _("lead"),
    _("bolt"), _("screw"), _("nut"), _("washer"), _("clip"), _("tie"), _("seal"), _("connector"),
    _("hose"), _("clamp"), _("bracket"), _("cover"), _("stud"), _("assembly"), _("temporary"),
    _("other"),
    _("instrument"), _("gloves"), _("lift"),
    _("new"), _("changed"), _("same"), _("steps"), _("holds"), _("positions"), _("pieces"),
)  # fmt: skip

#: What stands in a list to choose from: the value, and its words.
Choices = list[tuple[str, str]]


def as_they_stand(values: Iterable[str]) -> Choices:
    """A choice among words of the records, each in the reader's language."""
    return [(str(one), gettext(str(one))) for one in values]


def in_words(words: Mapping[str, str]) -> Choices:
    """A choice among things that have words of their own here."""
    return [(str(value), gettext(text)) for value, text in words.items()]
