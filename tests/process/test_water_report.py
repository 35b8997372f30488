"""Read water reports in every usual way of writing them, and refuse those that cannot be."""

from __future__ import annotations

import numpy as np
import pytest

from gylebook.errors import Refused
from gylebook.matter.equilibria import speciate
from gylebook.matter.ions import caco3_from_meq, hardness, mg_from_mmol
from gylebook.process.water_report import UNITS, Entry, Report, read_report
from published_tables import published_rows

# 230 mg/L as CaCO3, which is 4.596 mEq/L, by definitions: 1 °dH is 10 mg/L of CaO, 1 °f 10 mg/L of CaCO3.
ALKALINITY = [
    (230.0, "mg/L CaCO3"),
    (280.43, "mg/L HCO3"),
    (4.596, "mmol/L"),
    (4.596, "mEq/L"),
    (12.886, "°dH"),
    (23.0, "°f"),
    (16.136, "°e"),
    (13.436, "gpg"),
    (92.10, "mg/L Ca"),
]


def read(*entries: tuple[str, float] | tuple[str, float, str]) -> Report:
    return read_report([Entry(*entry) for entry in entries])


@pytest.mark.parametrize(("value", "unit"), ALKALINITY)
def test_alkalinity_is_the_same_however_it_is_written(value, unit):
    # 2e-3: the fourth digit of the entries above.
    assert read(("alkalinity", value, unit)).alkalinity == pytest.approx(4.596, abs=2e-3)


def test_every_unit_of_alkalinity_is_tried_above():
    assert {unit for _, unit in ALKALINITY} == set(UNITS["alkalinity"])


@pytest.mark.parametrize(
    ("what", "ion", "value", "unit", "mg"),
    [
        # Molar masses: N 14.007, NO3 62.004, S 32.06, SO4 96.056, NH4 18.039, Ca 40.078, Mg 24.305.
        ("nitrate", "nitrate", 5.0, "mg/L N", 22.13),
        ("nitrate", "nitrate", 22.13, "mg/L", 22.13),
        ("sulphate", "sulphate", 20.0, "mg/L S", 59.92),
        ("sulphate", "sulphate", 0.6238, "mmol/L", 59.92),
        ("ammonium", "ammonium", 1.0, "mg/L N", 1.288),
        ("calcium", "calcium", 250.0, "mg/L CaCO3", 100.11),
        ("calcium", "calcium", 14.0, "°dH", 100.06),
        ("calcium hardness", "calcium", 14.0, "°dH", 100.06),
        ("calcium hardness", "calcium", 25.0, "°f", 100.11),
        ("magnesium hardness", "magnesium", 50.0, "mg/L CaCO3", 12.142),
        ("magnesium", "magnesium", 1.0, "mEq/L", 12.152),
    ],
)
def test_an_ion_is_read_in_the_unit_of_its_report(what, ion, value, unit, mg):
    report = read((what, value, unit), ("alkalinity", 1.0, "mEq/L"))

    assert mg_from_mmol(ion, report.mmol_per_l[ion]) == pytest.approx(mg, rel=3e-4)
    assert report.inferred == ("ph",)


@pytest.mark.parametrize("row", published_rows("water_derived"), ids=lambda row: row["water"])
def test_a_whole_report_becomes_the_water_of_a_second_program(row, check):
    ions = {"Ca": "calcium", "Mg": "magnesium", "Na": "sodium", "K": "potassium", "Cl": "chloride"}
    ions |= {"SO4": "sulphate", "NO3": "nitrate"}
    entries = [Entry(ion, float(row[f"{short}_mgL"]), "mg/L") for short, ion in ions.items()]
    entries += [Entry("alkalinity", float(row["alk_mgL_CaCO3"]), "mg/L CaCO3"), Entry("ph", float(row["pH"]))]

    report = read_report(entries)
    temp_c = float(row["temp_C"])
    liquor = report.solution(temp_c)

    # Slip-catchers.  The table takes 100.08 for calcium carbonate, and leaves out sodium's pairs at pH 9.
    of = {"at": row["water"], "source": "derived", "kind": "slip"}
    total = hardness(report.mmol_per_l["calcium"], report.mmol_per_l["magnesium"])
    check(
        "hardness of a report",
        total,
        float(row["hardness_mgL_CaCO3"]),
        within=6e-3,
        rel=6e-5,
        unit="mg/L",
        **of,
    )
    expected = float(row["total_carbonate_mmolL"])
    check("carbonate of a report", liquor.carbonate, expected, within=2e-3, unit="mmol/L", **of)
    check("pH found back", speciate(liquor, temp_c).ph, float(row["pH"]), within=1e-4, **of)


