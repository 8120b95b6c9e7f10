"""One printer, spoken to over HTTP: what it is, what it takes, and what became of a job.

A job is made in two steps, Create-Job and Send-Document (RFC 8011, 4.2.4 and 4.3.1): the job has
its number before a single byte of the document is sent, so that whoever is cut off in the middle
can ask the printer what became of it, and never prints a label a second time by mistake.
"""

from __future__ import annotations

import http.client
import itertools
import ssl
from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import IntEnum, StrEnum
from typing import TypeGuard
from urllib.parse import urlsplit

from partsvc.ipp.message import (
    Attribute,
    BadMessage,
    Group,
    Kind,
    Message,
    Part,
    decoded,
    encoded,
    number,
    words,
)

DEFAULT_PORT = 631
_SECONDS = 10.0
_LARGEST_ANSWER = 4 * 1024 * 1024


class Operation(IntEnum):
    """The operations that are used (RFC 8011, section 5.4.15)."""

    VALIDATE_JOB = 0x0004
    CREATE_JOB = 0x0005
    SEND_DOCUMENT = 0x0006
    CANCEL_JOB = 0x0008
    GET_JOB_ATTRIBUTES = 0x0009
    GET_JOBS = 0x000A
    GET_PRINTER_ATTRIBUTES = 0x000B


class JobState(StrEnum):
    """How far a job is at the printer (RFC 8011, section 5.3.7), in the trade's words."""

    PENDING = "pending"
    HELD = "held"
    PRINTING = "printing"
    STOPPED = "stopped"
    CANCELLED = "cancelled"
    ABORTED = "aborted"
    PRINTED = "printed"

    @property
    def ended(self) -> bool:
        """Whether nothing more will happen to it."""
        return self in (JobState.CANCELLED, JobState.ABORTED, JobState.PRINTED)


_JOB_STATES = {
    3: JobState.PENDING,
    4: JobState.HELD,
    5: JobState.PRINTING,
    6: JobState.STOPPED,
    7: JobState.CANCELLED,
    8: JobState.ABORTED,
    9: JobState.PRINTED,
}


class PrinterFault(Exception):
    """The printer did not do as asked; the text says why, in words for people."""


class Unreachable(PrinterFault):
    """No answer: switched off, away, or the wrong address. Try again later."""


class Busy(PrinterFault):
    """It answered: not now. Try again later."""


class Declined(PrinterFault):
    """It answered: not this, now or ever: a format, a medium or a size that it does not take."""


class NoSuchJob(PrinterFault):
    """The printer knows nothing of such a job (any more)."""


_STATUS_WORDS = {
    0x0400: "it did not understand the request",
    0x0401: "it is forbidden",
    0x0402: "it asks who is there",
    0x0403: "it does not allow it",
    0x0404: "it is not possible now",
    0x0406: "there is no such printer or job at that address",
    0x0408: "the document is too large",
    0x040A: "the document's format is not supported",
    0x040B: "it does not support what was asked for",
    0x0500: "it had a fault of its own",
    0x0501: "it does not know this operation",
    0x0502: "it is not available",
    0x0503: "its version of the protocol is another",
    0x0504: "its device has a fault",
    0x0505: "it had a passing fault",
    0x0506: "it takes no jobs at present",
    0x0507: "it is busy",
    0x0508: "the job was cancelled there",
}
# Passing troubles; 0x0404 is how some printers say that a job still waits for its document.
_LATER = frozenset({0x0502, 0x0504, 0x0505, 0x0506, 0x0507})
_NO_SUCH = 0x0406


@dataclass(frozen=True, slots=True, kw_only=True)
class PrinterFacts:
    """What a printer says of itself."""

    name: str
    state: str
    reasons: tuple[str, ...]
    accepting: bool
    formats: tuple[str, ...]
    media_ready: tuple[str, ...]
    media_supported: tuple[str, ...]
    operations: tuple[int, ...] = ()

    @property
    def trouble(self) -> tuple[str, ...]:
        """What keeps it from printing, in words; nothing when all is well."""
        return tuple(reason_words(one) for one in self.reasons if one not in ("none", ""))


@dataclass(frozen=True, slots=True, kw_only=True)
class JobFacts:
    """What a printer says of one job."""

    number: int
    state: JobState
    reasons: tuple[str, ...] = ()
    documents: int | None = None
    name: str = ""

    @property
    def waits_for_its_document(self) -> bool:
        """Whether the printer has the job, but nothing to print in it yet."""
        if self.state.ended or self.state is JobState.PRINTING:
            return False
        waits = ("job-incoming", "job-data-insufficient")
        return self.documents == 0 or any(one in self.reasons for one in waits)


