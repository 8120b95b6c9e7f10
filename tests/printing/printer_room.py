"""A room with a real printer program in it: IPP Everywhere on loopback, keeping what came out."""

from __future__ import annotations

import os
import shutil
import signal
import socket
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path

from partsvc.ipp.printer import Printer, PrinterFault

# The program prints into its spool; this stands for its mechanics. It says on its error output
# what keeps it, as filters of that family do, and waits until paper is there.
_MECHANICS = """#!/bin/sh
if [ -e {no_paper} ]; then
  echo "STATE: +media-empty" >&2
  while [ -e {no_paper} ]; do sleep 0.05; done
  echo "STATE: -media-empty" >&2
fi
"""


@dataclass(slots=True)
class PrinterRoom:
    """One printer, which can be switched off, emptied, or made to take other formats."""

    folder: Path
    port: int
    formats: str = "application/pdf,image/png"
    running: subprocess.Popen[bytes] | None = None
    bus: subprocess.Popen[bytes] | None = None
    spools: list[Path] = field(default_factory=list)

    @property
    def address(self) -> str:
        return f"ipp://localhost:{self.port}/ipp/print"

    def switch_on(self) -> None:
        """Start the printer program; it keeps what it prints in a folder of this life."""
        spool = self.folder / f"spool-{len(self.spools)}"
        spool.mkdir()
        self.spools.append(spool)
        mechanics = self.folder / "mechanics"
        mechanics.write_text(_MECHANICS.format(no_paper=self.no_paper))
        mechanics.chmod(0o755)
        self.running = subprocess.Popen(
            [
                _program("ippeveprinter"), "-k", "-r", "off", "-c", str(mechanics),
                "-d", str(spool), "-p", str(self.port), "-n", "localhost", "-f", self.formats,
                "Label printer",
            ],
            env=os.environ | {"DBUS_SYSTEM_BUS_ADDRESS": f"unix:path={self.folder}/bus"},
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )  # fmt: skip
        _wait(self._answers, "the printer program to answer")

    def _answers(self) -> bool:
        try:
            return Printer(self.address, seconds=2).facts().accepting
        except PrinterFault:
            return False

    def switch_off(self) -> None:
        """Pull its plug."""
        if self.running is not None:
            self.running.send_signal(signal.SIGKILL)
            self.running.wait()
            self.running = None

    @property
    def no_paper(self) -> Path:
        """While this file is there, the printer is out of paper."""
        return self.folder / "no-paper"

    def printed(self) -> list[str]:
        """The digests of all documents that came out, in all its lives."""
        return [_digest(path) for path in self._documents()]

    def came_out(self, digest: str) -> list[Path]:
        """The documents of that digest that came out."""
        return [path for path in self._documents() if _digest(path) == digest]

    def _documents(self) -> list[Path]:
        files = [path for spool in self.spools for path in sorted(spool.iterdir())]
        return [path for path in files if _is_document(path)]


def _digest(path: Path) -> str:
    return sha256(path.read_bytes()).hexdigest()


def _is_document(path: Path) -> bool:
    return path.suffix in (".pdf", ".png") and path.stat().st_size > 0


def _program(name: str) -> str:
    found = shutil.which(name, path=f"{os.environ.get('PATH', '')}:/usr/sbin:/sbin")
    assert found is not None, f"{name} is needed: sh .ci/prepare test installs it"
    return found


def _wait(true: object, what: str, *, seconds: float = 15) -> None:
    end = time.monotonic() + seconds
    while not true():  # type: ignore[operator]
        assert time.monotonic() < end, f"waited too long for {what}"
        time.sleep(0.05)


def free_port() -> int:
    """A port that nothing listens on at this moment."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        return int(free.getsockname()[1])


@contextmanager
def printer_room(folder: Path) -> Iterator[PrinterRoom]:
    """A room with a printer that is not switched on yet."""
    folder.mkdir(parents=True)
    room = PrinterRoom(folder, free_port())
    room.bus = subprocess.Popen(
        [
            _program("dbus-daemon"), "--session", "--nofork",
            f"--address=unix:path={folder}/bus",
        ],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )  # fmt: skip
    try:
        _wait((folder / "bus").exists, "the message bus")
        yield room
    finally:
        room.switch_off()
        room.bus.kill()
        room.bus.wait()
