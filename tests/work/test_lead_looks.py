"""What the lead looks up and settles: parts by words, badges, revisions, people who have left."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from ledger_bench import Bench

from partsvc.domain.parts import Part, PartKind
from partsvc.errors import Conflict, Stale
from partsvc.store import keeping
from partsvc.work import badges, catalogue, people, printers, printing, procedures, tagging
from partsvc.work.catalogue import PartsSought
from partsvc.work.people import PersonChange
from partsvc.work.printers import Format, PrinterGiven


def numbers(bench: Bench, words: str, **more: object) -> Sequence[str]:
    sought = PartsSought(words=words, **more)  # type: ignore[arg-type]
    return [part.number for part in catalogue.search(bench.service, sought).parts]


def add(bench: Bench, *parts: Part) -> None:
    with bench.service.database.writing() as db:
        for part in parts:
            catalogue.put(bench.service, db, part)


def test_a_part_is_found_by_any_words_in_it(bench: Bench) -> None:
    add(bench, Part(number="X-1", name="Flange bolt", kind=PartKind.BOLT, thread="M8",
                    length_mm=25))  # fmt: skip

    assert numbers(bench, "m8x25") == ["X-1"]
    assert numbers(bench, "flange BOLT") == ["X-1"]
    assert numbers(bench, "bolt") == ["A", "B", "E", "X-1"]
    assert numbers(bench, "flange nut") == []


def test_what_is_found_comes_in_pages(bench: Bench) -> None:
    first = catalogue.search(bench.service, PartsSought(words="bolt", limit=2))
    last = catalogue.search(bench.service, PartsSought(words="bolt", limit=2, after="B"))

    assert ([part.number for part in first.parts], first.all, first.more) == (["A", "B"], 3, True)
    assert ([part.number for part in last.parts], last.all, last.more) == (["E"], 3, False)


def test_badges_that_are_good_are_listed(bench: Bench) -> None:
    with bench.service.database.writing() as db:
        lost = badges.mint_badge(bench.service, db, "tech")
        good = badges.mint_badge(bench.service, db, "tech")
        tagging.void(bench.service, db, lost.code, tagging.VoidTag(reason="lost"))

    assert [one.code for one in badges.badges_of(bench.service, "tech")] == [good.code]
    assert badges.badges_of(bench.service, "mate") == ()


def test_revisions_are_listed_newest_first_with_their_jobs(bench: Bench) -> None:
    job = bench.open_job({"id": "S1", "number": 10, "title": "a step", "positions": []})
    key = bench.look(job).plan.key
    with bench.service.database.writing() as db:
        keeping.add_revision(
            db, bench.service.site, procedure=key, number=2, title="second", digest="1" * 64,
            text="{}", by="lead", at="2030-01-02",
        )  # fmt: skip

    found = procedures.revisions_of(bench.service, key)

    assert [(one.number, one.jobs, one.added_by) for one in found] == [
        (2, 0, "lead"),
        (1, 1, "lead"),
    ]
    assert procedures.revisions_of(bench.service, "nothing") == ()


def test_a_name_is_erased_only_when_the_person_has_left(bench: Bench) -> None:
    service = bench.service
    with service.database.writing() as db:
        found = people.person(service, db, "tech")
        with pytest.raises(Conflict):
            people.erase_name(service, db, found)
        left = people.change(service, db, found, PersonChange(active=False))

        erased = people.erase_name(service, db, left)

        assert (erased.name, erased.login, erased.active) == ("", "tech", False)
        with pytest.raises(Stale):
            people.erase_name(service, db, left)


def test_the_scale_page_goes_to_a_printer_that_takes_it(bench: Bench) -> None:
    service, sender = bench.service, bench.sender("lead")
    given = PrinterGiven(name="sheets", address="ipp://printer.invalid/ipp/print")
    with service.database.writing() as db:
        sheets = printers.add_printer(service, db, given)
        made = printing.ask_scale_page(service, db, sender, sheets.id)
        single = printers.put_printer(
            service, db, sheets.id,
            PrinterGiven(name="single", address=given.address, format=Format.PNG),
        )  # fmt: skip
        with pytest.raises(Conflict, match="takes pictures"):
            printing.ask_scale_page(service, db, sender, single.id)

    assert (made.printer, made.tags, made.stage.value) == (sheets.id, (), "waiting")
