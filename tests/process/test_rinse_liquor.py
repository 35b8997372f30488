"""Hold the acid of rinse liquor to a second program and to PHREEQC."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gylebook.errors import OutsideValidity
from gylebook.matter.equilibria import ph_of, speciate, with_carbonate
from gylebook.matter.solution import Solution
from gylebook.matter.titration import with_acid
from gylebook.process.rinse_liquor import ALKALINITY_LEFT, acid_for_rinse, ph_once_flat
from published_tables import published_rows

SHORT = {"Ca": "calcium", "Mg": "magnesium", "Na": "sodium", "K": "potassium", "Cl": "chloride"}
SHORT |= {"SO4": "sulphate", "NO3": "nitrate"}
MASS = {"Ca": 40.078, "Mg": 24.305, "Na": 22.990, "K": 39.098, "Cl": 35.45, "SO4": 96.056, "NO3": 62.004}
KIND = {"lactic": "lactic", "H3PO4": "phosphoric", "HCl": "hydrochloric"}
AS_CACO3 = 50.043


def water(name: str) -> Solution:
    row = next(row for row in published_rows("water_derived") if row["water"] == name)
    ions = {ion: float(row[f"{short}_mgL"]) / MASS[short] for short, ion in SHORT.items()}
    plain = Solution(**ions, alkalinity=float(row["alk_mgL_CaCO3"]) / AS_CACO3)
    return with_carbonate(plain, float(row["pH"]), float(row["temp_C"]))


ROWS = published_rows("water_rinse_acid")
ACID = "acid(lactic=88%;H3PO4=10%;HCl=10%)"


def name(row: dict[str, str]) -> str:
    return f"{row['water']}, {row[ACID]}, pH {row['target_pH_closed']}"


@pytest.mark.parametrize("row", ROWS, ids=name)
def test_acid_that_leaves_so_much_alkalinity_reaches_the_ph_that_goes_with_it(row, check):
    target, carbonate_left = float(row["target_pH_closed"]), float(row["carbonate_alk_left_mgL_CaCO3"])
    left = carbonate_left / AS_CACO3 - 1e3 * 10.0**-target  # the table counts no protons

    found = acid_for_rinse(water(row["water"]), KIND[row[ACID]], left)

    # What is left is printed to 0.1 mg/L, of which 0.05 either way go into the dose and 0.43 x 0.05/left into
    # the pH.  Else 0.4 % of the dose and 0.005 of pH: calcium's pairs with phosphate.
    of = {"at": name(row), "source": "derived", "kind": "slip"}
    dose = float(row["dose_mmol_per_L"])
    within = 0.05 / AS_CACO3 + 4e-3 * dose
    check("acid of rinse liquor", found.mmol_per_l, dose, within=within, unit="mmol/L", **of)
    check("pH of acidified rinse liquor", found.ph, target, within=0.43 * 0.05 / carbonate_left + 5e-3, **of)


@pytest.mark.parametrize("row", [row for row in ROWS if row[ACID] != "H3PO4"], ids=name)
def test_rinse_liquor_left_open_climbs_as_its_carbonic_acid_leaves(row, check):
    acidified = with_acid(water(row["water"]), KIND[row[ACID]], float(row["dose_mmol_per_L"]))

    # Slip-catchers; printed to 0.01, and it goes with the little alkalinity left, which the dose sets.
    # Phosphoric acid is held to PHREEQC in tests of `matter.titration`: the table knows too few of its
    # pairs.
    of = {"at": name(row), "source": "derived", "kind": "slip"}
    flat = float(row["pH_after_CO2_loss_to_air(logPCO2=-3.4)"])
    check("pH of rinse liquor once flat", ph_once_flat(acidified), flat, within=0.015, **of)


def test_the_usual_aim_is_25_mg_of_alkalinity_left():
    found = acid_for_rinse(water("hard chalk"), "lactic")

    assert pytest.approx(25.0, rel=1e-4) == ALKALINITY_LEFT * AS_CACO3
    # The trade's 5.4 to 5.5 for waters of 200 mg/L and more.
    assert 5.35 < found.ph < 5.55
    assert AS_CACO3 * speciate(found.liquor, 20.0).alkalinity_left == pytest.approx(25.0, abs=0.2)


def test_the_ph_told_is_the_one_that_the_acidified_liquor_has():
    found = acid_for_rinse(water("hard chalk"), "phosphoric")

    assert ph_of(found.liquor, 20.0) == pytest.approx(found.ph, abs=0.005)


def test_soft_water_needs_no_acid():
    tap = water("soft upland")
    found = acid_for_rinse(tap, "lactic")

    assert found.mmol_per_l == 0.0
    assert found.ph == pytest.approx(ph_of(tap, 20.0), abs=1e-4)


@given(st.floats(0.2, 2.0), st.floats(0.2, 2.0))
def test_less_alkalinity_left_takes_more_acid(one, other):
    less, more = sorted([one, other])
    tap = water("hard chalk")

    assert (
        acid_for_rinse(tap, "lactic", less).mmol_per_l
        >= acid_for_rinse(tap, "lactic", more).mmol_per_l - 1e-9
    )


def test_draws_go_through_together():
    tap = water("hard chalk").plus(alkalinity=np.array([-4.2, 0.0, 0.3]))

    found = acid_for_rinse(tap, "lactic")

    assert found.mmol_per_l[0] == 0.0
    assert np.all(np.diff(found.mmol_per_l) > 0.0)


def test_alkalinity_left_in_milligrams_is_recognised():
    with pytest.raises(
        OutsideValidity, match=r"alkalinity_left is 25 mEq/L.*mg/L as CaCO3, it is 0\.50 mEq/L"
    ):
        acid_for_rinse(water("hard chalk"), "lactic", 25.0)
