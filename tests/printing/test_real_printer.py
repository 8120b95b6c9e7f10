"""Tags at a real IPP Everywhere printer program: complete, once each, whatever happens."""

from __future__ import annotations

import time
from collections.abc import Callable
from hashlib import sha256

import pypdfium2
import pytest
import zxingcpp
from ledger_bench import Bench
from printer_room import PrinterRoom

from partsvc.domain.printing import Stage
from partsvc.ipp.printer import Declined, Printer
from partsvc.store import printing as store
from partsvc.work import printing
from partsvc.work.print_worker import go_round
from partsvc.work.printers import Format, PrinterGiven, add_printer, printer_now
from partsvc.work.printing import PrintingShown, PrintWanted

SINGLE = "single-70x50-300"


def put_up(bench: Bench, room: PrinterRoom, *, stock: str, format: Format = Format.PDF) -> str:
    given = PrinterGiven(name="bench 4", address=room.address, stock=stock, format=format)
    with bench.service.database.writing() as db:
        return add_printer(bench.service, db, given).id


def ask(bench: Bench, printer: str, codes: list[str]) -> list[str]:
    wanted = PrintWanted(printer=printer, codes=tuple(codes))
    with bench.service.database.writing() as db:
        made = printing.ask(bench.service, db, bench.sender("tech"), wanted)
    return [one.id for one in made.printings]


def digest(bench: Bench, ident: str) -> str:
    with bench.service.database.reading() as db:
        return sha256(store.document(db, bench.service.site, ident)).hexdigest()


def work_until(
    bench: Bench, ident: str, true: Callable[[PrintingShown], bool], seconds: float = 20
) -> PrintingShown:
    """Go round the printers until a printing is as wanted."""
    end = time.monotonic() + seconds
    while not true(found := printing.look(bench.service, ident)):
        assert time.monotonic() < end, f"it stays as it is: {found}"
        go_round(bench.service)
        time.sleep(0.05)
    return found


def ended(found: PrintingShown) -> bool:
    return found.stage.ended


def test_a_sheet_and_single_labels_arrive_complete_and_once_each(
    bench: Bench, room: PrinterRoom
) -> None:
    room.switch_on()
    sheet = ask(bench, put_up(bench, room, stock="a4-3x7"), bench.tags[:5])
    labels = ask(bench, put_up(bench, room, stock=SINGLE), bench.tags[5:8])
    pictures = ask(bench, put_up(bench, room, stock=SINGLE, format=Format.PNG), bench.tags[8:9])
    for ident in (*sheet, *labels, *pictures):
        assert work_until(bench, ident, ended).stage is Stage.PRINTED
    asked = [digest(bench, ident) for ident in (*sheet, *labels, *pictures)]
    assert (len(sheet), len(labels), len(pictures)) == (1, 3, 1)
    assert sorted(asked) == sorted(room.printed())
    (spooled,) = room.came_out(digest(bench, sheet[0]))
    page = pypdfium2.PdfDocument(spooled)[0].render(scale=300 / 72).to_pil()
    assert sorted(bench.tags[:5]) == sorted(one.text for one in zxingcpp.read_barcodes(page))
    with bench.service.database.reading() as db:
        copies = [store.copies(db, bench.service.site, code) for code in bench.tags[:10]]
    assert copies == [1] * 9 + [0]


def test_a_printer_that_is_away_for_a_while_prints_it_once_it_is_back(
    bench: Bench, room: PrinterRoom
) -> None:
    (ident,) = ask(bench, put_up(bench, room, stock="a4-3x7"), bench.tags[:3])
    away = work_until(bench, ident, lambda found: found.tries >= 1)
    assert away.stage is not Stage.PRINTED
    assert "does not answer" in away.words
    room.switch_on()
    assert work_until(bench, ident, ended).stage is Stage.PRINTED
    assert [digest(bench, ident)] == room.printed()


def test_out_of_paper_is_said_and_the_sheet_comes_once_paper_is_in(
    bench: Bench, room: PrinterRoom
) -> None:
    room.switch_on()
    room.no_paper.touch()
    printer = put_up(bench, room, stock="a4-3x7")
    (ident,) = ask(bench, printer, bench.tags[:3])
    waiting = work_until(bench, ident, lambda found: "out of paper" in found.words)
    assert waiting.stage is Stage.AT_PRINTER
    assert printer_now(bench.service, printer).trouble == ("out of paper",)
    room.no_paper.unlink()
    assert work_until(bench, ident, ended).stage is Stage.PRINTED
    assert [digest(bench, ident)] == room.printed()


