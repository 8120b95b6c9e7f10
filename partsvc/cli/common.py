"""What all commands share: the folder, how a job is named, how errors become exit codes."""

from __future__ import annotations

import functools
import sys
from collections.abc import Callable
from pathlib import Path
from typing import ParamSpec, TypeVar

import click

from partsvc.errors import NotFound, PartsvcError
from partsvc.work.openings import jobs_page
from partsvc.work.service import Service, open_service

P = ParamSpec("P")
R = TypeVar("R")

NOT_IN_ORDER = 1
NOT_DONE = 3

folder_option = click.option(
    "--folder",
    type=click.Path(path_type=Path, file_okay=False),
    default=Path("partsvc-data"),
    envvar="PARTSVC_FOLDER",
    show_default=True,
    help="The folder that holds the service's data.",
)
out_option = click.option(
    "--out",
    type=click.Path(path_type=Path, dir_okay=False, allow_dash=True),
    required=True,
    help="The file to write; - for standard output.",
)


def told(command: Callable[P, R]) -> Callable[P, R]:
    """A command whose errors are told in one place, as a sentence and an exit code."""

    @functools.wraps(command)
    def run(*args: P.args, **kwargs: P.kwargs) -> R:
        try:
            return command(*args, **kwargs)
        except PartsvcError as error:
            click.echo(f"{error.title}: {error.detail}", err=True)
            for fault in _faults(error):
                click.echo(f"  {fault}", err=True)
            sys.exit(NOT_DONE)

    return run


def _faults(error: PartsvcError) -> list[str]:
    faults = error.members.get("faults", ())
    if not isinstance(faults, tuple):
        return []
    return [
        one if isinstance(one, str) else f"{one.get('where', '')}: {one.get('says', '')}"
        for one in faults
    ]


def opened(folder: Path) -> Service:
    """The service of an existing folder; a mistyped folder is not made anew."""
    if not folder.is_dir():
        raise NotFound(
            f"There is no folder {folder}. Name the one the service runs on with --folder, or "
            "start it once with `partsvc serve`.",
        )
    return open_service(folder)


def job_named(service: Service, name: str) -> str:
    """A job's id, from its id or its number."""
    if not name.isdecimal():
        return name
    number = int(name[:9])
    for row in jobs_page(service, state="", before=number + 1, limit=1):
        if row["number"] == number:
            return str(row["id"])
    raise NotFound(f"There is no job {name}.", job=name)


def write(out: Path, data: bytes) -> None:
    """Write a result to a file or to standard output."""
    if str(out) == "-":
        sys.stdout.buffer.write(data)
        return
    out.parent.mkdir(parents=True, exist_ok=True)
    out.write_bytes(data)
    click.echo(f"{out}: {len(data):,} bytes", err=True)
