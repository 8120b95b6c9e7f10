"""Torques: exact in every unit, doubted when they hardly fit, and never invented."""

import re
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from published_values import rows

from partsvc.domain.threads import PROPERTY_CLASSES, read_thread, strength
from partsvc.domain.tightening import (
    TorqueUnit,
    UnreadableTorque,
    doubtful,
    in_unit,
    newton_metres,
    set_value,
    torque_under_load_nm,
)


@pytest.mark.parametrize(
    ("reading", "unit", "torque_nm"),
    [
        # Exact by the definitions of pound, foot, inch and kilogram-force.
        ("1", TorqueUnit.POUND_FOOT, "1.3558179483314004"),
        ("12", TorqueUnit.POUND_INCH, "1.3558179483314004"),
        ("1", TorqueUnit.KILOGRAM_METRE, "9.80665"),
        ("24.5", TorqueUnit.NEWTON_METRE, "24.5"),
        (" 24,5 ", TorqueUnit.NEWTON_METRE, "24.5"),
        ("999999.999999", TorqueUnit.POUND_FOOT, "1355817.9483300445820516685996"),
    ],
)
def test_a_reading_is_turned_into_newton_metres_exactly(reading, unit, torque_nm):
    assert newton_metres(reading, unit) == Decimal(torque_nm)


@pytest.mark.parametrize(
    "reading", ["", "24 Nm", "-3", "1e3", "NaN", "1.234,5", ".5", "5.", "٣", "1234567"]
)
def test_what_is_no_reading_is_refused(reading):
    with pytest.raises(UnreadableTorque, match=re.escape("type it like 24 or 24.5")):
        newton_metres(reading, TorqueUnit.NEWTON_METRE)


@given(
    st.decimals("0.001", "999999", allow_nan=False, places=3),
    st.sampled_from(TorqueUnit),
)
def test_there_and_back_is_the_same_torque(torque, unit):
    back = in_unit(newton_metres(str(torque), unit), unit)

    assert abs(back - torque) <= torque * Decimal("1e-8")


@pytest.mark.parametrize("row", rows("torque_short_formula"), ids=lambda r: r["size"] + r["K"])
def test_load_and_torque_belong_together_as_published(row):
    # Table "prevailing torque specification" of an engineering reference site: 40 pairs, all
    # within their rounding of T = K · F · d.
    torque_nm = torque_under_load_nm(
        float(row["clamp_N_table"]), read_thread(row["size"]), float(row["K"])
    )

    assert torque_nm == pytest.approx(float(row["torque_Nm_table"]), rel=0.0095)


def vdi_id(row):
    return f"{row['designation']}-{row['property_class']}-{row['mu_total']}"


@pytest.mark.parametrize("row", rows("torque_vdi2230"), ids=vdi_id)
def test_a_published_torque_is_not_doubted(row):
    # VDI 2230 (fine threads seen, coarse from memory), coefficients of friction 0.10 to 0.14.
    thread, stated = read_thread(row["designation"]), Decimal(row["MA_Nm_table"])

    assert doubtful(thread, row["property_class"], stated) is None


@pytest.mark.parametrize("row", rows("torque_vdi2230"), ids=vdi_id)
def test_a_published_torque_in_the_wrong_unit_is_doubted(row):
    # The number in N·m that should have been read as pound-inches, and the other way round.
    thread, stated = read_thread(row["designation"]), Decimal(row["MA_Nm_table"])
    as_pound_inches = in_unit(stated, TorqueUnit.POUND_INCH)
    as_kilogram_metres = newton_metres(row["MA_Nm_table"], TorqueUnit.KILOGRAM_METRE)

    assert "very much" in doubtful(thread, row["property_class"], as_pound_inches)
    assert "very much" in doubtful(thread, row["property_class"], as_kilogram_metres)


def test_a_doubt_names_the_bolt_and_leaves_the_word_to_the_maker():
    assert doubtful(read_thread("M6"), "8.8", Decimal("90")) == (
        "90 N·m is very much for M6 of class 8.8: at usual friction the bolt would be pulled "
        "beyond its proof load. Compare thread, class and unit with the maker's document; the "
        "maker's value governs."
    )
    assert doubtful(read_thread("M12x1.25"), "10.9", Decimal("1.2")) == (
        "1.2 N·m is very little for M12x1.25 of class 10.9: it would hardly clamp. Compare "
        "thread, class and unit with the maker's document; the maker's value governs."
    )


@pytest.mark.parametrize("property_class", PROPERTY_CLASSES)
@pytest.mark.parametrize("size", ["M4", "M8", "M8x1", "M16"])
def test_the_doubt_begins_at_the_proof_load_and_never_tells_a_torque(size, property_class):
    # Computed: T = 0.2 · F_p · d.
    thread = read_thread(size)
    proof_nm = (
        0.2 * strength(property_class, thread).proof_load_n(thread) * thread.diameter_mm / 1e3
    )
    around = [Decimal(f"{proof_nm * share:.3f}") for share in (0.049, 0.051, 0.99, 1.01)]

    low, fair_low, fair_high, high = (doubtful(thread, property_class, t) for t in around)

    assert (fair_low, fair_high) == (None, None)
    for words, stated in ((low, around[0]), (high, around[3])):
        rest = words.replace(f"{stated} N·m", "").replace(f"{size} of class {property_class}", "")
        assert not re.search(r"[0-9]", rest)


def test_a_class_not_known_is_not_judged():
    assert doubtful(read_thread("M8"), "A2-70", Decimal("900")) is None
    assert doubtful(read_thread("M18"), "9.8", Decimal("900")) is None


@pytest.mark.parametrize(
    ("torque", "lever", "extension", "angle", "reading"),
    [
        # Army manual on torque-wrench adapters and torque-wrench leaflets; lengths in any one unit.
        ("30", 12, 6, 0, "20.00"),
        ("50", 16, 2, 0, "44.44"),
        # Computed by hand from T · L / (L + E · cos angle).
        ("100", 400, 50, 0, "88.89"),
        ("100", 400, 50, 45, "91.88"),
        ("100", 400, 50, 90, "100.00"),
        ("100", 400, 50, 180, "114.29"),
        ("100", 400, 0, 0, "100.00"),
    ],
)
def test_an_extension_changes_the_reading(torque, lever, extension, angle, reading):
    value = set_value(Decimal(torque), lever_mm=lever, extension_mm=extension, angle_deg=angle)

    assert str(value) == reading


@pytest.mark.parametrize(("lever", "extension", "angle"), [(0, 5, 0), (50, 50, 180), (50, -5, 0)])
def test_an_extension_must_leave_an_arm(lever, extension, angle):
    with pytest.raises(ValueError, match="no arm"):
        set_value(Decimal(50), lever_mm=lever, extension_mm=extension, angle_deg=angle)
