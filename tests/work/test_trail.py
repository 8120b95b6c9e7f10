"""The trail of a piece: from its position through bags to where it is now, in plain words."""

from __future__ import annotations

import pytest
from ledger_bench import Bench, position, step

from partsvc.errors import NotFound
from partsvc.store.trails import TrailFilter, statement
from partsvc.work.trail import bag_trail, part_trail, position_trail

LONG = {"part": "B", "per_set": 1, "rule": "reuse"}
CLIP = {"part": "C", "per_set": 1, "rule": "reuse"}


@pytest.fixture
def job(bench: Bench) -> str:
    """Two positions of bolts in one step, and clips in another."""
    return bench.open_job(
        step("cover", 10, position("P1", LONG, sets=4), position("P2", LONG, sets=2), zone="rear"),
        step("trim", 20, position("P3", CLIP, sets=3)),
    )


def told(bench: Bench, job: str, name: str) -> list[str]:
    """The trail of a position, a line for each act."""
    lines = position_trail(bench.service, job, name).lines
    return [f"{line.title}: {'; '.join(line.words)}" for line in lines]


def test_pieces_are_followed_from_bag_to_bag_and_back(bench: Bench, job: str) -> None:
    first, second = bench.tags[:2]
    bench.act(job, "remove", position="P1", bag=first)
    bench.act(job, "rebag", bag=first, into=second)
    bench.act(job, "secure", "mate", position="P1", bag=second, quantity=3)

    found = position_trail(bench.service, job, "P1")

    assert [line.title for line in found.lines] == [
        "job opened", "taken off", "moved to another bag", "secured",
    ]  # fmt: skip
    shown_first, shown_second = (f"{code[:4]}-{code[4:]}" for code in (first, second))
    assert [line.words for line in found.lines[1:]] == [
        (f"4 long bolt (B): off here, into bag {shown_first}",),
        (f"4 long bolt (B): out of bag {shown_first}, into bag {shown_second}",),
        (f"3 long bolt (B): out of bag {shown_second}, secured here",),
    ]
    assert [(one.quantity, one.words) for one in found.now] == [
        (1, f"in bag {shown_second}"),
        (3, "secured here"),
    ]
    assert [(line.by, line.device) for line in found.lines[2:]] == [
        ("tech", "bench"), ("mate", "bench"),
    ]  # fmt: skip
    assert (found.zone, found.step_number) == ("rear", 10)


def test_what_was_put_in_wrongly_is_followed_back_to_where_it_came_off(
    bench: Bench, job: str
) -> None:
    bolts, clips = bench.tags[:2]
    bench.act(job, "remove", position="P1", bag=bolts)
    bench.act(job, "remove", position="P3", bag=clips)
    bench.done_anyway(job, "fit", position="P1", bag=clips, part="C", quantity=1)

    lines = told(bench, job, "P1")

    shown = f"{clips[:4]}-{clips[4:]}"
    assert f"taken off: 3 trim clip (C): off step 20, at P3, into bag {shown}" in lines
    assert lines[-1].startswith(
        f"put in: 1 trim clip (C): out of bag {shown}, in, not secured, here"
    )
    assert "Was refused, and done anyway" in lines[-1]
    assert position_trail(bench.service, job, "P1").lines[-1].anyway


def test_the_other_position_of_a_bag_is_not_told(bench: Bench, job: str) -> None:
    together = bench.tags[0]
    bench.act(job, "remove", step="cover", bag=together)
    bench.act(job, "secure", position="P2", bag=together)

    assert [line.split(":")[0] for line in told(bench, job, "P1")] == ["job opened", "taken off"]
    titles = [line.title for line in bag_trail(bench.service, job, together).lines]
    assert titles == ["taken off", "secured"]


def test_what_was_undone_says_so_on_both_lines(bench: Bench, job: str) -> None:
    code = bench.tags[0]
    bench.act(job, "remove", position="P1", bag=code)
    key = bench.new_key()
    bench.post("tech", job, {"key": key, "kind": "secure", "position": "P1", "bag": code})
    bench.act(job, "reverse", act=key, reason="it was the other side")

    *_, secured, undone = position_trail(bench.service, job, "P1").lines

    assert secured.undone_by == undone.seq
    assert undone.undoes == secured.seq
    assert undone.because == "it was the other side"


def test_remarks_and_second_looks_belong_to_the_trail(bench: Bench, job: str) -> None:
    bench.act(job, "remark", "quality", position="P1", words="paint on the thread")
    bench.act(job, "confirm", "quality", positions=["P1", "P2"])
    bench.act(job, "confirm", "quality", position="P2")

    assert told(bench, job, "P1")[1:] == [
        "remark: “paint on the thread”", "second look: looked at: right",
    ]  # fmt: skip


def test_all_pieces_of_a_part_are_told_together(bench: Bench, job: str) -> None:
    code = bench.tags[0]
    bench.act(job, "remove", position="P2", bag=code)
    bench.act(job, "remove", position="P3", bag=bench.tags[1])

    found = part_trail(bench.service, job, "B")

    assert [line.title for line in found.lines] == ["job opened", "taken off"]
    assert sum(one.quantity for one in found.now) == 6


def test_what_is_not_of_this_job_is_said_to_be_not(bench: Bench, job: str) -> None:
    with pytest.raises(NotFound, match="no position P9"):
        position_trail(bench.service, job, "P9")
    with pytest.raises(NotFound, match="not one of this job"):
        bag_trail(bench.service, job, bench.tags[0])
    with pytest.raises(NotFound, match="No piece of X"):
        part_trail(bench.service, job, "X")


@pytest.mark.parametrize(
    ("wanted", "indexes"),
    [
        (
            TrailFilter(places=("secured:P1",), position="P1", step="cover", kin=True),
            ("entry_out_of", "entry_into", "entry_of_part", "act_by_step"),
        ),
        (TrailFilter(places=("bag:XXXXXXXX",), bag="XXXXXXXX"), ("entry_out_of", "entry_into")),
        (TrailFilter(part="B"), ("entry_of_part",)),
    ],
)
def test_no_trail_reads_the_whole_book(
    bench: Bench, job: str, wanted: TrailFilter, indexes: tuple[str, ...]
) -> None:
    sql, members = statement(bench.service.site, job, wanted)
    with bench.service.database.reading() as db:
        plan = [row["detail"] for row in db.execute(f"EXPLAIN QUERY PLAN {sql}", members)]

    scanned = {line.split()[1] for line in plan if line.startswith("SCAN")}
    assert scanned <= {"there", "found", "f", "w", "k"}
    for index in indexes:
        assert any(f"INDEX {index} " in line for line in plan), plan
    if wanted.kin:
        assert any("entry_of_part (site=? AND account=? AND part=?)" in line for line in plan)
