"""The bench that the API is tried at: people with tokens, and their verbs as requests."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from flask import Flask
from flask.testing import FlaskClient
from ledger_bench import ROLES, Bench
from werkzeug.test import TestResponse

from partsvc.app import create_app
from partsvc.config import Settings
from partsvc.work.signing_in import NewToken, program_token

V1 = "/api/v1"
Json = dict[str, Any]


@dataclass(slots=True)
class HttpBench:
    """A workshop whose people work through the API."""

    ledger: Bench
    app: Flask
    client: FlaskClient
    tokens: Mapping[str, str]

    @classmethod
    def opened(cls, folder: Path, **settings: Any) -> HttpBench:
        """Set the workshop up in a folder, everybody signed in."""
        ledger = Bench.opened(folder)
        app = create_app(ledger.service, Settings(folder=folder, **settings))
        app.testing = True
        return cls(ledger, app, app.test_client(), tokens_of(ledger))

    @property
    def tags(self) -> list[str]:
        """Blank tags, as printed on the sheet."""
        return self.ledger.tags

    def send(
        self, method: str, path: str, who: str = "tech", *, headers: Any = None, **how: Any
    ) -> TestResponse:
        """A request by somebody; `who` empty for nobody."""
        sent = dict(headers or {})
        if who:
            sent.setdefault("Authorization", f"Bearer {self.tokens[who]}")
        return self.client.open(f"{V1}{path}", method=method, headers=sent, **how)

    def get(self, path: str, who: str = "tech", **how: Any) -> TestResponse:
        """Look at something."""
        return self.send("GET", path, who, **how)

    def look(self, path: str, who: str = "tech", **how: Any) -> Any:
        """What is there to be read; fails when it cannot be."""
        found = self.get(path, who, **how)
        assert found.status_code == 200, found.text
        return found.json

    def post(self, path: str, body: object, who: str = "tech", **how: Any) -> TestResponse:
        """Send something new."""
        return self.send("POST", path, who, json=body, **how)

    def put(self, path: str, body: object, who: str = "lead", **how: Any) -> TestResponse:
        """Write something anew."""
        return self.send("PUT", path, who, json=body, **how)

    def made(self, path: str, body: object, who: str = "tech", **how: Any) -> Json:
        """Something new that was taken; answers its body."""
        found = self.post(path, body, who, **how)
        assert found.status_code == 201, found.text
        return dict(found.json or {})

    def open_job(self, *steps: Mapping[str, Any]) -> str:
        """Open a job on a procedure of these steps; without steps, on none at all."""
        return self.ledger.open_job(*steps)

    def act(self, job: str, kind: str, who: str = "tech", **members: Any) -> Json:
        """Record an act under a key of its own."""
        return self.made(f"/jobs/{job}/acts", self.payload(kind, **members), who)

    def payload(self, kind: str, **members: Any) -> Json:
        """An act as a device sends it."""
        return {"key": self.ledger.new_key(), "kind": kind, **members}

    def refused(self, job: str, kind: str, who: str = "tech", **members: Any) -> Json:
        """The problem an act meets; fails when it is recorded instead."""
        found = self.post(f"/jobs/{job}/acts", self.payload(kind, **members), who)
        assert found.status_code >= 400, found.text
        return problem(found)

    def remove(self, job: str, position: str, bag: str, **members: Any) -> Json:
        """Take pieces off into a bag."""
        return self.act(job, "remove", position=position, bag=bag, **members)

    def fit(self, job: str, position: str, bag: str, **members: Any) -> Json:
        """Put pieces back, hand-started."""
        return self.act(job, "fit", position=position, bag=bag, **members)

    def secure(self, job: str, position: str, **members: Any) -> Json:
        """Tighten, clip home, lock."""
        return self.act(job, "secure", position=position, **members)

    def issue(self, job: str, part: str, quantity: int, bag: str) -> Json:
        """Hand new parts out into a kit bag."""
        return self.act(job, "issue", "desk", part=part, quantity=quantity, bag=bag)


def tokens_of(ledger: Bench) -> dict[str, str]:
    """A token for each person of the bench."""
    with ledger.service.database.writing() as db:
        return {
            who: program_token(ledger.service, db, who, NewToken(name="bench")).token
            for who in ROLES
        }


def problem(found: TestResponse) -> Json:
    """The problem document of an answer, checked for its shape."""
    assert found.content_type == "application/problem+json", found.text
    body: Json = dict(found.get_json(force=True))
    assert {"type", "title", "status", "detail", "code"} <= set(body)
    assert body["status"] == found.status_code
    return body