def test_magnesium_follows_from_total_hardness_and_calcium_and_is_called_inferred():
    report = read(("hardness", 282.8, "mg/L CaCO3"), ("calcium", 105.0, "mg/L"), ("alkalinity", 4.6, "mEq/L"))

    # (282.8 - 2.497 x 105)/4.118.
    assert mg_from_mmol("magnesium", report.mmol_per_l["magnesium"]) == pytest.approx(5.0, abs=0.02)
    assert report.inferred == ("ph", "magnesium")


def test_a_hardness_alone_is_four_parts_of_calcium_to_one_of_magnesium_and_both_are_inferred():
    report = read(("hardness", 205.0, "mg/L CaCO3"), ("alkalinity", 150.0, "mg/L CaCO3"), ("ph", 7.5))

    # By hand: 205/50.043 = 4.0965 mEq/L, of which 0.8 at 20.039 mg and 0.2 at 12.1525 mg.  The split is
    # common practice; their sum is what the report tells.
    assert mg_from_mmol("calcium", report.mmol_per_l["calcium"]) == pytest.approx(65.67, abs=0.01)
    assert mg_from_mmol("magnesium", report.mmol_per_l["magnesium"]) == pytest.approx(9.957, abs=0.01)
    assert hardness(report.mmol_per_l["calcium"], report.mmol_per_l["magnesium"]) == pytest.approx(205.0)
    assert (report.inferred, report.doubts) == (("calcium", "magnesium"), ())


@pytest.mark.parametrize(
    "told", [[], [("magnesium", 5.0, "mg/L")], [("magnesium hardness", 20.0, "mg/L CaCO3")]]
)
def test_a_report_without_calcium_or_hardness_is_doubted_for_it(told):
    report = read(("alkalinity", 2.0, "mEq/L"), *told)

    assert report.doubts == ("no calcium",)
    assert "calcium" not in report.mmol_per_l


@pytest.mark.parametrize("what", ["calcium", "calcium hardness", "hardness"])
def test_a_calcium_of_nothing_is_told_all_the_same(what):
    assert read(("alkalinity", 2.0, "mEq/L"), (what, 0.0, "mEq/L")).doubts == ()


def test_bicarbonate_and_carbonate_make_the_alkalinity_where_none_is_told():
    report = read(("bicarbonate", 61.016, "mg/L"), ("carbonate", 6.0008, "mg/L"), ("ph", 8.6))

    assert report.alkalinity == pytest.approx(1.2)
    assert "carbonate" not in report.doubts
    assert "carbonate" not in report.mmol_per_l


def test_a_high_ph_without_carbonate_is_doubted():
    assert "carbonate" in read(("bicarbonate", 100.0, "mg/L"), ("ph", 8.9)).doubts


@pytest.mark.parametrize(
    ("total", "doubts"), [(300.0, ()), (150.0, ("capped",)), (None, ("capped", "no calcium"))]
)
def test_carbonate_hardness_stands_for_alkalinity_but_may_be_capped_by_hardness(total, doubts):
    told = [Entry("carbonate hardness", 150.0, "mg/L CaCO3")]
    told += [] if total is None else [Entry("hardness", total, "mg/L CaCO3")]

    report = read_report(told)

    assert caco3_from_meq(report.alkalinity) == pytest.approx(150.0)
    assert report.doubts == doubts


