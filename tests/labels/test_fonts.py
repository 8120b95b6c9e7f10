"""The typeface is found where it is installed, and only when the first words are drawn."""

from __future__ import annotations

import subprocess
import sys

import pytest

from labels import fonts
from labels.fonts import FontMissing, Weight, family, width_mm

FIRST_PAPERS_AT_ONCE = """
import sys
from concurrent.futures import ThreadPoolExecutor
from labels.draw_paper import paper_pdf
from labels.paper import Paper, Paragraph
from reportlab.pdfbase import pdfmetrics
at_import = "DejaVuSans" in pdfmetrics.getRegisteredFontNames()
paper = Paper(title="Order list", blocks=tuple(Paragraph(f"line {n}") for n in range(99)))
with ThreadPoolExecutor(6) as pool:
    drawn = set(pool.map(paper_pdf, [paper] * 6))
print(at_import, len(drawn), "rinoh" in sys.modules, "rinoh_typeface_dejavusans" in sys.modules)
"""


def test_nothing_is_opened_at_import_and_no_typesetting_system_is_started() -> None:
    # A process of its own, where these papers are the first that are drawn.
    ended = subprocess.run(
        [sys.executable, "-c", FIRST_PAPERS_AT_ONCE], capture_output=True, text=True, check=True
    )

    assert ended.stdout.split() == ["False", "1", "False", "False"]


def test_a_missing_typeface_is_named_with_its_package(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(fonts, "find_spec", lambda name: None)

    with pytest.raises(FontMissing, match="install rinoh_typeface_dejavusans"):
        fonts._file(Weight.BOLD)


def test_bold_words_are_wider_than_ordinary_ones() -> None:
    assert family() == "DejaVuSans"
    assert width_mm("REPLACE", 3, Weight.BOLD) > width_mm("REPLACE", 3, Weight.REGULAR) > 0
