"""Runs the service, and the demo."""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

import click
import waitress

from partsvc.api.document import spec_text
from partsvc.app import create_app, open_app
from partsvc.cli.common import folder_option, out_option, told, write
from partsvc.cli.secured import secured_by
from partsvc.config import SettingFault, Settings
from partsvc.tls.front import Front
from partsvc.work.first_start import first_access
from partsvc.work.print_worker import Worker
from partsvc.work.service import open_service

if TYPE_CHECKING:
    from _typeshed.wsgi import WSGIApplication


@click.command()
@folder_option
@click.option("--host", default="127.0.0.1", show_default=True, help="Where to listen; 0.0.0.0 for"
              " the whole network.")  # fmt: skip
@click.option("--port", default=8080, show_default=True, help="The port to listen on.")
@click.option("--threads", default=8, show_default=True, help="How many requests at a time.")
@click.option("--zone", default="UTC", show_default=True, help="The workshop's time zone.")
@click.option("--tls", is_flag=True, help="Serve https, with a certificate made here.")
@click.option("--tls-name", multiple=True, help="A name or address that devices call this machine"
              " by; may be given again.")  # fmt: skip
@click.option("--tls-certificate", type=click.Path(path_type=Path, dir_okay=False, exists=True),
              help="A certificate of your own (PEM, the whole chain) instead.")  # fmt: skip
@click.option("--tls-key", type=click.Path(path_type=Path, dir_okay=False, exists=True),
              help="Its key (PEM).")  # fmt: skip
@click.option("--public-address", default="", help="What tags link to, as https://parts.example.")
@told
def serve(
    folder: Path,
    host: str,
    port: int,
    threads: int,
    zone: str,
    tls: bool,
    tls_name: tuple[str, ...],
    tls_certificate: Path | None,
    tls_key: Path | None,
    public_address: str,
) -> None:
    """Run the service until it is stopped.

    The first start makes the folder and the lead's access, and says how to sign in. On anything but
    one machine or a closed network use --tls: then phones may use their camera and open the pages
    without a line. Devices trust the service once, by the page /trust.
    """
    secured = secured_by(folder, tls, tls_name, tls_certificate, tls_key)
    try:
        settings = Settings(
            folder=folder,
            host=host,
            port=port,
            zone=zone,
            public_address=public_address.rstrip("/"),
            authority=secured.authority if secured else None,
        )
    except SettingFault as fault:
        raise click.UsageError(str(fault)) from fault
    service = open_service(
        folder, name=settings.name, zone=settings.zone, public_address=settings.public_address
    )
    access = first_access(service)
    if access is not None:
        click.echo(
            f"First start. Sign in as “{access.login}” with the password {access.password}\n"
            "It is shown this once; change it after signing in."
        )
    app: WSGIApplication = create_app(service, settings)
    front = Front(secured.pair) if secured else None
    if front is not None:
        app = front.known(app)
    server = waitress.create_server(
        app,
        host=host if front is None else "127.0.0.1",
        port=port if front is None else 0,
        threads=threads + settings.listeners,
        ident="partsvc",
        max_request_body_size=settings.photo_bytes + 1024 * 1024,
        # An open page listens all the time it is looked at.
        connection_limit=1000,
        # `select` knows no more than 1,024 files, and a burst of connections would end the service.
        asyncore_use_poll=True,
    )
    if front is not None:
        front.start(host, port, server.effective_port, renew=secured.renewed if secured else None)
    click.echo(f"Listening on {'https' if secured else 'http'}://{host}:{port}/", err=True)
    worker = Worker(service)
    worker.start()
    server.run()


@click.command()
@click.option(
    "--out",
    type=click.Path(path_type=Path, file_okay=False),
    required=True,
    help="The folder to write the demo's papers into.",
)
@told
def demo(out: Path) -> None:
    """Play the invented scenario: a van's traction battery out and in, with mistakes on the way.

    It starts a service of its own on loopback and speaks to it as people's devices would. It may
    be run again: it replaces what it wrote itself, and nothing else.
    """
    # The scenario is data beside the service, not part of it: it is found only when it is played.
    from seed.play import demo as play
    from seed.play.loopback import NotOurs

    try:
        play(out, out / "data", click.echo)
    except NotOurs as strange:
        raise click.ClickException(str(strange)) from strange


@click.command()
@out_option
@told
def spec(out: Path) -> None:
    """Write the API document (OpenAPI 3.1) that this version serves, as YAML."""
    with TemporaryDirectory() as empty:
        app = open_app(Settings(folder=Path(empty)))
        write(out, spec_text(app).encode())
