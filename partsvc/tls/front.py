"""Takes TLS connections and hands what is in them on to the service, which listens on loopback.

A slow or silent device holds nobody else up: handshakes are bounded in time and side by side. Who
is at the other end is told to the service by the port that the front calls it from.
"""

from __future__ import annotations

import asyncio
import logging
import ssl
import threading
from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING

from partsvc.tls.certificates import Pair

if TYPE_CHECKING:
    from _typeshed.wsgi import StartResponse, WSGIApplication, WSGIEnvironment

HANDSHAKE_S = 15.0
RENEW_EVERY_S = 24 * 3600.0
# A phone opens half a dozen; more than this from one device, or in all, is no workshop's.
MOST_OF_ONE = 60
MOST = 600
AT_ONCE_BYTES = 64 * 1024

_log = logging.getLogger(__name__)


class Front:
    """The TLS side of a service; `callers` are the addresses of devices by our own port."""

    def __init__(self, pair: Pair) -> None:
        self.callers: dict[str, str] = {}
        self._renew: Callable[[], Pair] | None = None
        self._context = ssl.create_default_context(ssl.Purpose.CLIENT_AUTH)
        self._context.minimum_version = ssl.TLSVersion.TLSv1_2
        self._context.load_cert_chain(pair.certificate, pair.key)

    def known(self, inner: WSGIApplication) -> WSGIApplication:
        """The application, told of each request who sent it and that it came over TLS."""

        def application(environ: WSGIEnvironment, start: StartResponse) -> Iterable[bytes]:
            caller = self.callers.get(environ.get("REMOTE_PORT", ""))
            if caller is not None:
                environ["REMOTE_ADDR"] = caller
                environ["wsgi.url_scheme"] = "https"
            return inner(environ, start)

        return application

    def start(
        self, host: str, port: int, inner_port: int, renew: Callable[[], Pair] | None = None
    ) -> int:
        """Listen from a thread of its own; answers the port, once it is open.

        `renew` is asked every day for the certificate that is to be shown from then on.
        """
        self._renew = renew
        opened: list[int | OSError] = []
        ready = threading.Event()
        thread = threading.Thread(
            target=lambda: asyncio.run(self._serve(host, port, inner_port, opened, ready)),
            name="tls",
            daemon=True,
        )
        thread.start()
        ready.wait()
        if isinstance(opened[0], OSError):
            raise opened[0]
        return opened[0]

    async def _serve(
        self,
        host: str,
        port: int,
        inner_port: int,
        opened: list[int | OSError],
        ready: threading.Event,
    ) -> None:
        async def connected(reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
            await self._carry(reader, writer, inner_port)

        try:
            server = await asyncio.start_server(
                connected, host, port, ssl=self._context, ssl_handshake_timeout=HANDSHAKE_S
            )
        except OSError as cannot:
            opened.append(cannot)
            ready.set()
            return
        opened.append(server.sockets[0].getsockname()[1])
        ready.set()
        renewing = asyncio.create_task(self._keep_good())
        async with server:
            await server.serve_forever()
        renewing.cancel()

    async def _keep_good(self) -> None:
        """A service that runs for a year shows a new certificate in time."""
        while self._renew is not None:
            await asyncio.sleep(RENEW_EVERY_S)
            try:
                pair = self._renew()
                self._context.load_cert_chain(pair.certificate, pair.key)
            except (OSError, ValueError) as cannot:
                _log.error("the certificate could not be renewed: %s", cannot)

    async def _carry(
        self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter, inner_port: int
    ) -> None:
        """One connection, both ways, until either side ends it."""
        peer = writer.get_extra_info("peername")[0]
        of_one = sum(1 for one in self.callers.values() if one == peer)
        if len(self.callers) >= MOST or of_one >= MOST_OF_ONE:
            writer.close()
            return
        try:
            inner_reader, inner_writer = await asyncio.open_connection("127.0.0.1", inner_port)
        except OSError as away:
            _log.warning("the service does not answer behind TLS: %s", away)
            writer.close()
            return
        ours = str(inner_writer.get_extra_info("sockname")[1])
        self.callers[ours] = peer
        try:
            ways = {
                asyncio.create_task(_pour(reader, inner_writer)),
                asyncio.create_task(_pour(inner_reader, writer)),
            }
            _, left = await asyncio.wait(ways, return_when=asyncio.FIRST_COMPLETED)
            for one in left:
                one.cancel()
        finally:
            self.callers.pop(ours, None)
            inner_writer.close()
            writer.close()


async def _pour(source: asyncio.StreamReader, target: asyncio.StreamWriter) -> None:
    """Hand on what comes, no faster than it is taken."""
    try:
        while data := await source.read(AT_ONCE_BYTES):
            target.write(data)
            await target.drain()
    except (ConnectionError, ssl.SSLError) as ended:
        _log.debug("a connection ended in the middle: %s", ended)
