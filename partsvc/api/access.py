"""Who is asking, and whether their role may: looked at before anything else of a request."""

from __future__ import annotations

import re

from flask import g, request

from partsvc.domain.acts.kinds import Role
from partsvc.errors import NotAllowed, NotSignedIn
from partsvc.web.running import service
from partsvc.work import signing_in

_BEARER = re.compile(r"Bearer +([A-Za-z0-9._~+/=-]{1,200})", re.IGNORECASE)


def bearer_token() -> str:
    """The token of this request; NotSignedIn when there is none."""
    found = _BEARER.fullmatch(request.headers.get("Authorization", "").strip())
    if found is None:
        raise NotSignedIn(
            "Sign in with POST /api/v1/session and send its token: Authorization: Bearer …"
        )
    return found[1]


def let_in(roles: frozenset[Role]) -> None:
    """Note who is signed in; NotSignedIn or NotAllowed otherwise."""
    g.sender = signing_in.signed_in(service(), bearer_token())
    if not roles & g.sender.roles:
        may = ", ".join(sorted(roles))
        raise NotAllowed(f"This is for: {may}. Ask one of them to sign in.", roles=may)
