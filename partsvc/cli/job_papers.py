"""Tags, checklists, reconciliations and orders, as files."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import click

from partsvc.cli.common import (
    NOT_IN_ORDER,
    folder_option,
    job_named,
    opened,
    out_option,
    told,
    write,
)
from partsvc.domain.records import full
from partsvc.work import papers
from partsvc.work.reconciling import reconciliation
from partsvc.work.tagging import sheet_of_job

job_argument = click.argument("job")


@click.command()
@job_argument
@folder_option
@out_option
@click.option("--stock", default="a4-3x7", show_default=True, help="The label stock.")
@click.option("--start-at", default=1, show_default=True, help="First free label of the sheet.")
@told
def tags(job: str, folder: Path, out: Path, stock: str, start_at: int) -> None:
    """Write all tags of JOB (its id or number) as a PDF sheet."""
    service = opened(folder)
    sheet = sheet_of_job(service, job_named(service, job), stock=stock, start_at=start_at)
    write(out, sheet)


@click.command()
@job_argument
@folder_option
@out_option
@told
def checklist(job: str, folder: Path, out: Path) -> None:
    """Write the refit checklist of JOB (its id or number) as a PDF."""
    service = opened(folder)
    write(out, papers.refit_pdf(service, job_named(service, job)))


@click.command("hand-over")
@job_argument
@folder_option
@out_option
@told
def hand_over(job: str, folder: Path, out: Path) -> None:
    """Write the record of JOB (its id or number) that was handed over incomplete, as a PDF."""
    service = opened(folder)
    write(out, papers.hand_over_pdf(service, job_named(service, job)))


@click.command()
@job_argument
@folder_option
@click.option("--pdf", type=click.Path(path_type=Path, dir_okay=False), help="Write a PDF too.")
@click.option("--json", "as_json", is_flag=True, help="Print it as JSON.")
@told
def reconcile(job: str, folder: Path, pdf: Path | None, as_json: bool) -> None:
    """Print how the account of JOB stands; exit code 1 while anything is open."""
    service = opened(folder)
    ident = job_named(service, job)
    view = reconciliation(service, ident)
    if pdf is not None:
        write(pdf, papers.reconciliation_pdf(service, ident))
    if as_json:
        click.echo(json.dumps(full(view), ensure_ascii=False, indent=1))
    else:
        click.echo(f"The book: {view.book_words}\nSeen: {view.seen_words}")
        for one in (*view.findings, *view.not_seen):
            click.echo(f"  {one.gravity:6}  {one.title}: {one.words}")
        for line in view.story:
            click.echo(f"  likely: {line.words}")
    if not (view.book_closes and view.seen):
        sys.exit(NOT_IN_ORDER)


@click.command()
@job_argument
@folder_option
@out_option
@click.option("--csv", "as_csv", is_flag=True, help="A table, whatever the file is called.")
@click.option("--lines", is_flag=True, help="The order lines with where they stand, as a table.")
@told
def order(job: str, folder: Path, out: Path, as_csv: bool, lines: bool) -> None:
    """Write what to order for JOB (its id or number): .csv or .pdf by the file's ending.

    Tables are UTF-8 with a byte order mark, so that spreadsheets open them right.
    """
    service = opened(folder)
    ident = job_named(service, job)
    if lines:
        write(out, papers.order_lines_csv(service, ident))
    elif out.suffix == ".pdf" and not as_csv:
        write(out, papers.order_pdf(service, ident))
    else:
        write(out, papers.order_csv(service, ident))
