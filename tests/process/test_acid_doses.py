"""Hold acids as sold to handbook densities, and their doses to reason."""

from __future__ import annotations

import numpy as np
import pytest

from gylebook.errors import OutsideValidity, Refused
from gylebook.process import acid_doses as acids
from published_tables import published_rows


@pytest.mark.parametrize("row", published_rows("water_acids"))
def test_an_acid_holds_as_much_as_its_density_says(row, check):
    acid = acids.acid_of(f"{row['acid']}-{row['percent_w_w']}")

    # A slip-catcher: half of the last printed digit.
    of = {"unit": "mol/L", "at": acid.key, "source": "derived", "kind": "slip"}
    check("strength of an acid by volume", acid.mol_per_l, float(row["mol_per_L"]), within=5.1e-4, **of)


def test_ten_millilitres_of_lactic_acid_are_what_a_brewer_computes_by_hand():
    lactic = acids.ACIDS["lactic-88"]

    # 10 mL x 1.206 g/mL x 0.88 / 90.08 g/mol.
    assert acids.millimoles(lactic, 10.0) == pytest.approx(117.8, abs=0.05)
    assert acids.millilitres(lactic, acids.millimoles(lactic, 10.0, 0.96), 0.96) == pytest.approx(10.0)


def test_strong_acids_carry_a_caution_and_a_weak_dilution_none():
    burning = {acid.key for acid in acids.ACIDS.values() if acid.caution == acids.ACID}

    # Labels of their classes, from memory: phosphoric from 25 %, hydrochloric and sulphuric from 15 %.
    assert burning == {
        "lactic-80",
        "lactic-88",
        "phosphoric-75",
        "phosphoric-85",
        "hydrochloric-31.45",
        "hydrochloric-37",
        "sulphuric-96",
    }


def test_an_acid_of_another_strength_gives_in_proportion():
    quarter = acids.as_labelled(acids.ACIDS["phosphoric-85"], 25.0, 1.146)

    assert quarter.mol_per_l == pytest.approx(10.0 * 25.0 * 1.146 / 97.994)
    assert quarter.key == "phosphoric-25"
    with pytest.raises(OutsideValidity, match=r"density is 1146 g/mL"):
        acids.as_labelled(quarter, 25.0, 1146.0)


def test_a_usual_dose_is_let_through():
    acids.hold_to_reason(acids.ACIDS["lactic-88"], np.array([9.0, 10.0]), 41.0)


def test_an_absurd_dose_of_strong_acid_is_refused_as_it_was_understood():
    with pytest.raises(
        Refused, match=r"100 mL of sulphuric acid 96 %, 120 mEq for each litre.*0 to 25 mEq/L"
    ):
        acids.hold_to_reason(acids.ACIDS["sulphuric-96"], 100.0, 30.0)


@pytest.mark.parametrize("dose", [-1.0, np.nan])
def test_less_than_no_acid_is_refused(dose):
    with pytest.raises(Refused, match=r"(-1|nan) mL of lactic acid 88 %"):
        acids.hold_to_reason(acids.ACIDS["lactic-88"], dose, 30.0)


def test_an_unknown_acid_is_answered_with_those_known():
    with pytest.raises(Refused, match=r"“vinegar”; no such acid is known; known are lactic-80"):
        acids.acid_of("vinegar")