def test_draws_of_a_report_come_out_as_draws():
    calcium = np.array([90.0, 110.0])
    report = read_report(
        [Entry("calcium", calcium, "mg/L"), Entry("alkalinity", 2.0, "mEq/L"), Entry("ph", 7.4)]
    )

    np.testing.assert_allclose(report.solution().calcium, calcium / 40.078)
    assert report.inferred == ()


@pytest.mark.parametrize(
    ("entries", "message"),
    [
        ([("alkalinity", 200.0, "mg/L")], r"alkalinity: 200 mg/L; written in mEq/L, mg/L CaCO3, mmol/L"),
        ([("hardness", 200.0, "mg/L CaCO3")], r"hardness alone is no alkalinity"),
        ([("alkalinity", 2.0, "mEq/L"), ("sodium", -3.0, "mg/L")], r"sodium: -3 mg/L; no water holds less"),
        (
            [("alkalinity", 2.0, "mEq/L"), ("sodium", np.nan, "mg/L")],
            r"sodium: nan mg/L; no water holds less",
        ),
        ([("alkalinity", 2.0, "mEq/L"), ("ph", 14.2)], r"ph: 14\.2; a pH lies between 0 and 14"),
        ([("alkalinity", 2.0, "mEq/L"), ("ph", -0.2)], r"ph: -0\.2; a pH lies between 0 and 14"),
        ([("alkalinity", 2.0, "mEq/L"), ("ph", 7.0, "mg/L")], r"a pH has no unit"),
        ([("alkalinity", 2.0, "mEq/L"), ("ph", 3.9)], r"ph: 3\.90 with 100\.1 mg/L as CaCO3; no alkalinity"),
        ([("alkalinity", 2.0, "mEq/L"), ("calcium", 9000.0, "mg/L")], r"9000 mg/L, which is 449\.1 mEq/L"),
        ([("alkalinity", 2.0, "mEq/L"), ("gold", 1.0, "mg/L")], r"“gold”; a report may tell ph, calcium"),
        ([("alkalinity", 2.0, "mEq/L"), ("alkalinity", 3.0, "mEq/L")], r"alkalinity: given twice"),
        (
            [("alkalinity", 200.0, "mg/L CaCO3"), ("bicarbonate", 200.0, "mg/L")],
            r"200 mg/L as CaCO3 beside bicarbonate and carbonate of 164 mg/L as CaCO3; both tell one thing",
        ),
        (
            [("alkalinity", 2.0, "mEq/L"), ("hardness", 10.0, "°dH"), ("calcium hardness", 12.0, "°dH")],
            r"hardness: 178\.5 mg/L as CaCO3 beside calcium of 214\.2 mg/L as CaCO3",
        ),
        (
            [
                ("alkalinity", 2.0, "mEq/L"),
                ("hardness", 10.0, "°dH"),
                ("calcium", 40.0, "mg/L"),
                ("magnesium", 5.0, "mg/L"),
            ],
            r"hardness: 178\.5 mg/L as CaCO3 beside calcium and magnesium of 120\.5 .* together, no more",
        ),
        (
            [("alkalinity", 2.0, "mEq/L"), ("calcium hardness", 10.0, "°dH"), ("calcium", 10.0, "mg/L")],
            r"calcium hardness: 178\.5 mg/L as CaCO3 beside calcium of 24\.97 mg/L as CaCO3",
        ),
    ],
)
def test_an_impossible_report_is_refused_as_it_was_understood(entries, message):
    with pytest.raises(Refused, match=message):
        read(*entries)


def test_every_fault_of_a_report_is_told_at_once():
    with pytest.raises(Refused) as refused:
        read(("sodium", -3.0, "mg/L"), ("ph", 15.0), ("sulphate", 5.0, "g/L"))

    assert [problem.where for problem in refused.value.problems] == ["sodium", "ph", "sulphate"]