_REASON_WORDS = {
    "media-empty": "out of paper",
    "media-needed": "the paper asked for is not in it",
    "media-low": "paper runs low",
    "media-jam": "paper jam",
    "cover-open": "its cover is open",
    "door-open": "its door is open",
    "marker-supply-empty": "out of ink or ribbon",
    "toner-empty": "out of toner",
    "toner-low": "toner runs low",
    "marker-supply-low": "ink or ribbon runs low",
    "paused": "it is paused",
    "offline": "it is offline",
    "shutdown": "it is switched off",
    "spool-area-full": "its memory is full",
    "printer-stopped": "it has stopped",
    "moving-to-paused": "it is about to pause",
    "connecting-to-device": "it connects to its device",
    "other": "something it has no word for",
}


def reason_words(keyword: str) -> str:
    """A state reason (RFC 8011, section 5.4.12) as a person says it."""
    plain = keyword
    for ending in ("-report", "-warning", "-error"):
        plain = plain.removesuffix(ending)
    return _REASON_WORDS.get(plain, plain.replace("-", " "))


@dataclass(slots=True)
class Printer:
    """A printer at an address such as `ipp://printer.local/ipp/print`; `ipps` speaks TLS."""

    address: str
    user: str = "partsvc"
    seconds: float = _SECONDS
    _ids: itertools.count[int] = field(default_factory=lambda: itertools.count(1))

    def facts(self) -> PrinterFacts:
        """What it is, what it takes and how it is. Raises PrinterFault."""
        asked = (
            "printer-name", "printer-state", "printer-state-reasons", "printer-is-accepting-jobs",
            "document-format-supported", "media-ready", "media-supported", "operations-supported",
        )  # fmt: skip
        wanted = Attribute("requested-attributes", Kind.KEYWORD, asked)
        found = self._ask(Operation.GET_PRINTER_ATTRIBUTES, (wanted,)).group(Part.PRINTER)
        states = {3: "idle", 4: "printing", 5: "stopped"}
        return PrinterFacts(
            name=next(iter(words(found.values("printer-name"))), ""),
            state=states.get(number(found.values("printer-state")), "unknown"),
            reasons=words(found.values("printer-state-reasons")),
            accepting=bool(number(found.values("printer-is-accepting-jobs"), 1)),
            formats=words(found.values("document-format-supported")),
            media_ready=words(found.values("media-ready")),
            media_supported=words(found.values("media-supported")),
            operations=tuple(
                int(v) for v in found.values("operations-supported") if type(v) is int
            ),
        )

    def validate(self, *, name: str, format: str, media: str = "") -> None:
        """Ask whether it would take such a job. Raises Declined with what it does not take."""
        self._ask(Operation.VALIDATE_JOB, _about(name, format), _job(media))

    def create(self, *, name: str, media: str = "") -> JobFacts:
        """Begin a job; it has a number from now on, and no document yet."""
        named = Attribute("job-name", Kind.NAME, (name,))
        answer = self._ask(Operation.CREATE_JOB, (named,), _job(media))
        return _job_facts(answer.group(Part.JOB))

    def send(self, job: int, document: bytes, *, format: str) -> JobFacts:
        """Send the one document of a job; from now on it prints."""
        about = (
            Attribute("job-id", Kind.INTEGER, (job,)),
            Attribute("document-format", Kind.MIME_TYPE, (format,)),
            Attribute("last-document", Kind.BOOLEAN, (True,)),
        )
        answer = self._ask(Operation.SEND_DOCUMENT, about, document=document)
        return _job_facts(answer.group(Part.JOB))

    def job(self, job: int) -> JobFacts:
        """How far a job is. Raises NoSuchJob when the printer has forgotten it."""
        about = (
            Attribute("job-id", Kind.INTEGER, (job,)),
            Attribute("requested-attributes", Kind.KEYWORD, _JOB_WANTED),
        )
        return _job_facts(self._ask(Operation.GET_JOB_ATTRIBUTES, about).group(Part.JOB))

    def jobs_named(self, name: str) -> tuple[JobFacts, ...]:
        """The jobs of that name that the printer knows, those that ended too."""
        found: dict[int, JobFacts] = {}
        for which in ("not-completed", "completed"):
            about = (
                Attribute("which-jobs", Kind.KEYWORD, (which,)),
                Attribute("requested-attributes", Kind.KEYWORD, _JOB_WANTED),
            )
            answer = self._ask(Operation.GET_JOBS, about)
            known = (_job_facts(group) for group in answer.groups if group.part == Part.JOB)
            found |= {one.number: one for one in known if one.name == name}
        return tuple(found[one] for one in sorted(found))

    def cancel(self, job: int) -> None:
        """Tell the printer to let a job be."""
        self._ask(Operation.CANCEL_JOB, (Attribute("job-id", Kind.INTEGER, (job,)),))

    def _ask(
        self,
        operation: Operation,
        about: Sequence[Attribute],
        job: Sequence[Attribute] = (),
        *,
        document: bytes = b"",
    ) -> Message:
        begin = (
            Attribute("attributes-charset", Kind.CHARSET, ("utf-8",)),
            Attribute("attributes-natural-language", Kind.LANGUAGE, ("en",)),
            Attribute("printer-uri", Kind.URI, (self.address,)),
        )
        # The job's number stands right behind the printer's address (RFC 8011, section 4.1.5).
        first = tuple(one for one in about if one.name == "job-id")
        rest = tuple(one for one in about if one.name != "job-id")
        who = (Attribute("requesting-user-name", Kind.NAME, (self.user,)),)
        groups = [Group(Part.OPERATION, (*begin, *first, *who, *rest))]
        if job:
            groups.append(Group(Part.JOB, tuple(job)))
        asked = Message(operation, next(self._ids), tuple(groups))
        answer = _answer(self._carried(encoded(asked) + document))
        _understood(answer)
        return answer

    def _carried(self, body: bytes) -> bytes:
        connection, path = _connection(self.address, self.seconds)
        try:
            connection.request("POST", path, body, {"Content-Type": "application/ipp"})
            answer = connection.getresponse()
            data = answer.read(_LARGEST_ANSWER)
        except (OSError, http.client.HTTPException) as away:
            raise Unreachable(f"The printer at {self.address} does not answer: {away}.") from away
        finally:
            connection.close()
        if answer.status in (503, 502, 504):
            raise Busy(f"The printer at {self.address} is not available now ({answer.status}).")
        if answer.status != 200:
            raise Declined(
                f"What answers at {self.address} is no printer ({answer.status} {answer.reason}). "
                "Check the address."
            )
        return data


