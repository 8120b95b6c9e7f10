"""A service of the demonstration's own: on loopback, on a free port, on a fresh folder."""

from __future__ import annotations

import shutil
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import waitress
from waitress import wasyncore

from partsvc.app import create_app
from partsvc.config import Settings
from partsvc.work.clock import Clock
from partsvc.work.first_start import FirstAccess, first_access
from partsvc.work.service import open_service
from seed.play.door import Door

MARK = "made-by-the-demo.txt"
_MARK_WORDS = "This folder was made by the demonstration. Running it again replaces the folder.\n"


class NotOurs(RuntimeError):
    """The folder holds something that the demonstration did not make."""


def fresh_folder(data: Path) -> None:
    """An empty folder; one that an earlier run made is replaced, anything else is left alone.

    Raises `NotOurs` when the folder is there and does not carry the demonstration's mark.
    """
    if data.exists():
        if not (data / MARK).is_file():
            raise NotOurs(
                f"{data} is there and was not made by the demonstration. Nothing was touched: "
                "give another folder with --out."
            )
        shutil.rmtree(data)
    data.mkdir(parents=True)
    (data / MARK).write_text(_MARK_WORDS, "utf-8")


@contextmanager
def running(data: Path, now: Clock) -> Iterator[tuple[Door, FirstAccess]]:
    """The service while the story is played, and how its lead signs in for the first time."""
    settings = Settings(folder=data, name="Demonstration workshop")
    service = open_service(data, name=settings.name, now=now)
    access = first_access(service)
    if access is None:
        raise NotOurs(f"Somebody has access to {data} already.")
    sockets: dict[int, object] = {}
    server = waitress.create_server(
        create_app(service, settings),
        map=sockets,
        host="127.0.0.1",
        port=0,
        threads=4,
        ident="partsvc",
    )
    stop = threading.Event()
    thread = threading.Thread(target=_serve, args=(sockets, stop), daemon=True)
    thread.start()
    door = Door("127.0.0.1", int(server.effective_port))
    try:
        yield door, access
    finally:
        door.line.close()
        stop.set()
        thread.join()
        server.task_dispatcher.shutdown()
        server.close()
        service.database.close()


def _serve(sockets: dict[int, object], stop: threading.Event) -> None:
    """Serve until told to stop; `waitress` itself knows only the end of the process."""
    while not stop.is_set():
        wasyncore.loop(timeout=0.2, map=sockets, count=1)
