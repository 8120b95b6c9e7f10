"""Tag codes: short enough to type with a glove on, and no slip of the finger goes unseen.

A code has six free characters and two check characters over the field of 29 elements. Counting
places from 1, both sums are zero modulo 29:

    sum of c(i)  and  sum of i * c(i)

Two different codes therefore differ in at least three places: every wrong character, every pair
of wrong characters and every swap is seen, a single wrong character is even located, and up to
two unreadable ones can be worked out. The result is only suggested, and a person looks at the tag
again; but a character that stands on no tag (O, I, U) is read as the one it is taken for, where
both sums say that it is that one.
"""

import re
from collections.abc import Iterable, Iterator
from typing import Final, NewType

TagCode = NewType("TagCode", str)

#: No 0, O, Q; no 1, I, L; no U: nothing that hand or eye takes for something else.
ALPHABET: Final = "23456789ABCDEFGHJKMNPRSTVWXYZ"
FREE_LENGTH: Final = 6
LENGTH: Final = 8
#: How many different codes there are.
CAPACITY: Final = len(ALPHABET) ** FREE_LENGTH

#: What eye and hand make of the characters of a tag: an O was a D, a C or a G.
_TAKEN_FOR: Final = dict.fromkeys("0OQ", "DCG") | dict.fromkeys("1IL", "JT7") | {"U": "V"}

_PRIME: Final = len(ALPHABET)
_VALUE: Final = {character: value for value, character in enumerate(ALPHABET)}
_LINK: Final = re.compile(r"https?://[^/\s]+/t/([^/?#]*)/?", re.IGNORECASE)
_FILLING: Final = re.compile(r"[\s\-\u2010-\u2015]+")
_LOOK_AGAIN: Final = "Look at the tag again, or scan it."


class MistypedCode(ValueError):
    """What was typed is no tag code; says which characters look wrong and what to do next.

    `suspects` are places in the cleaned code, counted from 0; `suggestions` are codes that the
    tag may carry. None of them may be used before somebody has compared it with the tag.
    """

    def __init__(
        self,
        typed: str,
        *,
        words: str,
        suspects: tuple[int, ...] = (),
        suggestions: tuple[TagCode, ...] = (),
    ) -> None:
        super().__init__(words)
        self.typed = typed
        self.words = words
        self.suspects = suspects
        self.suggestions = suggestions


def complete(free: str) -> TagCode:
    """The whole code of a new tag from its six free characters. ValueError for any other text."""
    if len(free) != FREE_LENGTH or any(character not in _VALUE for character in free):
        raise ValueError(f"a tag code begins with {FREE_LENGTH} characters of {ALPHABET}")
    plain, weighted = check_sums(free)
    last = (7 * plain - weighted) % _PRIME
    last_but_one = (-plain - last) % _PRIME
    return TagCode(free + ALPHABET[last_but_one] + ALPHABET[last])


def from_number(number: int) -> TagCode:
    """The code for a number drawn by the caller, 0 up to but not including CAPACITY."""
    if not 0 <= number < CAPACITY:
        raise ValueError(f"the number of a tag lies between 0 and {CAPACITY - 1}")
    return complete("".join(reversed(tuple(_digits(number)))))


def shown(code: TagCode) -> str:
    """The code as printed on the tag: XXXX-XXXX."""
    return f"{code[:4]}-{code[4:]}"


def read(typed: str) -> TagCode:
    """The code that was typed or scanned: any case, with blanks or dashes, or as the tag's link.

    The host of a link is not looked at. One look-alike that no tag carries is read as meant.
    MistypedCode when the check sums do not hold.
    """
    cleaned = _cleaned(typed)
    if len(cleaned) != LENGTH:
        raise MistypedCode(typed, words=_length_words(len(cleaned)))
    strange = tuple(at for at, character in enumerate(cleaned) if character not in _VALUE)
    meant = _as_meant(cleaned, strange)
    if meant is not None:
        return meant
    if strange:
        raise _unreadable(typed, cleaned, strange=strange)
    if check_sums(cleaned) != (0, 0):
        raise _inconsistent(typed, cleaned)
    return TagCode(cleaned)


def check_sums(code: str) -> tuple[int, int]:
    """Both sums modulo 29; (0, 0) for a sound code. The places of a shorter text count from 1."""
    values = [_VALUE[character] for character in code]
    weighted = sum(place * value for place, value in enumerate(values, start=1))
    return sum(values) % _PRIME, weighted % _PRIME


def _digits(number: int) -> Iterator[str]:
    for _ in range(FREE_LENGTH):
        number, value = divmod(number, _PRIME)
        yield ALPHABET[value]


