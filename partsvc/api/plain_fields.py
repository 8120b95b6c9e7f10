"""Fields that take a value as it is or not at all, and say what is wrong in the domain's words.

The stock fields bend values: "3" and 3.7 become 3, "yes" becomes true. A record that is hashed
must hold what was sent.
"""

from __future__ import annotations

import re
from enum import StrEnum
from typing import Any

import marshmallow as ma

from partsvc.domain.records import number_faults, text_faults

_DIGITS = re.compile(r"-?[0-9]{1,16}")


class Text(ma.fields.String):
    """Text within its bounds."""

    def __init__(self, bounds: tuple[object, ...], **options: Any) -> None:
        super().__init__(**options)
        self.bounds = bounds

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> str:
        if not isinstance(value, str):
            raise ma.ValidationError("must be text")
        if "\0" in value:
            raise ma.ValidationError("contains the character U+0000")
        _none_wrong(text_faults(value, self.bounds))
        return value


class Whole(ma.fields.Integer):
    """A whole number within its bounds."""

    def __init__(self, bounds: tuple[object, ...], **options: Any) -> None:
        super().__init__(**options)
        self.bounds = bounds

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> int:
        if not isinstance(value, int) or isinstance(value, bool):
            raise ma.ValidationError("must be a whole number")
        _none_wrong(number_faults(value, self.bounds))
        return value


class WholeInAddress(Whole):
    """A whole number written in an address."""

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> int:
        if not isinstance(value, str) or not _DIGITS.fullmatch(value):
            raise ma.ValidationError("must be a whole number")
        return super()._deserialize(int(value), attr, data, **kwargs)


class Flag(ma.fields.Boolean):
    """True or false."""

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> bool:
        if not isinstance(value, bool):
            raise ma.ValidationError("must be true or false")
        return value


class FlagInAddress(ma.fields.Boolean):
    """True or false written in an address."""

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> bool:
        if value not in ("true", "false"):
            raise ma.ValidationError("must be true or false")
        return bool(value == "true")


class Choice(ma.fields.String):
    """One of a few words."""

    def __init__(self, choices: type[StrEnum], **options: Any) -> None:
        metadata = {**options.pop("metadata", {}), "enum": [one.value for one in choices]}
        super().__init__(metadata=metadata, **options)
        self.choices = choices

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> StrEnum:
        if not isinstance(value, str) or value not in set(self.choices):
            raise ma.ValidationError(f"must be one of: {', '.join(self.choices)}")
        return self.choices(value)


def _none_wrong(faults: list[str]) -> None:
    if faults:
        raise ma.ValidationError(faults)
