"""Files come in whole or not at all, and go out so that they come back the same."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from ledger_bench import Bench

import seed
from partsvc.domain.parts import Part
from partsvc.domain.records import Fault
from partsvc.domain.text_file import MOST_BYTES
from partsvc.errors import BadFile, Invalid, NotFound
from partsvc.store import keeping
from partsvc.work import files
from partsvc.work.files import Counted, TakenIn
from partsvc.work.service import parts_of

SEED = Path(seed.__file__).parent
HEADER = "what,id,number,words,quantity,part,after\n"
PROCEDURE = HEADER + "procedure,p1,,Cover off,,,\nstep,s1,10,Off,,,\nposition,P1,,rim,4,A,\n"


def everything(bench: Bench) -> list[tuple[object, ...]]:
    """All that a file could change in the database."""
    with bench.service.database.reading() as db:
        return [
            tuple(row)
            for table in ("part", "revision", "site", "act", "balance")
            for row in db.execute(f"SELECT * FROM {table} ORDER BY 1, 2, 3")
        ]


def take_in(bench: Bench, kind: str, data: str | bytes, name: str = "it.csv") -> TakenIn:
    given = data.encode() if isinstance(data, str) else data
    return files.take_in(bench.service, bench.sender("lead"), kind, name, given)


def refused(bench: Bench, kind: str, data: str | bytes, name: str = "it.csv") -> list[str]:
    """The faults a file is refused for; nothing in the database may have changed."""
    before = everything(bench)
    with pytest.raises(BadFile) as caught:
        take_in(bench, kind, data, name)
    assert everything(bench) == before
    given = data.encode() if isinstance(data, str) else data
    told = caught.value.members["faults"]
    assert isinstance(told, tuple)
    seen = files.preview(bench.service, kind, name, given)
    faults = [Fault(one["where"], one["says"]) for one in told if not isinstance(one, str)]
    assert seen == files.Preview(faults=tuple(faults))
    return [str(fault) for fault in faults]


def parts(bench: Bench) -> dict[str, Part]:
    with bench.service.database.reading() as db:
        return dict(parts_of(bench.service, db))


# Catalogue


def test_a_catalogue_is_taken_in_and_only_what_changed_is_written(bench: Bench) -> None:
    table = "number,name,kind,pack_size\nA,stretch bolt,bolt,4\nC,trim clip,clip,\nN,nut,nut,\n"

    taken = take_in(bench, "catalogue", table)

    assert taken.changes == (
        "part A: spent_at “secure” becomes “never”, pack_size “1” becomes “4”",
        "part N: new",
    )
    assert taken.counts == (
        Counted(what="parts", quantity=3),
        Counted(what="new", quantity=1),
        Counted(what="changed", quantity=1),
        Counted(what="same", quantity=1),
    )
    with bench.service.database.reading() as db:
        versions = {row["number"]: row["version"] for row in db.execute("SELECT * FROM part")}
    assert (versions["A"], versions["C"], versions["N"]) == (2, 1, 1)
    assert parts(bench)["A"].pack_size == 4


def test_parts_that_are_not_in_the_file_stay(bench: Bench) -> None:
    before = set(parts(bench))

    take_in(bench, "catalogue", "number,name\nN,nut\n")

    assert set(parts(bench)) == before | {"N"}


def test_a_preview_changes_nothing_and_says_the_same(bench: Bench) -> None:
    table = b"number,name,kind,thread,length_mm\nN,long bolt,bolt,M9,20\n"
    before = everything(bench)

    seen = files.preview(bench.service, "catalogue", "it.csv", table)

    assert everything(bench) == before
    taken = take_in(bench, "catalogue", table)
    assert (seen.oddities, seen.counts, seen.changes) == (
        taken.oddities, taken.counts, taken.changes,
    )  # fmt: skip
    assert seen.oddities == (
        "part N: the thread M9 is not one known here; its torques are not compared",
    )


@pytest.mark.parametrize(
    ("data", "fault"),
    [
        (b"", "the file: is empty"),
        (b"number,name\nN,Schl\xfcssel\n", "line 2: is not UTF-8; save the file as UTF-8"),
        (b"number\nN\n", "row 1: the column name is missing"),
        (b"\xef\xbb\xbfnumber;name;kind\nN;nut;nit\n", "row 2, column kind: must be one of: bolt"),
        (b"number,name\nN,nut\nM\n", "row 3: has 1 cells, the header has 2; put quotation marks"),
        (b"number,name\nN,nut\nN,nut\n", "row 3, column number: the number stands twice"),
        (b"number,name\n=1+1,nut\n'=1+1,nut\n", "row 3, column number: the number stands twice"),
        (b"x" * (MOST_BYTES + 1), f"the file: has {MOST_BYTES + 1} bytes; at most {MOST_BYTES}"),
    ],
    ids=["empty", "latin-1", "no name", "BOM and ;", "ragged", "twice", "guarded", "huge"],
)  # fmt: skip
def test_a_bad_catalogue_changes_nothing(bench: Bench, data: bytes, fault: str) -> None:
    (said,) = refused(bench, "catalogue", data)

    assert said.startswith(fault)


def test_one_bad_row_keeps_all_the_good_ones_out(bench: Bench) -> None:
    rows = [f"N{n},nut" for n in range(300)]
    rows[250] = "N250,"

    assert refused(bench, "catalogue", "number,name\n" + "\n".join(rows)) == [
        "row 252, column name: is missing"
    ]


def test_a_file_of_another_sort_does_not_drown_the_lead(bench: Bench) -> None:
    told = refused(bench, "catalogue", "number,name\n" + "N,\n" * 700)

    assert len(told) == files.MOST_FAULTS + 1
    assert told[-1] == "the file: has 200 faults more"


def test_the_catalogue_goes_out_and_comes_back_the_same(bench: Bench) -> None:
    for form in ("csv", "json"):
        out = files.give_out(bench.service, "catalogue", "", form)

        assert take_in(bench, "catalogue", out, f"out.{form}").changes == ()


def test_the_demonstration_is_taken_in_like_any_file(bench: Bench) -> None:
    van = SEED / "van_battery"

    take_in(bench, "catalogue", (van / "catalogue.csv").read_bytes())
    taken = take_in(bench, "procedure", (van / "procedure.json").read_bytes(), "procedure.json")

    assert (taken.key, taken.revision) == ("ev-pack-out-and-in", 1)
    assert {one.what: one.quantity for one in taken.counts}["steps"] == 77


# Procedure


def test_a_procedure_becomes_a_revision_only_when_it_changed(bench: Bench) -> None:
    first = take_in(bench, "procedure", PROCEDURE)
    again = take_in(bench, "procedure", PROCEDURE.replace(",", ";"))
    changed = take_in(
        bench, "procedure", PROCEDURE.replace("rim,4", "rim,6") + "step,s2,20,More,,,s1\n"
    )

    assert (first.revision, first.changes) == (1, ("procedure p1: new",))
    assert (again.revision, again.changes) == (1, ())
    assert (changed.revision, changed.changes) == (
        2,
        ("step 10 (s1): other position P1", "step 20 (s2): new"),
    )


def test_a_running_job_stays_on_its_revision(bench: Bench) -> None:
    job = bench.open_job()
    take_in(bench, "procedure", PROCEDURE)

    assert bench.look(job).plan.steps == ()


def test_table_and_document_are_one_procedure(bench: Bench) -> None:
    take_in(bench, "procedure", PROCEDURE)

    for form in ("json", "csv"):
        out = files.give_out(bench.service, "procedure", "p1", form)
        assert take_in(bench, "procedure", out, f"out.{form}").revision == 1


def test_an_old_revision_can_still_be_had(bench: Bench) -> None:
    take_in(bench, "procedure", PROCEDURE)
    take_in(bench, "procedure", PROCEDURE.replace("rim,4", "rim,6"))

    def sets(revision: int | None) -> int:
        out = files.give_out(bench.service, "procedure", "p1", "json", revision=revision)
        found: int = json.loads(out)["steps"][0]["positions"][0]["sets"]
        return found

    assert (sets(1), sets(2), sets(None)) == (4, 6, 6)


@pytest.mark.parametrize(
    ("more", "fault"),
    [
        ("step,s2,10,More,,,\n", "row 5, column number: two steps have the number 10"),
        ("position,P2,,edge,2,,\n", "row 5, column part: names no part"),
        ("position,P2,,edge,2,Q,\n", "row 5, column part: the catalogue has no part Q"),
        (
            "step,s2,20,More,,,s3\nstep,s3,30,More,,,s2\n",
            "row 5, column after: when stripping, the steps wait for one another: step 20 waits "
            "for step 30, step 30 waits for step 20",
        ),
        ("bolt,,,,,,\n", "row 5, column what: “bolt” is not one of"),
    ],
)
def test_a_bad_procedure_changes_nothing(bench: Bench, more: str, fault: str) -> None:
    (said,) = refused(bench, "procedure", PROCEDURE + more)

    assert said.startswith(fault)


def test_the_parts_of_a_procedure_must_be_in_the_catalogue_first(bench: Bench) -> None:
    procedure = PROCEDURE.replace(",A,", ",NEW,")
    assert len(refused(bench, "procedure", procedure)) == 1

    take_in(bench, "catalogue", "number,name\nNEW,new bolt\n")

    assert take_in(bench, "procedure", procedure).revision == 1


def test_a_write_that_fails_half_way_leaves_nothing(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    before, put, written = everything(bench), keeping.put_part, []

    def failing(*args: object, **members: object) -> None:
        if len(written) == 2:
            raise OSError("the disk is full")
        written.append(members)
        put(*args, **members)  # type: ignore[arg-type]

    monkeypatch.setattr(keeping, "put_part", failing)
    with pytest.raises(OSError, match="disk is full"):
        take_in(bench, "catalogue", "number,name\nN1,nut\nN2,nut\nN3,nut\n")

    assert everything(bench) == before
    assert "N1" not in parts(bench)


def test_what_is_not_there_or_not_meant_is_said(bench: Bench) -> None:
    with pytest.raises(NotFound, match="no procedure “p9”"):
        files.give_out(bench.service, "procedure", "p9", "csv")
    with pytest.raises(Invalid, match="`kind` must be one of"):
        files.preview(bench.service, "people", "it.csv", b"x")
    with pytest.raises(Invalid, match="`form` must be one of"):
        files.give_out(bench.service, "catalogue", "", "pdf")