_JOB_WANTED = ("job-id", "job-name", "job-state", "job-state-reasons", "number-of-documents")


def _about(name: str, format: str) -> tuple[Attribute, ...]:
    return (
        Attribute("job-name", Kind.NAME, (name,)),
        Attribute("document-format", Kind.MIME_TYPE, (format,)),
    )


def _job(media: str) -> tuple[Attribute, ...]:
    return (Attribute("media", Kind.KEYWORD, (media,)),) if media else ()


def _answer(data: bytes) -> Message:
    try:
        return decoded(data)
    except BadMessage as broken:
        raise Unreachable(str(broken)) from broken


def _understood(answer: Message) -> None:
    if answer.code < 0x0100:
        return
    said = " ".join(words(answer.group(Part.OPERATION).values("status-message"))[:1])
    why = _STATUS_WORDS.get(answer.code, f"status {answer.code:#06x}")
    unsupported = ", ".join(one.name for one in answer.group(Part.UNSUPPORTED).attributes)
    detail = "; ".join(filter(None, (why, said, unsupported)))
    text = f"The printer declined: {detail}."
    if answer.code in _LATER:
        raise Busy(text)
    raise NoSuchJob(text) if answer.code == _NO_SUCH else Declined(text)


def _is_number(value: object) -> TypeGuard[int]:
    return isinstance(value, int)


def _job_facts(group: Group) -> JobFacts:
    documents = group.values("number-of-documents")
    return JobFacts(
        number=number(group.values("job-id")),
        state=_JOB_STATES.get(number(group.values("job-state")), JobState.PENDING),
        reasons=words(group.values("job-state-reasons")),
        documents=number(documents) if documents else None,
        name=next(iter(words(group.values("job-name"))), ""),
    )


def _connection(address: str, seconds: float) -> tuple[http.client.HTTPConnection, str]:
    """A connection to an `ipp`, `ipps`, `http` or `https` address, and the path to ask there."""
    try:
        found = urlsplit(address)
        known = found.scheme in ("ipp", "ipps", "http", "https") and found.hostname is not None
        # The port is read here for its range, and the name for letters that no address has.
        known = known and found.port != 0 and (found.hostname or "").encode("idna") != b""
    except ValueError:
        known = False
    if not known or found.hostname is None:
        raise Declined(
            f"{address} is no printer's address. It looks like ipp://printer.local/ipp/print."
        )
    path = found.path or "/ipp/print"
    if found.scheme in ("ipps", "https"):
        # Printers carry certificates that they signed themselves; the workshop's network is
        # trusted for what a tag says, and nothing else goes there.
        context = ssl.create_default_context()
        context.check_hostname = False
        context.verify_mode = ssl.CERT_NONE
        port = found.port or (443 if found.scheme == "https" else DEFAULT_PORT)
        secure = http.client.HTTPSConnection(found.hostname, port, timeout=seconds, context=context)
        return secure, path
    port = found.port or (80 if found.scheme == "http" else DEFAULT_PORT)
    return http.client.HTTPConnection(found.hostname, port, timeout=seconds), path
