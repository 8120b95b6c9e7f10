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
