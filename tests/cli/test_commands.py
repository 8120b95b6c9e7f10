"""The commands, as whoever keeps the service types them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from partsvc.cli import main

ROOT = Path(__file__).parents[2]
TEMPLATES = ROOT / "seed" / "templates"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder on which the service was started once."""
    from partsvc.work.first_start import first_access
    from partsvc.work.service import open_service

    service = open_service(tmp_path / "data")
    assert first_access(service) is not None
    service.database.close()
    return tmp_path / "data"


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words])


def test_every_command_has_help_and_stands_in_the_readme() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    for name, command in main.commands.items():
        assert command.get_short_help_str(), name
        assert run(name, "--help").exit_code == 0
        assert f"`{name}" in readme


def test_the_templates_go_in_and_come_out_the_same(folder: Path, tmp_path: Path) -> None:
    catalogue = run("import", "catalogue", TEMPLATES / "catalogue.csv", "--folder", folder)
    procedure = run("import", "procedure", TEMPLATES / "procedure.json", "--folder", folder)
    assert (catalogue.exit_code, procedure.exit_code) == (0, 0), procedure.output

    out = tmp_path / "out.csv"
    exported = run("export", "catalogue", "--folder", folder, "--out", out)

    assert exported.exit_code == 0
    assert out.read_bytes() == (TEMPLATES / "catalogue.csv").read_bytes()


def test_a_file_with_faults_is_told_by_row_and_column(folder: Path, tmp_path: Path) -> None:
    bad = tmp_path / "bad.csv"
    bad.write_text("number,name,kind\nA-1,bolt,bolt\nA-2,,screwish\n", encoding="utf-8")

    done = run("import", "catalogue", bad, "--folder", folder)

    assert done.exit_code == 3
    assert "row 3" in done.output
    assert "kind" in done.output


def test_a_mistyped_folder_is_not_made_anew(tmp_path: Path) -> None:
    done = run("check", "--folder", tmp_path / "nowhere")

    assert done.exit_code == 3
    assert not (tmp_path / "nowhere").exists()


def test_a_sound_folder_checks_and_is_backed_up_once(folder: Path, tmp_path: Path) -> None:
    copy = tmp_path / "copy.sqlite3"

    assert run("check", "--folder", folder).exit_code == 0
    assert run("backup", "--folder", folder, "--to", copy).exit_code == 0
    assert run("backup", "--folder", folder, "--to", copy).exit_code == 2
    assert copy.stat().st_size > 0


def test_a_broken_ledger_file_gives_exit_code_one(tmp_path: Path) -> None:
    broken = tmp_path / "ledger.jsonl"
    broken.write_text("{}\n", encoding="utf-8")

    done = run("verify", broken)

    assert done.exit_code == 1
    assert "NOT as it was written" in done.output


def test_the_papers_of_a_job_and_where_it_stands(folder: Path, tmp_path: Path) -> None:
    from partsvc.work.first_start import at_the_console
    from partsvc.work.openings import open_job
    from partsvc.work.service import open_service

    run("import", "catalogue", TEMPLATES / "catalogue.csv", "--folder", folder)
    run("import", "procedure", TEMPLATES / "procedure.json", "--folder", folder)
    key = json.loads((TEMPLATES / "procedure.json").read_text(encoding="utf-8"))["key"]
    service = open_service(folder)
    open_job(service, at_the_console(service), title="first", procedure=key)
    service.database.close()

    checklist = run("checklist", "1", "--folder", folder, "--out", tmp_path / "refit.pdf")
    order = run("order", "1", "--folder", folder, "--out", tmp_path / "order.csv")
    lines = run("order", "1", "--lines", "--folder", folder, "--out", tmp_path / "lines")
    reconciled = run("reconcile", "1", "--folder", folder, "--json")
    unknown = run("reconcile", "7", "--folder", folder)

    assert (checklist.exit_code, order.exit_code) == (0, 0), checklist.output + order.output
    assert (lines.exit_code, (tmp_path / "lines").read_bytes()[:8]) == (0, b"\xef\xbb\xbfline,")
    assert (tmp_path / "refit.pdf").read_bytes().startswith(b"%PDF")
    assert (tmp_path / "order.csv").read_bytes().startswith(b"\xef\xbb\xbfpart,")
    assert reconciled.exit_code == 1
    assert json.loads(reconciled.output)["book_closes"] is False
    assert unknown.exit_code == 3
