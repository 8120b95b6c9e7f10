"""Collects every text that a person may read, and brings the catalogues along.

    .venv/bin/python tests/pages/collect_words.py

`<language>.po` holds the texts of the pages, `<language>-said.po` the sentences of the service
itself, with `{}` where a number or a name is put in. What is new comes in without a counterpart,
what is gone goes; a test finds both, and counterparts that do not fit.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.extract import extract_from_dir
from babel.messages.pofile import read_po, write_po

import partsvc
from partsvc.pages.words import FOLDER, LANGUAGES

SOURCE = Path(partsvc.__file__).parent
METHODS = [("**/templates/**.html", "jinja2"), ("**.py", "python")]
OPTIONS = {"**/templates/**.html": {"trimmed": "false", "silent": "false"}}
# Where sentences stand that people read; the store and the printers say nothing to a person.
ROOMS = ("domain", "work")
# What these are given is for programs and for people who write them.
FOR_PROGRAMS = frozenset(
    {"Says", "Form", "ValueError", "TypeError", "RuntimeError", "compile", "execute", "NewType",
     "NotCanonical", "AssertionError", "getattr", "ActKind"}
)  # fmt: skip
# Lists are told with these between their items.
JOINTS = frozenset({"and", "or"})
# Single words look like keys of programs; these are read by people, as part of longer phrases.
WORDS = frozenset(
    {"secured", "lost", "loosened", "longer", "shorter", "here", "connector", "other", "broke",
     "done", "REUSE", "REPLACE", "off", "loose", "scrapped", "applied", "missing", "damaged",
     "used", "new", "torque", "angle", "bolt", "clip", "screw", "seal", "nut", "washer", "cap",
     "hose", "cover", "into", "single-use"}
)  # fmt: skip
_A_PHRASE = re.compile(r"[A-Za-z]{2}.* |[a-z]{3} |^[A-Za-z][a-z-]{3,}$")
_ONE_WORD = re.compile(r"^[a-z]+(-[a-z]+)*$")


def page_texts() -> set[str | tuple[str, str]]:
    """The texts of templates and of the marks; one with a plural is a pair."""
    found: set[str | tuple[str, str]] = set()
    for _, _, message, _, _ in extract_from_dir(
        SOURCE / "pages",
        method_map=METHODS,
        options_map=OPTIONS,
        keywords={"_": None, "gettext": None, "ngettext": (1, 2)},
    ):
        found.add(tuple(message[:2]) if isinstance(message, tuple) else message)  # type: ignore[arg-type]
    return found


def sentences() -> set[str]:
    """The sentences of the service, each with `{}` where something is put in."""
    found = set(JOINTS | WORDS)
    for room in ROOMS:
        for path in sorted((SOURCE / room).rglob("*.py")):
            found |= set(_sentences(ast.parse(path.read_text("utf-8"))))
    found |= set(_sentences(ast.parse((SOURCE / "errors.py").read_text("utf-8"))))
    return found


def _sentences(tree: ast.AST) -> Iterator[str]:
    for text in _texts(tree):
        words = " ".join(text.split())
        plain = words.replace("{}", " ")
        if words.startswith(("SELECT", "INSERT", "UPDATE", "DELETE", "CREATE", "WITH ", "--")):
            continue
        if _A_PHRASE.search(plain.strip()) and not _ONE_WORD.match(words):
            yield words


def _texts(node: ast.AST) -> Iterator[str]:
    """All texts below a node, but for docstrings, annotations and what is said to programs."""
    if isinstance(node, ast.JoinedStr):
        yield "".join(
            str(one.value) if isinstance(one, ast.Constant) else "{}" for one in node.values
        )
    elif isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value
        return
    if isinstance(node, ast.Call) and _called(node) in FOR_PROGRAMS:
        return
    for child in ast.iter_child_nodes(node):
        if _is_read_by_nobody(node, child):
            continue
        if isinstance(node, ast.JoinedStr) and isinstance(child, ast.Constant):
            continue
        yield from _texts(child)


def _called(node: ast.Call) -> str:
    return getattr(node.func, "id", getattr(node.func, "attr", ""))


def _is_read_by_nobody(node: ast.AST, child: ast.AST) -> bool:
    docstring = isinstance(child, ast.Expr) and isinstance(child.value, ast.Constant)
    annotation = child in (getattr(node, "annotation", None), getattr(node, "returns", None))
    return docstring or annotation or isinstance(child, ast.Assert)


def catalogue(path: Path, language: str, texts: set[str | tuple[str, str]]) -> Catalog:
    """The catalogue with exactly these texts, and with the counterparts that are known."""
    known = Catalog(locale=language)
    if path.is_file():
        with path.open("rb") as file:
            known = read_po(file, locale=language)
    made = Catalog(locale=language, project="partsvc", charset="utf-8", fuzzy=False)
    for text in sorted(texts, key=str):
        first = text if isinstance(text, str) else text[0]
        before = known.get(first)
        string = before.string if before else ("" if isinstance(text, str) else ("", ""))
        made.add(text, string)
    return made


def written(made: Catalog) -> bytes:
    """A catalogue as it lies in its file: no dates, so that it changes only with its texts."""
    out = BytesIO()
    write_po(out, made, omit_header=True, sort_output=True, width=100, no_location=True)
    head = (
        'msgid ""\nmsgstr ""\n"Content-Type: text/plain; charset=utf-8\\n"\n'
        f'"Language: {made.locale}\\n"\n"Plural-Forms: {made.plural_forms}\\n"\n\n'
    )
    return head.encode() + out.getvalue()


def files() -> Iterator[tuple[Path, str, set[str | tuple[str, str]]]]:
    """Each catalogue: its file, its language, what must stand in it."""
    for language in LANGUAGES:
        if language != "en":
            yield FOLDER / f"{language}.po", language, page_texts()
            yield FOLDER / f"{language}-said.po", language, set(sentences())


def main() -> None:
    """Bring all catalogues along, and say what still lacks a counterpart."""
    for path, language, texts in files():
        made = catalogue(path, language, texts)
        path.write_bytes(written(made))
        lacking = sum(1 for one in made if one.id and not _has(one.string))
        print(f"{path.name}: {len(texts)} texts, {lacking} without a counterpart")


def _has(string: str | tuple[str, ...] | list[str]) -> bool:
    return all(string) if isinstance(string, list | tuple) else bool(string)


if __name__ == "__main__":
    main()
