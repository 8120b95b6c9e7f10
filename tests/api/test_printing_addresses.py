"""Printers and printings through the API: kept by the lead, asked for by anybody."""

from __future__ import annotations

from http_bench import HttpBench

PRINTER = {"name": "bench 4", "address": "ipp://localhost:9/ipp/print", "stock": "a4-3x7"}


def put_up(bench: HttpBench) -> str:
    return str(bench.made("/printers", PRINTER, "lead")["id"])


def test_the_lead_puts_up_a_printer_and_takes_it_away(bench: HttpBench) -> None:
    printer = put_up(bench)
    etag = bench.get(f"/printers/{printer}").headers["ETag"]
    changed = bench.put(
        f"/printers/{printer}", {**PRINTER, "name": "bench 5"}, headers={"If-Match": etag}
    )
    assert changed.status_code == 200
    assert [one["name"] for one in bench.look("/printers")["printers"]] == ["bench 5"]
    assert bench.post(f"/printers/{printer}/retire", {}, "lead").status_code == 200
    assert bench.look("/printers")["printers"] == []


def test_a_technician_does_not_put_up_printers(bench: HttpBench) -> None:
    assert bench.post("/printers", PRINTER, "tech").status_code == 403


def test_an_unknown_stock_is_told(bench: HttpBench) -> None:
    found = bench.post("/printers", {**PRINTER, "stock": "gold"}, "lead")
    assert found.status_code == 422
    assert "a4-3x7" in found.text


def test_a_printer_that_is_away_is_an_answer_too(bench: HttpBench) -> None:
    now = bench.look(f"/printers/{put_up(bench)}/now")
    assert (now["answers"], now["accepting"]) == (False, False)
    assert "does not answer" in now["words"]


def test_tags_wait_in_the_queue_and_can_be_cancelled(bench: HttpBench) -> None:
    asked = {"printer": put_up(bench), "codes": bench.tags[:2]}
    (printing,) = bench.made("/printings", asked)["printings"]
    assert (printing["stage"], printing["tags"]) == ("waiting", bench.tags[:2])
    early = bench.post(f"/printings/{printing['id']}/again", {}, "tech")
    assert early.status_code == 409
    cancelled = bench.post(f"/printings/{printing['id']}/cancel", {}, "tech")
    assert cancelled.json is not None
    assert cancelled.json["stage"] == "cancelled"
    again = bench.post(f"/printings/{printing['id']}/again", {}, "tech")
    assert again.status_code == 201
    assert [one["number"] for one in bench.look("/printings")["printings"]] == [2, 1]


def test_a_printing_is_asked_for_once_with_one_key(bench: HttpBench) -> None:
    asked = {"printer": put_up(bench), "codes": bench.tags[:1]}
    key = {"Idempotency-Key": '"1f0c3b9e-1111-4222-8333-444455556666"'}
    first = bench.post("/printings", asked, "tech", headers=key)
    second = bench.post("/printings", asked, "tech", headers=key)
    assert first.json == second.json
    assert len(bench.look("/printings")["printings"]) == 1
