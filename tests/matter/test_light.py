"""The refractive scale of sucrose against its table, and what starch sugars do on it."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gylebook.errors import OutsideValidity
from gylebook.matter.light import brix_from_refractive_index, refractive_index_from_brix
from published_tables import published


@pytest.mark.parametrize(("brix", "index"), published("phys_refractive_sucrose"))
def test_sugar_bends_light_as_the_sucrose_table_says(brix, index, check):
    # 1e-5 is 0.007 °Bx, a tenth of what a good hand-held instrument shows.
    at, source, bends = f"{brix:g} °Bx", "icumsa-sps3", refractive_index_from_brix(brix)
    check("refractive index of sucrose", bends, index, within=1e-5, unit="nD", at=at, source=source)
    shows = brix_from_refractive_index(index)
    check("scale of a refractometer", shows, brix, within=0.007, unit="°Bx", at=at, source=source)


def test_starch_sugars_read_four_per_cent_high_on_the_sucrose_scale(check):
    # ISO 1743 tabulates glucose syrup, which wort resembles; 1.04 is the trade's factor for wort, to 0.01.
    for dry_matter, index in published("phys_refractive_glucose_syrup"):
        if 4.0 <= dry_matter <= 30.0:
            factor, at = brix_from_refractive_index(index) / dry_matter, f"{dry_matter:g} %"
            check("factor of starch sugars", factor, 1.04, within=0.01, at=at, source="iso-1743")


@given(st.floats(-2.0, 40.0))
def test_index_and_back_is_the_same_brix(brix):
    # 1e-11: an index near 1.33 holds 2e-16, and 1 °Bx is 1.4e-3 of it.
    assert brix_from_refractive_index(refractive_index_from_brix(brix)) == pytest.approx(brix, abs=1e-11)


@given(st.floats(-2.0, 39.0), st.floats(1e-3, 1.0))
def test_more_sugar_bends_light_more(brix, more):
    assert refractive_index_from_brix(brix + more) > refractive_index_from_brix(brix)


def test_draws_take_the_same_path_as_one_reading():
    readings = np.linspace(0.0, 40.0, 9)
    index = refractive_index_from_brix(readings)

    np.testing.assert_allclose(
        brix_from_refractive_index(index), [brix_from_refractive_index(n) for n in index]
    )
    assert isinstance(brix_from_refractive_index(1.35), float)


def test_brix_given_as_index_is_recognised():
    with pytest.raises(
        OutsideValidity, match=r"n is 12 .*1\.3301 to 1\.3999.*If that was °Bx, it is 1\.3509 nD"
    ):
        brix_from_refractive_index(12.0)


def test_a_syrup_beyond_the_scale_is_refused():
    with pytest.raises(OutsideValidity, match=r"brix is 65 °Bx.*-2 to 40 °Bx"):
        refractive_index_from_brix(np.array([12.0, 65.0]))
