"""Runs the service, and the demo."""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory

import click
import waitress

from partsvc.api.document import spec_text
from partsvc.app import create_app, open_app
from partsvc.cli.common import folder_option, out_option, told, write
from partsvc.config import SettingFault, Settings
from partsvc.work.first_start import first_access
from partsvc.work.print_worker import Worker
from partsvc.work.service import open_service


@click.command()
@folder_option
@click.option("--host", default="127.0.0.1", show_default=True, help="Where to listen; 0.0.0.0 for"
              " the whole network.")  # fmt: skip
@click.option("--port", default=8080, show_default=True, help="The port to listen on.")
@click.option("--threads", default=8, show_default=True, help="How many requests at a time.")
@click.option("--zone", default="UTC", show_default=True, help="The workshop's time zone.")
@click.option("--public-address", default="", help="What tags link to, as https://parts.example.")
@told
def serve(folder: Path, host: str, port: int, threads: int, zone: str, public_address: str) -> None:
    """Run the service until it is stopped.

    The first start makes the folder and the lead's access, and says how to sign in. The service
    speaks plain HTTP: on anything but one machine or a closed network put a TLS proxy before it.
    """
    try:
        settings = Settings(
            folder=folder,
            host=host,
            port=port,
            zone=zone,
            public_address=public_address.rstrip("/"),
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
    click.echo(f"Listening on http://{host}:{port}/api/v1/docs", err=True)
    worker = Worker(service)
    worker.start()
    waitress.serve(
        create_app(service, settings),
        host=host,
        port=port,
        threads=threads + settings.listeners,
        ident="partsvc",
        max_request_body_size=settings.photo_bytes + 1024 * 1024,
    )


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
