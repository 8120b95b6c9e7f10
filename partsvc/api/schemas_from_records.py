"""Schemas made from the records themselves: a field is described once, beside its meaning.

The annotations of a record carry bounds, forms and words. From them come validation, the API
document and the shape of answers. A member that is not set is left out of answers, never null.
"""

from __future__ import annotations

import types
from collections.abc import Mapping
from dataclasses import MISSING, Field, fields, is_dataclass
from enum import StrEnum
from functools import cache
from typing import Any, get_args, get_origin, get_type_hints

import marshmallow as ma

from partsvc.api.annotations import Bounds, Stated, unwrapped, words_of
from partsvc.api.plain_fields import (
    Choice,
    Flag,
    FlagInAddress,
    Text,
    Whole,
    WholeInAddress,
)
from partsvc.domain.parts import Part
from partsvc.domain.plan import Plan
from partsvc.domain.records import MOST_IN_A_LIST, AtMost


class RecordSchema(ma.Schema):
    """Reads a record, refusing what it does not know; writes it without what is not set."""

    # Named so that no member of any record can be called the same.
    made_as_: type | None = None
    defaults_: Mapping[str, object] = types.MappingProxyType({})

    class Meta:
        """Nothing unknown is taken; no global list of schemas is kept."""

        unknown = ma.RAISE
        register = False

    @ma.post_load
    def _made(self, data: Mapping[str, Any], **_: Any) -> Any:
        return self.made_as_(**data) if self.made_as_ else data

    @ma.post_dump
    def _without_unset(self, data: dict[str, Any], **_: Any) -> dict[str, Any]:
        return {name: value for name, value in data.items() if not self._unset(name, value)}

    def _unset(self, name: str, value: object) -> bool:
        """A document goes out as it would be written: what stands at its default is left out."""
        default = self.defaults_.get(name, MISSING)
        return value is None or value == default or (value == [] and default == ())


class OpenSchema(RecordSchema):
    """The shape of an answer, to which later versions may add members."""

    class Meta:
        """Programs that read an answer pass over what they do not know."""

        unknown = ma.INCLUDE
        register = False

    def _unset(self, name: str, value: object) -> bool:
        return value is None


# Documents that are fetched, changed and sent back: they have one shape both ways.
DOCUMENTS = (Part, Plan)


def schema_of(record: type) -> type[RecordSchema]:
    """The schema by which a request record is read."""
    return _built(record, RecordSchema)


def answer_schema_of(record: type) -> type[RecordSchema]:
    """The schema by which an answer is written."""
    return _built(record, OpenSchema)


@cache
def query_schema_of(record: type) -> type[RecordSchema]:
    """The schema by which the parameters behind an address's question mark are read."""
    made = {item.name: _query_field(hint, item) for item, hint in _hinted(record)}
    return _class(f"{record.__name__}Query", made, record, RecordSchema)


@cache
def _built(record: type, base: type[RecordSchema]) -> type[RecordSchema]:
    return _class(record.__name__, fields_of(record, base), record, base)


def joined_schema(
    name: str, records: tuple[type, ...], extra: Mapping[str, ma.fields.Field[Any]]
) -> type[RecordSchema]:
    """One schema over the members of several records, for the document only."""
    made: dict[str, ma.fields.Field[Any]] = dict(extra)
    for record in records:
        made |= fields_of(record, RecordSchema)
    return _class(name, made, None, RecordSchema)


def _class(
    name: str,
    made: Mapping[str, ma.fields.Field[Any]],
    record: type | None,
    base: type[RecordSchema],
) -> type[RecordSchema]:
    doc = (record.__doc__ if record else None) or ""
    defaults = {item.name: item.default for item in fields(record)} if record else {}
    members = {**made, "made_as_": record, "defaults_": defaults, "__doc__": doc}
    return type(name, (base,), members)


def fields_of(record: type, base: type[RecordSchema]) -> dict[str, ma.fields.Field[Any]]:
    """The schema fields of a record; a trailing underscore keeps a Python word apart."""
    return {
        item.name: _field(
            hint,
            base,
            required=_needed(item, hint),
            data_key=item.name.rstrip("_"),
            default=item.default,
        )
        for item, hint in _hinted(record)
    }


def _hinted(record: type) -> list[tuple[Field[Any], object]]:
    hints = get_type_hints(record, include_extras=True)
    return [(item, hints[item.name]) for item in fields(record)]


def _needed(item: Field[Any], hint: object) -> bool:
    """Whether the member is always there: none that may be None, for that is left out."""
    may_be_none = type(None) in get_args(hint)
    return item.default is MISSING and item.default_factory is MISSING and not may_be_none


def _field(
    hint: object, base: type[RecordSchema], *, default: object = MISSING, **options: Any
) -> ma.fields.Field[Any]:
    hint, bounds = unwrapped(hint, ())
    if default not in (MISSING, None, "", ()):
        bounds = (*bounds, Stated(default))
    origin = get_origin(hint)
    if origin is tuple:
        return _list(get_args(hint)[0], base, bounds, **options)
    if isinstance(origin, type) and issubclass(origin, Mapping):
        return _mapping(get_args(hint)[1], base, bounds, **options)
    if isinstance(hint, type) and is_dataclass(hint):
        nested = _built(hint, RecordSchema if hint in DOCUMENTS else base)
        return ma.fields.Nested(nested, metadata=words_of(bounds), **options)
    return _scalar(hint, bounds, **options)


def _list(
    hint: object, base: type[RecordSchema], bounds: Bounds, **options: Any
) -> ma.fields.Field[Any]:
    taken = base is RecordSchema
    most = next((one.items for one in bounds if isinstance(one, AtMost)), MOST_IN_A_LIST)
    metadata = words_of(bounds) | ({"maxItems": most} if taken else {})
    checks = [ma.validate.Length(max=most, error=f"at most {most} are taken")] if taken else []
    return Listed(_field(hint, base), validate=checks, metadata=metadata, **options)


class Listed(ma.fields.List[Any]):
    """A list that becomes a tuple, as records have it."""

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> Any:
        return tuple(super()._deserialize(value, attr, data, **kwargs))


def _mapping(
    hint: object, base: type[RecordSchema], bounds: Bounds, **options: Any
) -> ma.fields.Field[Any]:
    return ma.fields.Dict(
        keys=ma.fields.String(), values=_field(hint, base), metadata=words_of(bounds), **options
    )


def _scalar(hint: object, bounds: Bounds, **options: Any) -> ma.fields.Field[Any]:
    if isinstance(hint, type) and issubclass(hint, StrEnum):
        return Choice(hint, metadata=words_of(bounds), **options)
    if hint is bool:
        return Flag(metadata=words_of(bounds), **options)
    if hint is int:
        return Whole(bounds, metadata=words_of(bounds), **options)
    if hint is str:
        return Text(bounds, metadata=words_of(bounds), **options)
    if hint is object:
        return ma.fields.Raw(metadata=words_of(bounds), **options)
    raise TypeError(f"no schema for {hint}")


def _query_field(hint: object, item: Field[Any]) -> ma.fields.Field[Any]:
    """A parameter comes as text, whatever it stands for."""
    bare, bounds = unwrapped(hint, ())
    options: dict[str, Any] = {"required": _needed(item, hint)}
    if item.default not in (MISSING, None, "", ()):
        bounds = (*bounds, Stated(item.default))
    if bare is int:
        return WholeInAddress(bounds, metadata=words_of(bounds), **options)
    if bare is bool:
        return FlagInAddress(metadata=words_of(bounds), **options)
    return _scalar(bare, bounds, **options)
