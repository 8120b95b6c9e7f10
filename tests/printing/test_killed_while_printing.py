"""The service is killed again and again while labels print: each comes out once, whole."""

from __future__ import annotations

import random
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from ledger_bench import Bench
from printer_room import PrinterRoom, free_port
from test_real_printer import SINGLE, ask, digest, put_up

from partsvc.domain.printing import Stage
from partsvc.work import printing
from partsvc.work.printing import PrintingsWanted

CUTS = 8
LABELS = 24
SERVE = str(Path(sys.executable).parent / "partsvc")


@contextmanager
def serving(folder: Path) -> Iterator[subprocess.Popen[bytes]]:
    """The service in a process of its own; killed at the end."""
    port = free_port()
    command = [SERVE, "serve", "--folder", str(folder), "--port", str(port)]
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        end = time.monotonic() + 60
        while not _answers(port):
            assert process.poll() is None, "the service stopped by itself"
            assert time.monotonic() < end, "the service never answered"
            time.sleep(0.02)
        yield process
    finally:
        process.send_signal(signal.SIGKILL)
        process.wait()


def _answers(port: int) -> bool:
    try:
        with socket.create_connection(("127.0.0.1", port), timeout=1):
            return True
    except OSError:
        return False


def stages(bench: Bench) -> list[Stage]:
    found = printing.printings(bench.service, PrintingsWanted(limit=200)).printings
    return [one.stage for one in found]


def test_each_label_comes_out_once_through_eight_kills(tmp_path: Path, room: PrinterRoom) -> None:
    chance = random.Random(20_260_202)
    folder = tmp_path / "workshop"
    bench = Bench.opened(folder, blank_tags=LABELS)
    room.switch_on()
    asked = ask(bench, put_up(bench, room, stock=SINGLE), bench.tags[:LABELS])
    cut_in_the_middle = 0
    for _ in range(CUTS):
        with serving(folder):
            time.sleep(chance.uniform(0.02, 0.3))
        cut_in_the_middle += any(stage.value in ("begun", "numbered", "sending", "at-printer")
                                 for stage in stages(bench))  # fmt: skip
    with serving(folder):
        end = time.monotonic() + 60
        while not all(stage.ended for stage in stages(bench)):
            assert time.monotonic() < end, f"labels do not come out: {stages(bench)}"
            time.sleep(0.1)

    assert stages(bench) == [Stage.PRINTED] * LABELS
    assert sorted(room.printed()) == sorted(digest(bench, ident) for ident in asked)
    assert len(set(room.printed())) == LABELS
    assert cut_in_the_middle > 0
    bench.service.database.close()
