"""How `serve` comes by its certificate: one given, or one made by the workshop's own authority."""

from __future__ import annotations

import ipaddress
import socket
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import click

from partsvc.tls.certificates import AUTHORITY, Pair, certificates_for
from partsvc.work import clock

FOLDER = "tls"


@dataclass(frozen=True, slots=True, kw_only=True)
class Secured:
    """The certificate, and the authority behind it where that is the workshop's own."""

    pair: Pair
    authority: Path | None = None
    names: tuple[str, ...] = ()

    def renewed(self) -> Pair:
        """The certificate as it is to be served from now on: a year is soon over."""
        if self.authority is None:
            return self.pair
        return certificates_for(self.authority.parent, self.names, clock.now())


def secured_by(
    folder: Path,
    tls: bool,
    names: tuple[str, ...],
    certificate: Path | None,
    key: Path | None,
) -> Secured | None:
    """What was asked for on the command line; None for plain http. UsageError says what lacks."""
    if (certificate is None) != (key is None):
        raise click.UsageError("Give both --tls-certificate and --tls-key, or neither.")
    if certificate is not None and key is not None:
        return Secured(pair=Pair(certificate=certificate, key=key))
    if not tls:
        if names:
            raise click.UsageError("--tls-name goes with --tls.")
        return None
    called = (*names, *_own_names())
    made = certificates_for(folder / FOLDER, called, clock.now())
    return Secured(pair=made, authority=folder / FOLDER / AUTHORITY, names=called)


def _own_names() -> Iterator[str]:
    """What this machine is called in its network, and its addresses there."""
    yield "localhost"
    yield "127.0.0.1"
    host = socket.gethostname().lower()
    yield from (host, f"{host.partition('.')[0]}.local")
    try:
        found = socket.getaddrinfo(host, None, proto=socket.IPPROTO_TCP)
    except OSError:
        # A machine that does not know its own name in the network: say it with --tls-name.
        return
    for one in found:
        address = str(one[4][0]).partition("%")[0]
        if not ipaddress.ip_address(address).is_loopback:
            yield address
