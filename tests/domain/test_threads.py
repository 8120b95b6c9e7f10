"""Threads and loads are those of the published tables."""

import pytest
from published_values import rows

from partsvc.domain.threads import (
    COARSE_PITCHES_MM,
    FINE_PITCHES_MM,
    Thread,
    UnknownThread,
    read_thread,
    strength,
)


def seen(row):
    return row["how_obtained"].startswith(("seen", "pitch: seen"))


@pytest.mark.parametrize("row", rows("thread_pitches"), ids=lambda row: row["designation"])
def test_pitch_and_series_are_the_published_ones(row):
    # ISO 261 / ISO 262 as reprinted; see tests/published/README.md.
    thread = read_thread(row["designation"])

    assert thread == Thread(float(row["d_mm"]), float(row["P_mm"]))
    assert thread.is_coarse == (row["series"] == "coarse")
    assert str(thread) == row["designation"]


def test_every_published_thread_is_known_and_no_other():
    published = {(float(row["d_mm"]), float(row["P_mm"])) for row in rows("thread_pitches")}
    known = {*COARSE_PITCHES_MM.items()} | {
        (size, pitch) for size, pitches in FINE_PITCHES_MM.items() for pitch in pitches
    }

    assert known == published


@pytest.mark.parametrize(
    "row",
    rows("thread_pitches", where=lambda row: row["As_mm2_table"]),
    ids=lambda row: row["designation"],
)
def test_the_stress_area_is_the_published_one(row):
    # The tables round to three figures: at most 0.39 % apart. Coarse seen, fine from memory.
    thread = read_thread(row["designation"])

    assert thread.stress_area_mm2 == pytest.approx(float(row["As_mm2_table"]), rel=0.0039)


def test_the_diameters_of_m8_are_the_published_ones():
    # Seen in one page: d2 7.188, d3 6.466, stress area 36.61.
    thread = read_thread("M8")

    assert thread.pitch_diameter_mm == pytest.approx(7.188, abs=0.0005)
    assert thread.root_diameter_mm == pytest.approx(6.466, abs=0.0005)
    assert thread.stress_area_mm2 == pytest.approx(36.61, abs=0.005)


@pytest.mark.parametrize(
    "row",
    rows("thread_major_6g", where=lambda row: row["d_max_table"]),
    ids=lambda row: f"{row['size']}x{row['P_mm']}",
)
def test_what_a_caliper_may_read_is_published(row):
    # ISO 965 as reprinted up to M10, from memory above; the formulas come within 0.006 mm.
    least, most = Thread(float(row["size"][1:]), float(row["P_mm"])).outside_limits_mm

    assert least == pytest.approx(float(row["d_min_table"]), abs=0.0065)
    assert most == pytest.approx(float(row["d_max_table"]), abs=0.0015)


def test_a_caliper_cannot_tell_coarse_from_fine():
    coarse_least, coarse_most = read_thread("M8").outside_limits_mm
    fine_least, fine_most = read_thread("M8x1").outside_limits_mm

    assert max(coarse_least, fine_least) < min(coarse_most, fine_most)


@pytest.mark.parametrize(
    "row", rows("property_classes"), ids=lambda row: row["property_class"] + row["size_range"]
)
def test_the_strengths_are_the_published_ones(row):
    # ISO 898-1:2013 table 3 as reprinted; yield of 4.6 and 5.8 from memory.
    size = "M18" if row["size_range"] == "d>16" else "M16"
    found = strength(row["property_class"], read_thread(size))

    assert (found.tensile_mpa, found.proof_mpa, found.yield_mpa) == (
        int(row["Rm_min_MPa"]),
        int(row["Sp_nom_MPa"]),
        int(row["ReL_or_Rp02_min_MPa"]),
    )


def load_id(row):
    return f"{row['designation']}-{row['property_class']}-{row['kind']}"


@pytest.mark.parametrize("row", rows("proof_tensile_loads", where=seen), ids=load_id)
def test_the_loads_are_the_published_ones(row):
    # EN ISO 898-1, coarse, as printed by two trade pages and a distributor: at most 0.62 % apart.
    assert load_n(row) == pytest.approx(float(row["load_N_table"]), rel=0.007)


@pytest.mark.parametrize(
    "row", rows("proof_tensile_loads", where=lambda row: not seen(row)), ids=load_id
)
def test_the_loads_recalled_from_memory_agree(row):
    assert load_n(row) == pytest.approx(float(row["load_N_table"]), rel=0.007)


def load_n(row):
    thread = read_thread(row["designation"])
    found = strength(row["property_class"], thread)
    return found.proof_load_n(thread) if row["kind"] == "proof" else found.tensile_load_n(thread)


def test_classes_not_made_or_not_known_have_no_strength():
    assert strength("9.8", read_thread("M18")) is None
    assert strength("A2-70", read_thread("M8")) is None


@pytest.mark.parametrize(
    "written", ["M8x1", "m8x1", " M8 x 1 ", "M8×1", "M8X1.0", "M8*1,0", "M 8 x 1"]
)
def test_a_thread_may_be_written_in_any_usual_way(written):
    assert read_thread(written) == Thread(8, 1)


def test_the_coarse_pitch_may_be_written_out():
    assert str(read_thread("M8x1.25")) == "M8"
    assert str(read_thread("M3.5")) == "M3.5"


@pytest.mark.parametrize(
    ("written", "words"),
    [
        ("8", "write M8 or M8x1"),
        ("", "write M8 or M8x1"),
        ("ST4.8", "write M8 or M8x1"),
        ("M٨", "write M8 or M8x1"),
        ("M9", "M9 is not among the sizes"),
        ("M8x0.5", "M8 is not made with a pitch of 0.5 mm"),
    ],
)
def test_any_other_thread_is_refused_in_words(written, words):
    with pytest.raises(UnknownThread, match=words):
        read_thread(written)
