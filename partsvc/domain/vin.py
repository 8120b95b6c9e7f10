"""Vehicle identification numbers: what looks odd about one is said, and the number is kept.

ISO 3779 gives 17 characters without I, O and Q. The check digit at place 9 is a rule of some
markets only (49 CFR 565.15), so that a number which fails it may still be right.
"""

from typing import Final

LENGTH: Final = 17
CHECK_PLACE: Final = 9

# Values and weights: 49 CFR 565.15, tables III and IV.
_LETTERS: Final = "ABCDEFGHJKLMNPRSTUVWXYZ"
_LETTER_VALUES: Final = (1, 2, 3, 4, 5, 6, 7, 8, 1, 2, 3, 4, 5, 7, 9, 2, 3, 4, 5, 6, 7, 8, 9)
_VALUES: Final = {str(digit): digit for digit in range(10)} | dict(
    zip(_LETTERS, _LETTER_VALUES, strict=True)
)
_WEIGHTS: Final = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
_REMAINDERS: Final = "0123456789X"


def findings(vin: str) -> tuple[str, ...]:
    """What a second look should be given on this number, in words; empty when nothing is odd.

    Never raises and never changes the number: the plate on the vehicle is right, not the rule.
    """
    capitals = "".join(sign.upper() if sign.isascii() else sign for sign in vin)
    said = (_length(capitals), _barred(capitals), _strange(capitals))
    return tuple(words for words in said if words) or _check(capitals)


def check_digit(vin17: str) -> str:
    """The digit (or X) that belongs at place 9; what stands there does not matter.

    ValueError unless there are 17 characters, the others being digits or capitals but I, O and Q.
    """
    if len(vin17) != LENGTH:
        raise ValueError(f"the check digit needs {LENGTH} characters, not {len(vin17)}")
    weighed = [pair for pair in zip(vin17, _WEIGHTS, strict=True) if pair[1]]
    if any(character not in _VALUES for character, _ in weighed):
        raise ValueError("the check digit is defined for digits and capitals except I, O and Q")
    return _REMAINDERS[sum(_VALUES[character] * weight for character, weight in weighed) % 11]


def _length(vin: str) -> str:
    if len(vin) == LENGTH:
        return ""
    return f"A vehicle identification number has {LENGTH} characters; this one has {len(vin)}."


def _barred(vin: str) -> str:
    found = [letter for letter in "IOQ" if letter in vin]
    if not found:
        return ""
    return f"It never contains I, O or Q; here stands {', '.join(found)}. Perhaps 1 or 0 is meant."


def _strange(vin: str) -> str:
    strange = [sign for sign in vin if sign not in _VALUES and sign not in "IOQ"]
    if not strange:
        return ""
    return "It contains something that is neither a letter from A to Z nor a digit."


def _check(vin: str) -> tuple[str, ...]:
    if check_digit(vin) == vin[CHECK_PLACE - 1]:
        return ()
    return (
        "The check digit at place 9 does not fit. That is usual in many markets; "
        "the number is kept as given. Compare it with the vehicle once more.",
    )
