"""What an address says of itself in the document: its files, its headers, what it may refuse."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from partsvc.api.again import REPLAY_HEADER
from partsvc.domain.acts.kinds import Role

BEARER: list[dict[str, list[str]]] = [{"bearer": []}]


@dataclass(frozen=True, slots=True)
class NoParameters:
    """An address without parameters."""


@dataclass(frozen=True, slots=True, kw_only=True)
class File:
    """An answer that is a file of a media type."""

    media_type: str
    says: str

    @property
    def content(self) -> dict[str, Any]:
        """How the document writes the file down."""
        written = {"type": "string"}
        if not self.media_type.startswith("text/") and "json" not in self.media_type:
            written["format"] = "binary"
        return written


def problem_reference(status: int) -> str:
    """Where the document describes the problems of a status."""
    return f"#/components/responses/Problem{status}"


def contents(file: File) -> dict[str, Any]:
    """A file as one of the forms of an answer."""
    return {file.media_type: {"schema": file.content}}


def headers_of(
    given: Mapping[str, Mapping[str, Any]] | None, keyed: bool, location: str
) -> dict[str, Any]:
    """The headers of an answer, those of a keyed request and of something new among them."""
    headers: dict[str, Any] = dict(given or {})
    if keyed:
        headers["Idempotent-Replay"] = REPLAY_HEADER
    if location:
        headers["Location"] = {
            "description": "The address of what was made.",
            "schema": {"type": "string", "format": "uri-reference"},
        }
    return headers


def problems_of(
    rule: str,
    method: str,
    roles: frozenset[Role] | None,
    *,
    takes: type | None,
    writes: bool,
) -> set[int]:
    """What any address of this make may refuse."""
    found = {422}
    if roles is not None:
        found |= {401, 403}
    if "<" in rule:
        found |= {404}
    if takes is not None:
        found |= {400, 413, 415}
    if writes:
        found |= {503}
    if writes and method == "POST":
        found |= {400, 409}
    return found
