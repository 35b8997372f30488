"""Hold malts' pH and buffering to the priors they were taken from, and a grist to the sum of its malts."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gylebook.errors import OutsideValidity
from gylebook.process import malt_ph
from gylebook.process.malt_ph import MALTS, by_acidity, by_distilled_ph, caramel_malt, distilled_ph, grist_of
from published_tables import published_rows

KINDS = {
    "pilsner malt": "pilsner",
    "pale malt / pale ale malt": "pale",
    "Vienna malt": "vienna",
    "Munich malt light (15 EBC)": "munich light",
    "Munich malt dark (25 EBC)": "munich dark",
    "wheat malt": "wheat",
    "rye malt": "rye",
    "oats or flaked unmalted cereal": "unmalted",
    "melanoidin/amber/brown malt": "toasted",
    "roasted malt or barley (700-1500 EBC)": "roasted",
    "acidulated malt": "acidulated",
}
ROWS = {row["kind"]: row for row in published_rows("water_malt_priors")}


@pytest.mark.parametrize("kind", KINDS)
def test_a_kind_of_malt_is_as_sour_as_its_prior(kind):
    row, malt = ROWS[kind], MALTS[KINDS[kind]]

    known = (
        ("pH_distilled_mean", "pH_distilled_sd") if malt.by_ph else ("acidity_to_pH5.7_mEq_kg", "acidity_sd")
    )
    # A copy of the table, which is a prior from memory: no check against the world.
    assert malt.known == tuple(float(row[column]) for column in known)
    assert malt.buffer == (float(row["buffer_mEq_per_kg_pH"]), float(row["buffer_sd"]))


def test_every_kind_of_the_table_is_known():
    assert set(KINDS.values()) == set(MALTS)
    assert set(ROWS) - set(KINDS) == {"caramel malt, colour E in EBC (20-400)"}


def test_caramel_malt_goes_by_its_colour():
    # 15 + 0.16 E of the table.
    assert caramel_malt(150.0).known == (39.0, 10.0)
    assert caramel_malt(150.0).buffer == (50.0, 15.0)
    with pytest.raises(OutsideValidity, match=r"colour_ebc is 1200 EBC, but the line of caramel malts"):
        caramel_malt(1200.0)


def test_one_malt_alone_stands_at_its_own_ph():
    assert distilled_ph(grist_of([3.0], [MALTS["munich dark"]])) == pytest.approx(5.38)


def test_the_ph_of_a_mixture_weighs_malts_by_their_buffering():
    grist = grist_of([4.0, 1.0], [by_distilled_ph(5.8, 0.1, 40.0, 8.0), by_acidity(45.0, 8.0, 50.0, 8.0)])

    # (4 x 40 x 5.8 + 1 x 50 x (5.7 - 45/50))/(4 x 40 + 50), by hand.
    assert distilled_ph(grist) == pytest.approx((160.0 * 5.8 + 50.0 * 4.8) / 210.0)
    assert grist.buffer == 210.0


def test_acidulated_malt_lowers_the_mash_as_its_acid_says_and_less_than_the_rule():
    base = MALTS["pilsner"]
    plain = distilled_ph(grist_of([10.0], [base]))
    sour = distilled_ph(grist_of([9.9, 0.1], [base, MALTS["acidulated"]]))

    # 280 mEq/kg over 40 mEq/(kg pH): 0.07 a per cent; the trade's rule of 0.1 (Oxford Companion) is generous.
    assert plain - sour == pytest.approx(0.07, abs=0.002)


@given(st.floats(-0.4, 0.4))
def test_what_all_malts_are_off_by_moves_the_grist_by_as_much(shift):
    malts = [MALTS["pale"], MALTS["roasted"]]

    moved = distilled_ph(grist_of([4.0, 0.5], malts, shift_ph=shift))

    assert moved - distilled_ph(grist_of([4.0, 0.5], malts)) == pytest.approx(shift)


def test_draws_of_a_malt_come_out_as_draws():
    known, buffer = np.array([5.6, 5.7]), np.array([35.0, 45.0])

    grist = grist_of([2.0], [MALTS["pale"]], [known], [buffer])

    np.testing.assert_allclose(distilled_ph(grist), known)
    np.testing.assert_allclose(grist.buffer, 2.0 * buffer)


def test_a_maltsters_acidity_given_as_ph_is_refused():
    with pytest.raises(OutsideValidity, match=r"ph_distilled is 42 , but a malt mashed in distilled water"):
        by_distilled_ph(42.0, 1.0, 40.0, 8.0)


def test_malts_own_scatters_and_the_shared_one_are_told_apart():
    level, scatter = malt_ph.MODEL_SHIFT_PH

    assert level == 0.0
    assert scatter > 0.1