def _cleaned(typed: str) -> str:
    stripped = typed.strip()
    link = _LINK.fullmatch(stripped)
    if link is None and "://" in stripped:
        raise MistypedCode(typed, words="This link is not the link of a tag. Scan the tag itself.")
    text = _FILLING.sub("", stripped if link is None else link[1])
    # Upper case of plain letters only: some other letters change their number when raised.
    return "".join(letter.upper() if letter.isascii() else letter for letter in text)


def _length_words(length: int) -> str:
    if length == 0:
        return "No code was given. Scan the tag, or type the 8 characters printed on it."
    return f"A tag code has {LENGTH} characters, and here are {length}. {_LOOK_AGAIN}"


def _unreadable(typed: str, cleaned: str, *, strange: tuple[int, ...]) -> MistypedCode:
    """Characters that stand on no tag: one or two of them can be worked out from the rest."""
    suggestions = _filled_in(cleaned, strange)
    which = _listed(f"the {_nth(at)}{_quoted(cleaned[at])}" for at in strange)
    words = f"No tag carries {which} character of what was given." + _may_be(suggestions)
    return MistypedCode(typed, words=words, suspects=strange, suggestions=suggestions)


def _inconsistent(typed: str, cleaned: str) -> MistypedCode:
    """All characters exist, but do not belong together: one is wrong, or two are swapped."""
    plain, weighted = check_sums(cleaned)
    if plain:
        place = weighted * pow(plain, -1, _PRIME) % _PRIME
        suspects, suggestions = _one_wrong(cleaned, place - 1, plain)
    else:
        suspects, suggestions = _swapped(cleaned, weighted)
    words = _doubt(cleaned, suspects, swapped=not plain) + _may_be(suggestions)
    return MistypedCode(typed, words=words, suspects=suspects, suggestions=suggestions)


def _one_wrong(cleaned: str, at: int, excess: int) -> tuple[tuple[int, ...], tuple[TagCode, ...]]:
    if not 0 <= at < LENGTH:
        return (), ()
    right = ALPHABET[(_VALUE[cleaned[at]] - excess) % _PRIME]
    return (at,), (TagCode(cleaned[:at] + right + cleaned[at + 1 :]),)


def _swapped(cleaned: str, weighted: int) -> tuple[tuple[int, ...], tuple[TagCode, ...]]:
    """Every pair of neighbours that would make the code sound if the two changed places."""
    pairs = tuple(
        at
        for at in range(LENGTH - 1)
        if (_VALUE[cleaned[at + 1]] - _VALUE[cleaned[at]] - weighted) % _PRIME == 0
    )
    suspects = sorted({place for at in pairs for place in (at, at + 1)})
    return tuple(suspects), tuple(
        TagCode(cleaned[:at] + cleaned[at + 1] + cleaned[at] + cleaned[at + 2 :]) for at in pairs
    )


def _filled_in(cleaned: str, strange: tuple[int, ...]) -> tuple[TagCode, ...]:
    """The sound code with the strange characters replaced, where two equations allow it."""
    if len(strange) > 2:
        return ()
    first, other = strange[0], strange[-1]
    for value in ALPHABET:
        attempt = cleaned[:first] + value + cleaned[first + 1 :]
        if other != first:
            rest = check_sums(attempt[:other] + ALPHABET[0] + attempt[other + 1 :])[0]
            attempt = attempt[:other] + ALPHABET[-rest % _PRIME] + attempt[other + 1 :]
        if check_sums(attempt) == (0, 0):
            return (TagCode(attempt),)
    return ()


def _as_meant(cleaned: str, strange: tuple[int, ...]) -> TagCode | None:
    """The code with its one look-alike put right, if the sums give what it is taken for."""
    if len(strange) != 1:
        return None
    at = strange[0]
    found = _filled_in(cleaned, strange)
    takes = _TAKEN_FOR.get(cleaned[at], "")
    return found[0] if found and found[0][at] in takes else None


def _doubt(cleaned: str, suspects: tuple[int, ...], *, swapped: bool) -> str:
    if not suspects:
        return "This is no tag code: two or more characters are wrong."
    if swapped:
        return "This is no tag code: two neighbouring characters seem to have changed places."
    at = suspects[0]
    return f"This is no tag code: the {_nth(at)} character ({cleaned[at]}) looks wrong."


def _may_be(suggestions: tuple[TagCode, ...]) -> str:
    if not suggestions:
        return f" {_LOOK_AGAIN}"
    return f" {_LOOK_AGAIN} Does it say {_listed(map(shown, suggestions), last='or')}?"


def _nth(at: int) -> str:
    return ("1st", "2nd", "3rd")[at] if at < 3 else f"{at + 1}th"


def _quoted(character: str) -> str:
    # A scanner set up wrongly sends control characters, and nobody can read those.
    return f" ({character})" if character.isprintable() else ""


def _listed(items: Iterable[str], last: str = "and") -> str:
    *before, final = items
    return f"{', '.join(before)} {last} {final}" if before else final
