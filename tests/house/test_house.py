"""The house as DEVELOPERS.md draws it: imports point downwards, one door per library."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]


def run(*command: str) -> str:
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    return "" if done.returncode == 0 else done.stdout + done.stderr


def tool(name: str) -> str:
    return str(Path(sys.executable).parent / name)


def test_imports_only_point_downwards() -> None:
    assert run(tool("lint-imports")) == ""


def test_the_linter_has_nothing_to_say() -> None:
    assert run(tool("ruff"), "check", ".") == ""


def test_the_layout_is_the_formatters() -> None:
    assert run(tool("ruff"), "format", "--check", ".") == ""


def test_types_are_strict() -> None:
    assert run(tool("mypy")) == ""


def test_the_top_level_holds_what_it_should() -> None:
    known = {
        "README.md", "DEVELOPERS.md", "pyproject.toml", "partsvc", "labels", "api_spec", "seed",
        "tests",
    }  # fmt: skip
    tracked = subprocess.run(
        ("git", "ls-files"), cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout.splitlines()

    top = {path.split("/")[0] for path in tracked}

    assert {name for name in top if not name.startswith(".")} == known
