"""What a running application holds: the service and its settings; nothing is global."""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast

from flask import Flask, current_app, g

from partsvc.config import Settings
from partsvc.web.live import Heads, Listeners
from partsvc.web.pace import Pace
from partsvc.work.service import Sender, Service

_NAME = "partsvc"


@dataclass(frozen=True, slots=True, kw_only=True)
class Running:
    """The service behind an application."""

    service: Service
    settings: Settings
    sign_ins: Pace
    heads: Heads
    listeners: Listeners


def run(app: Flask, service: Service, settings: Settings) -> None:
    """Put the service behind an application."""
    pace = Pace(at_once=settings.sign_ins_at_once, seconds_each=settings.seconds_between_sign_ins)
    app.extensions[_NAME] = Running(
        service=service,
        settings=settings,
        sign_ins=pace,
        heads=Heads(),
        listeners=Listeners(settings.listeners),
    )


def running() -> Running:
    """What the application of this request holds."""
    return cast(Running, current_app.extensions[_NAME])


def service() -> Service:
    """The service behind this request."""
    return running().service


def sender() -> Sender:
    """Who is signed in for this request."""
    return cast(Sender, g.sender)
