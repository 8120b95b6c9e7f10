"""Keeps the data safe and shows that it is whole."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from partsvc.cli.common import NOT_IN_ORDER, folder_option, opened, told
from partsvc.work import upkeep


@click.command()
@folder_option
@click.option(
    "--to", "target", type=click.Path(path_type=Path, dir_okay=False), required=True,
    help="The file to write the copy to.",
)  # fmt: skip
@told
def backup(folder: Path, target: Path) -> None:
    """Copy the database while the service runs; the copy is opened and checked."""
    if target.exists():
        raise click.UsageError(f"{target} is there already. Name a new file: a backup is kept.")
    upkeep.back_up(opened(folder), target)
    click.echo(f"{target}: {target.stat().st_size:,} bytes")


@click.command()
@click.argument("file", type=click.Path(path_type=Path, exists=True, dir_okay=False))
@told
def verify(file: Path) -> None:
    """Check an exported ledger FILE (.jsonl): any changed byte is found. Exit code 1 if broken."""
    with file.open("rb") as lines:
        verified = upkeep.verify_file(lines)
    for fault in verified.faults:
        click.echo(f"  {fault}")
    if verified.faults:
        click.echo(f"{file}: NOT as it was written")
        sys.exit(NOT_IN_ORDER)
    click.echo(f"{file}: {verified.acts} acts, chain whole, head {verified.head}")


@click.command()
@folder_option
@told
def check(folder: Path) -> None:
    """Check the whole database: chains, indexes and balances. Exit code 1 if anything is off."""
    health = upkeep.check(opened(folder))
    for fault in health.faults:
        click.echo(f"  {fault}")
    click.echo("everything is in order" if not health.faults else f"{len(health.faults)} faults")
    if health.faults:
        sys.exit(NOT_IN_ORDER)
