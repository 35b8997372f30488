"""Ions counted in mg, mmol and charges against atomic masses, and what is refused."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from periodictable import formula

from gylebook.errors import OutsideValidity
from gylebook.matter.ions import (
    CACO3_MASS,
    CHARGE,
    MOLAR_MASS,
    caco3_from_meq,
    charges,
    hardness,
    imbalance,
    ionic_strength,
    meq_from_caco3,
    meq_from_mg,
    mg_from_meq,
    mg_from_mmol,
    mmol_from_mg,
)
from gylebook.matter.solution import Solution, mixed
from published_tables import published_rows

FORMULAS = {
    "calcium": "Ca",
    "magnesium": "Mg",
    "sodium": "Na",
    "potassium": "K",
    "ammonium": "NH4",
    "chloride": "Cl",
    "sulphate": "SO4",
    "nitrate": "NO3",
    "bicarbonate": "HCO3",
    "carbonate": "CO3",
    "fluoride": "F",
}
COLUMNS = {
    "Ca_mgL": "calcium",
    "Mg_mgL": "magnesium",
    "Na_mgL": "sodium",
    "K_mgL": "potassium",
    "Cl_mgL": "chloride",
    "SO4_mgL": "sulphate",
    "NO3_mgL": "nitrate",
}


@pytest.mark.parametrize("ion", MOLAR_MASS)
def test_molar_masses_follow_from_atomic_masses(ion, check):
    # 0.004: the abridged weights round each element to 0.001 to 0.01 (sulphur, chlorine).
    what, judge = "molar mass of an ion", formula(FORMULAS[ion]).mass
    check(what, MOLAR_MASS[ion], judge, within=0.004, unit="g/mol", at=ion, source="atomic-masses")


def test_hardness_and_alkalinity_are_told_as_chalk(check):
    what, judge = "molar mass of chalk", formula("CaCO3").mass
    check(what, CACO3_MASS, judge, within=0.002, unit="g/mol", source="atomic-masses")
    assert hardness(1.0, 0.5) == pytest.approx(1.5 * CACO3_MASS)
    assert meq_from_caco3(CACO3_MASS) == pytest.approx(2.0)


@pytest.mark.parametrize("row", published_rows("water_derived"), ids=lambda row: row["water"])
def test_both_sides_of_the_balance_are_those_of_a_second_program(row, check):
    ions = {ion: mmol_from_mg(ion, float(row[column])) for column, ion in COLUMNS.items()}
    cations, anions = charges(ions, meq_from_caco3(float(row["alk_mgL_CaCO3"])))

    # 5e-4 of some mEq/L: masses differ in the fifth digit.
    for what, got, column in (("cations", cations, "cations_mEqL"), ("anions", anions, "anions_mEqL")):
        expected = float(row[column])
        at = row["water"]
        check(what, got, expected, within=1e-3, unit="mEq/L", at=at, source="atomic-masses", kind="slip")
    # 0.05 points, of half the last digit of both sums in the softest water.
    off = imbalance(cations, anions)
    assert off == pytest.approx(float(row["imbalance_percent"]), abs=0.05)


@pytest.mark.parametrize("ion", CHARGE)
@given(mg=st.floats(0.0, 5000.0))
def test_an_ion_is_the_same_in_whichever_unit_it_was_reported(ion, mg):
    assert mg_from_mmol(ion, mmol_from_mg(ion, mg)) == pytest.approx(mg)
    assert mg_from_meq(ion, meq_from_mg(ion, mg)) == pytest.approx(mg)
    assert caco3_from_meq(meq_from_caco3(mg)) == pytest.approx(mg)


def test_ionic_strength_counts_double_charges_fourfold():
    # 10 mmol/L of gypsum and of common salt, by hand: ½ (4 × 10 + 4 × 10) + ½ (10 + 10) mmol/L.
    dissolved = {"calcium": 10.0, "sulphate": 10.0, "sodium": 10.0, "chloride": 10.0}
    assert ionic_strength(dissolved) == pytest.approx(0.050)


def test_alkalinity_stands_for_bicarbonate_and_is_not_counted_twice():
    with pytest.raises(ValueError, match="already: bicarbonate"):
        charges({"calcium": 1.0, "bicarbonate": 2.0}, 2.0)


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"calcium": 105.0}, r"calcium is 105 mmol/L.*If that was mg/L, it is 2\.620 mmol/L"),
        ({"alkalinity": 230.0}, r"alkalinity is 230 mEq/L.*mg/L as CaCO3, it is 4\.596 mEq/L"),
        ({"sodium": -0.1}, r"sodium is -0\.1 mmol/L"),
        ({"sulphate": np.array([1.0, np.nan])}, r"sulphate is nan"),
    ],
)
def test_a_water_that_cannot_be_is_refused_and_the_slip_of_unit_is_guessed(wrong, said):
    with pytest.raises(OutsideValidity, match=said):
        Solution(**wrong)


def test_less_than_nothing_of_an_ion_is_refused():
    with pytest.raises(OutsideValidity, match=r"mg_per_l is -3 mg/L"):
        mmol_from_mg("chloride", -3.0)


@given(share=st.floats(0.0, 1.0), tap=st.floats(0.0, 40.0), purer=st.floats(0.0, 40.0))
def test_waters_mix_by_volume(share, tap, purer):
    blend = mixed([(1.0 - share, Solution(calcium=tap, alkalinity=tap)), (share, Solution(calcium=purer))])

    assert blend.calcium == pytest.approx((1.0 - share) * tap + share * purer)
    assert blend.alkalinity == pytest.approx((1.0 - share) * tap)
