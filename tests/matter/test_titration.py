"""Acid for a pH, alkalinity left by it, and alkalinity found by titration, against tables and PHREEQC."""

from __future__ import annotations

import numpy as np
import pytest

from aqueous_library import AqueousLibrary
from gylebook.errors import OutsideValidity
from gylebook.matter.equilibria import ph_of, speciate, speciate_open, with_carbonate
from gylebook.matter.ions import CACO3_MASS, caco3_from_meq, meq_from_caco3, mmol_from_mg
from gylebook.matter.solution import Solution
from gylebook.matter.titration import (
    acid_to_reach,
    alkalinity_at,
    alkalinity_from_titration,
    ph_with_alkalinity_left,
    with_acid,
)
from published_tables import published_rows

ACID = "acid(lactic=88%;H3PO4=10%;HCl=10%)"
ACIDS = {"lactic": ("lactic", "HLac"), "H3PO4": ("phosphoric", "H3PO4"), "HCl": ("hydrochloric", "HCl")}
IONS = {
    "calcium": "Ca_mgL",
    "magnesium": "Mg_mgL",
    "sodium": "Na_mgL",
    "potassium": "K_mgL",
    "chloride": "Cl_mgL",
    "sulphate": "SO4_mgL",
    "nitrate": "NO3_mgL",
}
WATERS = {row["water"]: row for row in published_rows("water_derived")}
RINSES = published_rows("water_rinse_acid")


def ions_of(name: str) -> dict[str, float]:
    """Ions and alkalinity of a table's water. [mmol/L, mEq/L]"""
    row = WATERS[name]
    ions = {ion: float(mmol_from_mg(ion, float(row[column]))) for ion, column in IONS.items()}
    return ions | {"alkalinity": float(meq_from_caco3(float(row["alk_mgL_CaCO3"])))}


def water_of(name: str) -> Solution:
    """A table's water with the carbonate of its pH."""
    row = WATERS[name]
    return with_carbonate(Solution(**ions_of(name)), float(row["pH"]), float(row["temp_C"]))


def label(row: dict[str, str]) -> str:
    return f"{row['water']}, {row[ACID]} to pH {row['target_pH_closed']}"


@pytest.mark.parametrize("row", RINSES, ids=label)
def test_rinse_liquor_takes_the_acid_that_a_second_program_gives_it(row, check):
    acid, _ = ACIDS[row[ACID]]
    water, target = water_of(row["water"]), float(row["target_pH_closed"])

    dose = acid_to_reach(water, target, acid, 20.0)

    expected, source = float(row["dose_mmol_per_L"]), "plummer-busenberg-1982"
    # 0.2 %: pairs of CaSO4, 2.25 here and 2.30 there, and the table's four digits.
    check(
        "acid for a pH", dose, expected, rel=0.002, unit="mmol/L", at=label(row), source=source, kind="slip"
    )
    left = caco3_from_meq(speciate(with_acid(water, acid, dose), 20.0).alkalinity_left)
    # 0.3 mg/L: the table counts no H+ and rounds to 0.1.
    expected, unit = float(row["carbonate_alk_left_mgL_CaCO3"]), "mg/L as CaCO3"
    check("alkalinity left", left, expected, within=0.3, unit=unit, at=label(row), source=source, kind="slip")


def test_phreeqc_reads_the_ph_that_the_dose_was_for(check):
    library = AqueousLibrary()
    for row in RINSES:
        acid, formula = ACIDS[row[ACID]]
        target, at = float(row["target_pH_closed"]), label(row)
        dose = float(acid_to_reach(water_of(row["water"]), target, acid, 20.0))
        ph = float(WATERS[row["water"]]["pH"])

        closed = library.after(ions_of(row["water"]), ph, 20.0, {formula: dose})
        in_air = library.after(ions_of(row["water"]), ph, 20.0, {formula: dose}, -3.4)

        # 0.01: the two laws of activity.
        check("pH after the dose for it", target, closed.ph, within=0.01, at=at, source="phreeqc")
        # 0.02: so near neutral what remains of phosphoric acid's pairs with calcium shows too.
        after = speciate_open(with_acid(water_of(row["water"]), acid, dose), 20.0).ph
        check("pH when CO2 has left", after, in_air.ph, within=0.02, at=at, source="phreeqc")


