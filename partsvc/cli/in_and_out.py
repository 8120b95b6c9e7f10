"""Brings catalogues and procedures in and out as files."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from partsvc.cli.common import NOT_IN_ORDER, folder_option, opened, out_option, told, write
from partsvc.work import files
from partsvc.work.first_start import at_the_console

kind_argument = click.argument("kind", type=click.Choice(["catalogue", "procedure"]))


@click.command("import")
@kind_argument
@click.argument(
    "paths", nargs=-1, required=True, type=click.Path(path_type=Path, exists=True, dir_okay=False)
)
@folder_option
@click.option("--look", is_flag=True, help="Only say what is wrong or odd; take nothing in.")
@told
def importing(kind: str, paths: tuple[Path, ...], folder: Path, look: bool) -> None:
    """Take in catalogue or procedure files, CSV or JSON; a file with a fault is not taken at all.

    Templates and the meaning of every column: seed/templates.
    """
    service = opened(folder)
    faulty = False
    with click.progressbar(paths, label="Reading", show_pos=True) as shown:
        for path in shown:
            data = path.read_bytes()
            if look:
                seen = files.preview(service, kind, path.name, data)
                faulty = faulty or bool(seen.faults)
                lines = [*map(str, seen.faults), *seen.oddities, *seen.changes]
            else:
                taken = files.take_in(service, at_the_console(service), kind, path.name, data)
                lines = [*taken.oddities, *(taken.changes or ("nothing new in it",))]
            for line in lines:
                click.echo(f"  {path.name}: {line}", err=True)
    if faulty:
        sys.exit(NOT_IN_ORDER)


@click.command("export")
@kind_argument
@click.option("--key", default="", help="Which procedure.")
@folder_option
@out_option
@told
def exporting(kind: str, key: str, folder: Path, out: Path) -> None:
    """Write the catalogue or a procedure: .csv or .json by the file's ending."""
    form = "csv" if out.suffix == ".csv" else "json"
    write(out, files.give_out(opened(folder), kind, key, form))
