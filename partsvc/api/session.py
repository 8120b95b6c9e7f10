"""Addresses for signing in and out."""

from __future__ import annotations

from flask import request
from werkzeug.exceptions import TooManyRequests

from partsvc.api.access import bearer_token
from partsvc.api.room import Room
from partsvc.domain.acts.kinds import ALL
from partsvc.web.running import running, service
from partsvc.work import signing_in
from partsvc.work.signing_in import SessionShown, SignIn, TokenShown

room = Room("session", __name__, description="Signing in and out.")


@room.at(
    "POST", "/session", roles=None, takes=SignIn, gives=TokenShown, status=201,
    problems=[401, 429, 503],
)  # fmt: skip
def post_session(*, given: SignIn) -> TokenShown:
    """Sign in

    Answers a token, good for a shift of 12 hours; send it as `Authorization: Bearer …`.
    """
    wait = running().sign_ins.seconds_to_wait(request.remote_addr or "", service().now())
    if wait:
        raise TooManyRequests(retry_after=wait)
    return signing_in.sign_in(service(), given)


@room.at("GET", "/session", roles=ALL, gives=SessionShown)
def get_session() -> SessionShown:
    """Say who is signed in"""
    return signing_in.session(service(), bearer_token())


@room.at("DELETE", "/session", roles=ALL, status=204, problems=[503])
def delete_session() -> None:
    """Sign out"""
    signing_in.sign_out(service(), bearer_token())