@pytest.mark.parametrize("row", RINSES[::3], ids=label)
def test_the_alkalinity_left_settles_the_ph_whichever_acid_did_it(row):
    acid, _ = ACIDS[row[ACID]]
    water, target = water_of(row["water"]), float(row["target_pH_closed"])
    treated = with_acid(water, acid, acid_to_reach(water, target, acid, 20.0))
    left = speciate(treated, 20.0).alkalinity_left

    # 0.005: phosphate holds some calcium back, and sets bicarbonate free.
    assert ph_with_alkalinity_left(water, left, 20.0) == pytest.approx(target, abs=0.005)


@pytest.mark.parametrize(
    "row", published_rows("water_alkalinity_endpoint"), ids=lambda row: row["true_alk_mgL_CaCO3"]
)
def test_a_titration_to_a_fixed_end_point_reads_what_a_second_program_says(row, check):
    alkalinity = float(row["true_alk_mgL_CaCO3"]) * 2.0 / CACO3_MASS
    water = with_carbonate(Solution(calcium=alkalinity / 2.0, alkalinity=alkalinity), 8.0, 25.0)
    at, unit, source = f"{row['true_alk_mgL_CaCO3']} mg/L", "mg/L as CaCO3", "plummer-busenberg-1982"
    for end in ("4.3", "4.5", "5.0"):
        used = caco3_from_meq(alkalinity - alkalinity_at(water, float(end), 25.0))
        # 0.6 mg/L, all of it at 500: which water was titrated is not recorded, and was inferred.
        what, expected = f"acid to pH {end}", float(row[f"acid_to_pH{end}_as_mgL_CaCO3"])
        check(what, used, expected, within=0.6, unit=unit, at=at, source=source, kind="slip")
    # 0.004: the same.
    equivalence, expected = (
        ph_of(with_acid(water, "hydrochloric", alkalinity), 25.0),
        row["equivalence_pH_closed_25C"],
    )
    check(
        "pH of the end point", equivalence, float(expected), within=0.004, at=at, source=source, kind="slip"
    )


@pytest.mark.parametrize("true", [10.0, 100.0, 500.0])
@pytest.mark.parametrize("end", [4.3, 4.5])
def test_the_true_alkalinity_is_found_behind_a_fixed_end_point(true, end):
    alkalinity = float(meq_from_caco3(true))
    water = with_carbonate(Solution(calcium=alkalinity / 2.0, alkalinity=alkalinity), 7.5, 25.0)
    used = alkalinity - alkalinity_at(water, end, 25.0)

    found = caco3_from_meq(alkalinity_from_titration(Solution(calcium=alkalinity / 2.0), used, 7.5, end))

    assert found == pytest.approx(true, abs=0.02)  # a hundredth of what a titration tells


@pytest.mark.parametrize("acid", ["lactic", "phosphoric", "citric", "hydrochloric", "sulphuric"])
def test_a_dose_on_all_draws_brings_each_to_its_ph(acid):
    alkalinity = np.linspace(0.2, 8.0, 40)
    water = with_carbonate(
        Solution(calcium=alkalinity / 2.0, magnesium=0.5, sulphate=0.4, alkalinity=alkalinity), 7.6, 18.0
    )
    target = np.linspace(5.3, 6.5, 40)

    reached = ph_of(with_acid(water, acid, acid_to_reach(water, target, acid, 18.0)), 18.0)

    # 0.001: a tenth of a good meter's last digit.
    np.testing.assert_allclose(reached, target, atol=1e-3)


def test_a_water_more_acid_than_asked_for_wants_a_base():
    assert acid_to_reach(Solution(alkalinity=-0.1, carbonate=0.2), 6.0, "hydrochloric", 20.0) < 0.0


def test_a_target_off_the_scale_is_refused():
    with pytest.raises(OutsideValidity, match=r"ph is 55 .*from 0 to 14"):
        acid_to_reach(Solution(alkalinity=1.0, carbonate=1.1), 55.0, "lactic", 20.0)


def test_an_end_point_that_is_the_phenolphthalein_one_is_refused():
    with pytest.raises(OutsideValidity, match=r"titrated_to is 8\.3 .*from 3\.5 to 5\.5"):
        alkalinity_from_titration(Solution(), 2.0, 7.5, 8.3)
