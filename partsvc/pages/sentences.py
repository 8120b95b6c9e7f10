"""What the service itself says, in the reader's language: refusals, findings, cautions.

The rules of the house are written in English, each sentence beside the rule that says it, with
numbers and names put in. A catalogue (`words/<language>-said.po`) holds each sentence with `{}`
where something is put in; a sentence is recognised by what stands around these places, and what
was put in is looked up in its turn. What no form fits stays English, and is marked as such for
those who listen to the page.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache

from babel.messages.pofile import read_po
from markupsafe import Markup, escape

from partsvc.pages.words import FOLDER, language

# A phrase in a phrase in a phrase: deeper than this nothing is put together.
DEEPEST = 6
# Less than this around its places is no form: it would fit anything. One that begins and ends with
# a place stands in the middle of names, too: it needs more.
LEAST_LETTERS = 3
LEAST_BETWEEN = 8
# People's own words may be long, and are not ours.
MOST_SENTENCES = 24
LONGEST = 700
AT_ONCE = 5

_ENDS = re.compile(r"(?<=[.!?])\s+")
_PARTS = re.compile(r"(, |; | and | or |: | \+ | = | − )")
_BRACKETS = re.compile(r"( \(|\)$)")
_COUNTED = re.compile(r"^([0-9]+ (?:× |mm )?)")
_PLACE = re.compile(r"\{(\d*)\}")


@dataclass(frozen=True, slots=True)
class Form:
    """A sentence with places, how it is recognised, and its counterpart."""

    surest: str
    pattern: re.Pattern[str]
    counterpart: str


@dataclass(frozen=True, slots=True)
class Said:
    """A text in another language; `strange` if none of it was known."""

    text: str
    strange: bool = False


class Sentences:
    """The sentences of one language."""

    def __init__(self, pairs: Mapping[str, str]) -> None:
        self._whole = {
            said: other for said, other in pairs.items() if other and not _PLACE.search(said)
        }
        for one, two in list(self._whole.items()):
            # A heading is the first of several sentences: each is known by itself, too.
            apart, other = _ENDS.split(one), _ENDS.split(two)
            if len(apart) == len(other):
                for said, counterpart in zip(apart, other, strict=True):
                    self._whole.setdefault(said, counterpart)
        self._forms = sorted(
            (_form(said, other) for said, other in pairs.items() if other and _is_form(said)),
            key=lambda form: -len(_PLACE.sub("", form.pattern.pattern)),
        )

    def say(self, text: str) -> tuple[Said, ...]:
        """A text as the pieces it is told in; those that nothing fits stay as they are.

        Sentence by sentence where each is known by itself; a form of several sentences otherwise.
        """
        if text in self._whole:
            return (Said(self._whole[text]),)
        sentences = _ENDS.split(text)
        if len(sentences) > MOST_SENTENCES or max(map(len, sentences)) > LONGEST:
            return (Said(text, strange=True),)
        apart = self._told(sentences, shortest=True)
        if not any(one.strange for one in apart):
            return apart
        together = self._told(sentences, shortest=False)
        return min(apart, together, key=lambda told: sum(len(s.text) for s in told if s.strange))

    def _told(self, sentences: list[str], *, shortest: bool) -> tuple[Said, ...]:
        told: list[Said] = []
        at = 0
        while at < len(sentences):
            ends = range(at + 1, min(len(sentences), at + AT_ONCE) + 1)
            tried = ((end, self._one(" ".join(sentences[at:end]), 0)) for end in ends)
            known = [(end, found) for end, found in tried if found is not None]
            if known:
                at, found = known[0 if shortest else -1]
                told.append(Said(found))
            else:
                pieced = self._put_in(sentences[at], 0)
                told.append(Said(pieced, strange=pieced == sentences[at]))
                at += 1
        return tuple(told)

    def _one(self, text: str, depth: int) -> str | None:
        """One sentence or phrase, if it is known."""
        if text in self._whole:
            return self._whole[text]
        if depth > DEEPEST:
            return None
        # A heading stands without its full stop.
        if f"{text}." in self._whole:
            return self._whole[f"{text}."].removesuffix(".")
        for form in self._forms:
            if form.surest in text and (match := form.pattern.fullmatch(text)):
                put_in = [self._put_in(one, depth + 1) for one in match.groups()]
                return form.counterpart.format(*put_in)
        return None

    def _put_in(self, text: str, depth: int) -> str:
        """What stood at a place: a phrase of ours, several put together, or a name."""
        found = self._one(text, depth)
        if found is not None:
            return found
        if depth > DEEPEST:
            return text
        return self._listed(text, depth) or self._woven(text, depth) or text

    def _listed(self, text: str, depth: int) -> str:
        """A list, or a phrase with another in brackets, of which something is known."""
        for pattern in (_PARTS, _BRACKETS, _COUNTED):
            parts = pattern.split(text)
            if len(parts) > 1:
                told = [self._put_in(one, depth + 1) if one else "" for one in parts[::2]]
                known = [new != old for new, old in zip(told, parts[::2], strict=True)]
                if any(known):
                    # What stands between two names is theirs.
                    joints = [
                        self._joint(one) if known[at] or known[at + 1] else one
                        for at, one in enumerate(parts[1::2])
                    ]
                    joints.append("")
                    return "".join(one for pair in zip(told, joints, strict=True) for one in pair)
        return ""

    def _woven(self, text: str, depth: int) -> str:
        """Two phrases of ours after one another: where a piece went, and where that is."""
        for at in reversed([one.start() for one in re.finditer(" ", text)]):
            first = self._whole.get(text[:at])
            if first is not None:
                rest = self._one(text[at + 1 :], depth + 1)
                if rest is not None:
                    return f"{first} {rest}"
        return ""

    def _joint(self, joint: str) -> str:
        """What stands between the items of a list."""
        word = joint.strip()
        return joint.replace(word, self._whole.get(word, word).strip()) if word else joint


def _is_form(said: str) -> bool:
    letters = len(re.findall("[A-Za-z]", said))
    between = said.startswith("{}") and said.endswith("{}")
    return bool(_PLACE.search(said)) and letters >= (LEAST_BETWEEN if between else LEAST_LETTERS)


def _form(said: str, other: str) -> Form:
    around = re.split(r"\{\}", said)
    pattern = "(.*?)".join(map(re.escape, around))
    return Form(max(around, key=len), re.compile(pattern, re.DOTALL), other)


def sentences_from(pairs: Iterable[tuple[str, str]]) -> Sentences:
    """The sentences of a catalogue, spaces drawn together as a reader sees them."""
    return Sentences({" ".join(said.split()): other for said, other in pairs})


@lru_cache(maxsize=8)
def _sentences_of(name: str) -> Sentences:
    path = FOLDER / f"{name}-said.po"
    with path.open("rb") as file:
        catalogue = read_po(file, locale=name)
    return sentences_from((str(one.id), str(one.string)) for one in catalogue if one.id)


@lru_cache(maxsize=8192)
def _in(name: str, text: str) -> Markup:
    told = [
        Markup('<span lang="en">{}</span>').format(one.text) if one.strange else escape(one.text)
        for one in _sentences_of(name).say(text)
    ]
    return Markup(" ").join(told)


def said(text: str) -> Markup:
    """A sentence of the service, ready to stand on a page."""
    now = language()
    if not text or now == "en":
        return escape(text)
    return _in(now, " ".join(text.split()))