def test_a_printer_that_refuses_the_format_says_so_and_prints_nothing(
    bench: Bench, room: PrinterRoom
) -> None:
    room.formats = "image/pwg-raster"
    room.switch_on()
    printer = put_up(bench, room, stock="a4-3x7")
    (ident,) = ask(bench, printer, bench.tags[:1])
    failed = work_until(bench, ident, ended)
    assert failed.stage is Stage.FAILED
    assert "document-format" in failed.words
    assert room.printed() == []
    now = printer_now(bench.service, printer)
    assert (now.answers, now.fits) == (True, False)
    assert "application/pdf" in now.words


def test_what_a_printer_forgot_is_never_printed_again_by_itself(
    bench: Bench, room: PrinterRoom
) -> None:
    room.switch_on()
    (ident,) = ask(bench, put_up(bench, room, stock=SINGLE), bench.tags[:1])
    work_until(bench, ident, lambda found: found.stage is Stage.AT_PRINTER)
    time.sleep(0.3)
    room.switch_off()
    room.switch_on()
    # Somebody else's label has the number now that ours had before.
    other = Printer(room.address).create(name="somebody else's")
    unsure = work_until(bench, ident, ended)
    assert unsure.stage is Stage.UNSURE
    assert other.number == 1
    assert room.printed() == [digest(bench, ident)]
    with bench.service.database.writing() as db:
        again = printing.print_again(bench.service, db, bench.sender("tech"), ident)
    assert again.again_of == ident
    Printer(room.address).cancel(other.number)
    assert work_until(bench, again.id, ended).stage is Stage.PRINTED
    assert room.printed() == [digest(bench, ident)] * 2


def test_a_lost_answer_to_the_creation_of_a_job_finds_the_job_again(
    bench: Bench, room: PrinterRoom, monkeypatch: pytest.MonkeyPatch
) -> None:
    room.switch_on()
    (ident,) = ask(bench, put_up(bench, room, stock=SINGLE), bench.tags[:1])
    made = Printer.create

    def cut_off(self: Printer, *, name: str, media: str = "") -> object:
        monkeypatch.undo()
        made(self, name=name, media=media)
        raise ConnectionResetError("the cable")

    monkeypatch.setattr(Printer, "create", cut_off)
    with pytest.raises(ConnectionResetError):
        go_round(bench.service)
    assert work_until(bench, ident, ended).stage is Stage.PRINTED
    assert room.printed() == [digest(bench, ident)]


def test_cancelled_before_it_was_sent_is_not_printed(bench: Bench, room: PrinterRoom) -> None:
    first, second = ask(bench, put_up(bench, room, stock=SINGLE), bench.tags[:2])
    with bench.service.database.writing() as db:
        assert printing.cancel(bench.service, db, first).stage is Stage.CANCELLED
    room.switch_on()
    assert work_until(bench, second, ended).stage is Stage.PRINTED
    assert room.printed() == [digest(bench, second)]


@pytest.mark.parametrize(
    "address",
    [
        "lp0",
        "ipp://",
        "ipp://[printer/ipp",
        "ipp://printer:99999/ipp",
        "ipp://" + "x" * 80 + ".local",
    ],
)
def test_a_wrong_address_is_said_in_words(address: str) -> None:
    with pytest.raises(Declined, match="no printer's address"):
        Printer(address).facts()


def test_one_bad_address_stops_no_other_printer(bench: Bench, room: PrinterRoom) -> None:
    given = PrinterGiven(name="old", address="ipp://printer:99999/ipp", stock=SINGLE)
    with bench.service.database.writing() as db:
        wrong = add_printer(bench.service, db, given).id
    (lost,) = ask(bench, wrong, bench.tags[:1])
    room.switch_on()
    (good,) = ask(bench, put_up(bench, room, stock=SINGLE), bench.tags[1:2])
    assert work_until(bench, good, ended).stage is Stage.PRINTED
    failed = work_until(bench, lost, ended)
    assert (failed.stage, "no printer's address" in failed.words) == (Stage.FAILED, True)
