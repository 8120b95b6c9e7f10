"""The power goes in the middle of a storm of acts: what was acknowledged is there, once, whole."""

from __future__ import annotations

import http.client
import json
import random
import signal
import socket
import subprocess
import sys
import threading
import time
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from partsvc.domain import tagcode
from partsvc.domain.canonical import CHAIN_START, chain_hash
from partsvc.store import keeping
from partsvc.work.first_start import at_the_console, first_access
from partsvc.work.openings import open_job
from partsvc.work.service import Service, open_service
from partsvc.work.signing_in import SignIn, sign_in

CUTS = 20
SENDERS = 4
SERVE = str(Path(sys.executable).parent / "partsvc")


@dataclass
class Bay:
    """A workshop set up for the storm, and what its senders were told."""

    folder: Path
    port: int
    job: str
    bags: list[str]
    token: str
    acknowledged: list[str] = field(default_factory=list)
    sent: list[str] = field(default_factory=list)


@pytest.fixture
def bay(tmp_path: Path) -> Bay:
    service = open_service(tmp_path)
    access = first_access(service)
    assert access is not None
    bags = [tagcode.from_number(n * 987_654) for n in range(SENDERS)]
    with service.database.writing() as db:
        blank = [(code, "", "bag", "", "") for code in bags]
        keeping.add_tags(db, service.site, blank, at=service.stamp())
    job = open_job(service, at_the_console(service), title="Storm")
    token = sign_in(service, SignIn(login=access.login, password=access.password)).token
    service.database.close()
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    return Bay(folder=tmp_path, port=port, job=job, bags=bags, token=token)


@contextmanager
def serving(bay: Bay) -> Iterator[subprocess.Popen[bytes]]:
    command = [SERVE, "serve", "--folder", str(bay.folder), "--port", str(bay.port)]
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        deadline = time.monotonic() + 60
        while not _answers(bay.port):
            assert process.poll() is None, "the service stopped by itself"
            assert time.monotonic() < deadline, "the service never answered"
            time.sleep(0.05)
        yield process
    finally:
        process.kill()
        process.wait()


def _answers(port: int) -> bool:
    try:
        with socket.create_connection(("127.0.0.1", port), timeout=1):
            return True
    except OSError:
        return False


def storm(bay: Bay, bag: str) -> None:
    """Send acts until the line breaks, remembering each key that was acknowledged."""
    line = http.client.HTTPConnection("127.0.0.1", bay.port, timeout=10)
    headers = {"Authorization": f"Bearer {bay.token}", "Content-Type": "application/json"}
    while True:
        key = str(uuid.uuid4())
        act = {
            "kind": "remove",
            "key": key,
            "bag": bag,
            "add": {"where": "sill", "quantity": 3, "step_title": "sill", "words": "black clip"},
        }
        bay.sent.append(key)
        try:
            line.request("POST", f"/api/v1/jobs/{bay.job}/acts", json.dumps(act), headers)
            answer = line.getresponse()
            answer.read()
        except (OSError, http.client.HTTPException):
            return
        assert answer.status == 201
        bay.acknowledged.append(key)


def test_what_was_acknowledged_is_there_once_after_twenty_power_cuts(bay: Bay) -> None:
    chance = random.Random(20_260_101)
    for _ in range(CUTS):
        with serving(bay) as process:
            senders = [threading.Thread(target=storm, args=(bay, bag)) for bag in bay.bags]
            before = len(bay.acknowledged)
            for sender in senders:
                sender.start()
            while len(bay.acknowledged) < before + 3:
                time.sleep(0.005)
            time.sleep(chance.uniform(0.0, 0.15))
            process.send_signal(signal.SIGKILL)
            for sender in senders:
                sender.join(timeout=30)

        keys = whole_acts(bay)

        assert len(keys) == len(set(keys))
        assert set(bay.acknowledged) <= set(keys)
        assert set(keys) <= set(bay.sent)
    assert len(bay.acknowledged) >= CUTS * 3


def whole_acts(bay: Bay) -> list[str]:
    """The keys of the acts in the book; asserts that each is whole and the chain unbroken."""
    service = open_service(bay.folder)
    try:
        return list(_read_whole(service, bay.job))
    finally:
        service.database.close()


def _read_whole(service: Service, job: str) -> Iterator[str]:
    previous = CHAIN_START
    with service.database.reading() as db:
        assert db.execute("PRAGMA integrity_check").fetchone()[0] == "ok"
        entries = dict(
            db.execute("SELECT seq, count(*) FROM entry WHERE account = ? GROUP BY seq", (job,))
            .fetchall()
        )  # fmt: skip
        effects = dict(
            db.execute("SELECT seq, count(*) FROM effect WHERE account = ? GROUP BY seq", (job,))
            .fetchall()
        )  # fmt: skip
        answers = {row[0] for row in db.execute("SELECT key FROM answer")}
        acts = db.execute(
            "SELECT seq, key, kind, text, hash FROM act WHERE account = ? ORDER BY seq", (job,)
        ).fetchall()
    for number, act in enumerate(acts, start=1):
        text = json.loads(act["text"])
        assert act["seq"] == number
        assert act["hash"] == chain_hash(previous, act["text"])
        assert entries.get(number, 0) == len(text["entries"])
        assert effects.get(number, 0) == len(text["effects"])
        previous = act["hash"]
        if act["kind"] != "open":
            assert act["key"] in answers
            yield act["key"]
