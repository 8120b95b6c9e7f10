"""The service's HTTP door, as any program uses it: a session, JSON in, JSON or a paper out."""

from __future__ import annotations

import http.client
import json
from dataclasses import dataclass, field
from typing import Any

BASE = "/api/v1"


class NoAnswer(RuntimeError):
    """The service answered a request with something that the story cannot go on from."""


@dataclass(frozen=True, slots=True)
class Answer:
    """What the service answered: the status, and the body if it was JSON."""

    status: int
    body: Any


@dataclass(slots=True)
class Door:
    """One connection to a service on this machine, kept open."""

    host: str
    port: int
    line: http.client.HTTPConnection = field(init=False)
    version: str = ""

    def __post_init__(self) -> None:
        self.line = http.client.HTTPConnection(self.host, self.port, timeout=60)

    def sign_in(self, login: str, password: str, device: str) -> SignedIn:
        """A person signs in on a device."""
        given = {"login": login, "password": password, "device": device}
        status, raw = self.ask("POST", "/session", body=given)
        if status != 201:
            raise NoAnswer(f"{login} could not sign in: {status} {raw[:300]!r}")
        token = json.loads(raw)
        return SignedIn(self, token["token"], token["person"])

    def ask(
        self,
        method: str,
        path: str,
        *,
        token: str = "",
        body: dict[str, Any] | None = None,
        seen: str = "",
    ) -> tuple[int, bytes]:
        """One request and its answer; `seen` is the version that is to be written anew."""
        headers = {"Authorization": f"Bearer {token}"} if token else {}
        if seen:
            headers["If-Match"] = seen
        data = None
        if body is not None:
            headers["Content-Type"] = "application/json"
            data = json.dumps(body, ensure_ascii=False).encode()
        self.line.request(method, BASE + path, body=data, headers=headers)
        answer = self.line.getresponse()
        self.version = answer.headers.get("ETag", "")
        return answer.status, answer.read()


@dataclass(frozen=True, slots=True)
class SignedIn:
    """Somebody who is signed in, and may send and fetch."""

    door: Door
    token: str
    person: str

    def post(self, path: str, body: dict[str, Any]) -> Answer:
        """Send something; whoever asked judges the status."""
        status, raw = self.door.ask("POST", path, token=self.token, body=body)
        return Answer(status, json.loads(raw) if raw else None)

    def make(self, path: str, body: dict[str, Any]) -> Any:
        """Make something that must succeed; answers its body."""
        answer = self.post(path, body)
        if answer.status not in (200, 201):
            raise NoAnswer(f"POST {path} was answered with {answer.status}: {answer.body}")
        return answer.body

    def get(self, path: str) -> Any:
        """Look at something."""
        return json.loads(self.fetch(path))

    def write(self, path: str, body: dict[str, Any]) -> None:
        """Write something anew, as it was looked at just now."""
        self.fetch(path)
        status, raw = self.door.ask(
            "PUT", path, token=self.token, body=body, seen=self.door.version
        )
        if status != 200:
            raise NoAnswer(f"PUT {path} was answered with {status}: {raw[:300]!r}")

    def fetch(self, path: str) -> bytes:
        """Fetch a paper or a file."""
        status, raw = self.door.ask("GET", path, token=self.token)
        if status != 200:
            raise NoAnswer(f"GET {path} was answered with {status}: {raw[:300]!r}")
        return raw
