"""What can go wrong for a caller: a dozen classes, each with a stable code.

A request that cannot be carried out raises one of these. What is wrong with a *job* (two clips
left over) is never an exception but a finding.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

Member = str | int | bool | tuple[str, ...] | tuple[Mapping[str, str], ...] | Mapping[str, str]


class PartsvcError(Exception):
    """The request cannot be carried out; `detail` says what to do next.

    `code` is stable and meant for programs, `members` name the field, bag, position or step.
    """

    code: ClassVar[str] = "failed"
    title: ClassVar[str] = "The request failed"

    def __init__(self, detail: str, **members: Member) -> None:
        super().__init__(detail)
        self.detail = detail
        self.members = members


class Malformed(PartsvcError):
    """The request cannot be read at all (broken JSON, not UTF-8)."""

    code = "malformed"
    title = "The request cannot be read"


class Invalid(PartsvcError):
    """A field is missing, of the wrong type, unknown or out of range."""

    code = "invalid"
    title = "Something in the request is not right"


class Mistyped(PartsvcError):
    """A tag code fails its check characters; the members name the characters that look wrong."""

    code = "mistyped-code"
    title = "This is not a tag code of ours"


class NotFound(PartsvcError):
    """The thing named does not exist here."""

    code = "not-found"
    title = "Not found"


class Refused(PartsvcError):
    """The plan or the book forbids the act, for the reason given.

    `reason` is the stable code of the rule. `may_be_recorded` tells whether the act can be sent
    again with `already_done`, which records what was done and leaves a finding.
    """

    code = "refused"
    title = "Not yet: the plan or the book forbids this"

    def __init__(
        self,
        reason: str,
        detail: str,
        *,
        may_be_recorded: bool = True,
        members: Mapping[str, Member] | None = None,
    ) -> None:
        super().__init__(detail, **(members or {}))
        self.reason = reason
        self.may_be_recorded = may_be_recorded


class KeyReused(PartsvcError):
    """The same key came before with other content."""

    code = "key-reused"
    title = "This key belongs to another request"


class InProgress(PartsvcError):
    """The first request with this key is still being worked on."""

    code = "in-progress"
    title = "The first request with this key is still under way"


class Stale(PartsvcError):
    """What the caller looked at has changed since."""

    code = "stale"
    title = "It has changed since you looked"


class NotSignedIn(PartsvcError):
    """Nobody is signed in, or the token is no longer good."""

    code = "not-signed-in"
    title = "Sign in first"


class NotAllowed(PartsvcError):
    """The person signed in may not do this."""

    code = "not-allowed"
    title = "Your role may not do this"


class Conflict(PartsvcError):
    """The name or number is taken, or the thing is in use."""

    code = "conflict"
    title = "Already taken"


class BadFile(PartsvcError):
    """An imported file has faults; nothing of it was taken in. `faults` names each by place."""

    code = "bad-file"
    title = "The file has faults; nothing was imported"


class Busy(PartsvcError):
    """The database cannot take the write just now (disk full, locked by another program)."""

    code = "busy"
    title = "The service cannot write just now"
