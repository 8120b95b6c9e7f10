"""The database: one folder, one door for writing, durable before anything is acknowledged.

Writers queue in the order they came. SQLite's own busy handler sleeps with back-off and lets some
writers starve for seconds; it stays as the last resort against other processes.
"""

from __future__ import annotations

import sqlite3
import threading
from collections import deque
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlite_utils import Database as Tables

from partsvc.errors import Busy

FILE = "partsvc.sqlite3"
BUSY_TIMEOUT_MS = 15_000
Row = sqlite3.Row


class FairLock:
    """A lock that is handed on in the order in which it was asked for."""

    def __init__(self) -> None:
        self._guard = threading.Lock()
        self._queue: deque[threading.Event] = deque()
        self._held = False

    def __enter__(self) -> None:
        with self._guard:
            if not self._held:
                self._held = True
                return
            turn = threading.Event()
            self._queue.append(turn)
        turn.wait()

    def __exit__(self, *_: object) -> None:
        with self._guard:
            if self._queue:
                self._queue.popleft().set()
            else:
                self._held = False


class Database:
    """One site's database file; each thread has a connection of its own."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.path = folder / FILE
        self._own = threading.local()
        self._writing = FairLock()
        # One connection stays open for the life of the service: closing the last one would
        # checkpoint and remove the write-ahead log at every request.
        self._anchor = connect(self.path)

    @property
    def connection(self) -> sqlite3.Connection:
        """This thread's connection."""
        found: sqlite3.Connection | None = getattr(self._own, "connection", None)
        if found is None:
            found = connect(self.path)
            self._own.connection = found
        return found

    @contextmanager
    def reading(self) -> Iterator[sqlite3.Connection]:
        """A steady view: everything read inside stands as of one moment."""
        connection = self.connection
        if connection.in_transaction:
            yield connection
            return
        connection.execute("BEGIN")
        try:
            yield connection
        finally:
            if connection.in_transaction:
                connection.execute("ROLLBACK")

    @contextmanager
    def writing(self) -> Iterator[sqlite3.Connection]:
        """One immediate transaction; committed and durable when the block ends without error."""
        connection = self.connection
        with self._writing:
            try:
                connection.execute("BEGIN IMMEDIATE")
                yield connection
                connection.execute("COMMIT")
            except BaseException as error:
                # Also after a BEGIN that failed: stopped late, it has begun all the same.
                if connection.in_transaction:
                    connection.execute("ROLLBACK")
                if isinstance(error, sqlite3.OperationalError) and (busy := _busy(error)):
                    raise busy from error
                raise

    def close(self) -> None:
        """Close this thread's connection and the anchor."""
        found: sqlite3.Connection | None = getattr(self._own, "connection", None)
        if found is not None:
            found.close()
            self._own.connection = None
        self._anchor.close()


_OTHERS_WRITE = (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED)
_DISK_FAILS = (
    sqlite3.SQLITE_FULL,
    sqlite3.SQLITE_IOERR,
    sqlite3.SQLITE_READONLY,
    sqlite3.SQLITE_CANTOPEN,
    sqlite3.SQLITE_INTERRUPT,
)


def _busy(error: sqlite3.OperationalError) -> Busy | None:
    """What to tell the sender when neither the request nor this program is to blame."""
    code = getattr(error, "sqlite_errorcode", 0) & 0xFF  # The rest of it is detail.
    if code in _OTHERS_WRITE:
        return Busy(
            "Another program is writing to the database. Send the same request again in a "
            "moment; nothing was lost."
        )
    if code in _DISK_FAILS:
        return Busy(
            f"The database cannot be written just now ({error}). See to the disk, then send the "
            "same request again: it is recorded once, whatever came of it now."
        )
    return None


def connect(path: Path) -> sqlite3.Connection:
    """A connection that is durable, keeps foreign keys and never begins a transaction by itself."""
    connection = sqlite3.connect(
        path, isolation_level=None, timeout=BUSY_TIMEOUT_MS / 1000, check_same_thread=False
    )
    connection.row_factory = sqlite3.Row
    for pragma in (
        "journal_mode = wal",
        "synchronous = full",
        "foreign_keys = on",
        "recursive_triggers = on",
        f"busy_timeout = {BUSY_TIMEOUT_MS}",
    ):
        connection.execute(f"PRAGMA {pragma}")
    return connection


def tables(connection: sqlite3.Connection) -> Tables:
    """The schema tools of sqlite-utils over a connection, without its plug-ins."""
    return Tables(connection, strict=True, execute_plugins=False)
