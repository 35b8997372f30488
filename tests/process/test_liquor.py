"""Hold dilution and residual alkalinity to published relations."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gylebook.errors import OutsideValidity
from gylebook.matter.solution import TOTALS, Solution
from gylebook.process.liquor import diluted, dilution_to, residual_alkalinity, reverse_osmosis
from published_tables import published_rows

TAP = Solution(
    calcium=2.62, magnesium=0.2, sodium=0.5, chloride=0.7, sulphate=0.26, carbonate=5.0, alkalinity=4.6
)


@pytest.mark.parametrize("row", published_rows("water_derived"), ids=lambda row: row["water"])
def test_residual_alkalinity_is_that_of_a_second_program(row, check):
    ions = {"calcium": float(row["Ca_mgL"]) / 40.078, "magnesium": float(row["Mg_mgL"]) / 24.305}
    liquor = Solution(**ions, alkalinity=float(row["alk_mgL_CaCO3"]) * 2.0 / 100.086)

    # A slip-catcher: the table takes 50.04 for half a mole of calcium carbonate, 6e-5 of up to 5 mEq/L.
    of = {"unit": "mEq/L", "at": row["water"], "source": "derived", "kind": "slip"}
    check("residual alkalinity", residual_alkalinity(liquor), float(row["RA_mEqL"]), within=5e-4, **of)


@pytest.mark.parametrize(
    ("salt", "divisor"), [({"calcium": 100.0 / 40.078}, 1.402), ({"magnesium": 100.0 / 24.305}, 1.700)]
)
def test_residual_alkalinity_falls_as_the_trade_writes_it_in_milligrams(salt, divisor):
    # RA = Alk - Ca/1.402 - Mg/1.700, all mg/L with alkalinity as CaCO3 (Kolbach 1953, from memory).
    fall = -50.043 * residual_alkalinity(Solution(**salt))

    assert fall == pytest.approx(100.0 / divisor, rel=5e-4)


def test_a_membrane_lets_a_few_per_cent_of_everything_pass():
    pure = reverse_osmosis(TAP, 0.04)

    for total in TOTALS:
        assert getattr(pure, total) == pytest.approx(0.04 * getattr(TAP, total))


@given(st.floats(0.0, 1.0))
def test_dilution_turned_round_finds_the_share(share):
    pure = reverse_osmosis(TAP)
    blend = diluted(TAP, share, pure)

    assert dilution_to(blend.alkalinity, TAP.alkalinity, pure.alkalinity) == pytest.approx(share, abs=1e-9)
    assert dilution_to(blend.calcium, TAP.calcium, pure.calcium) == pytest.approx(share, abs=1e-9)


def test_a_target_above_the_tap_needs_no_dilution_and_one_below_the_purer_water_has_none():
    np.testing.assert_array_equal(dilution_to(np.array([120.0, 2.0]), 100.0, 4.0), [0.0, np.inf])
    assert dilution_to(50.0, 100.0, 100.0) == np.inf


@pytest.mark.parametrize("share", [-0.1, 40.0])
def test_a_share_beyond_the_whole_is_refused(share):
    with pytest.raises(OutsideValidity, match=rf"share is {share:g}.*a share of the liquor"):
        diluted(TAP, share, reverse_osmosis(TAP))
