"""Hold alcohol, gas and yeast to Balling's balance and to measured brews."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gylebook.errors import OutsideValidity
from gylebook.process import ferment
from published_tables import published, published_rows


def test_real_extract_agrees_with_the_means_of_532_brews(check):
    # Cutaia, Reid and Speers 2009, five data sets weighted by their brews.  Real extract is printed
    # to 0.01 °P; its own standard error of the quotient, 0.0048, is worth 0.05 °P.
    brews, original, apparent, real = np.array(published("beer_cutaia_means", "n", "OE_P", "AE_P", "RE_P")).T

    found = ferment.real_extract(original, apparent)
    errors = found - real
    classical = ferment.real_extract_classical(original, apparent) - real

    of = {"unit": "°P", "source": "cutaia-2009"}
    check("real extract", found, real, within=0.05, at="means of five sets", **of)
    assert np.average(errors, weights=brews) == pytest.approx(0.010, abs=0.001)
    assert np.average(classical, weights=brews) == pytest.approx(-0.147, abs=0.001)


@pytest.mark.parametrize("row", published_rows("beer_cutaia_means"), ids=lambda row: row["dataset"])
def test_alcohol_agrees_with_the_means_of_532_brews(row, check):
    original, real, alcohol = (float(row[c]) for c in ("OE_P", "RE_P", "ABW_pct"))

    # 3 %: two standard errors of the paper's own regressions are 2.4 % each, and its sets differ by 4 %.
    found, of = ferment.alcohol_balling(original, real), {"unit": "% by mass", "at": row["dataset"]}
    check("alcohol from real extract", found, alcohol, rel=0.03, source="cutaia-2009", **of)
    expected = float(row["ABW_Balling_from_RE"])
    what = "alcohol of means from real extract"
    check(what, found, expected, within=6e-5, source="balling", kind="slip", **of)


@given(st.floats(2.0, 30.0), st.floats(0.0, 0.95))
def test_alcohol_and_extract_lead_back_to_the_original_wort(original, attenuation):
    # The other, printed side of Balling: OE = 100 (2.0665 A + RE)/(100 + 1.0665 A).
    real = original * (1 - attenuation)
    alcohol = ferment.alcohol_balling(original, real)

    assert 100 * (2.0665 * alcohol + real) / (100 + 1.0665 * alcohol) == pytest.approx(original, rel=1e-12)


@given(st.floats(2.0, 30.0), st.floats(0.0, 0.95), st.floats(0.9, 1.1))
def test_fermenting_neither_makes_nor_loses_mass(original, attenuation, alcohol_yield):
    water, extract = 20.0 * (1 - original / 100), 20.0 * original / 100
    real = original * (1 - attenuation)

    out = ferment.ferment(water, extract, real, alcohol_yield)

    assert sum(out) == pytest.approx(20.0, rel=1e-13)
    assert min(out) >= -1e-12


@given(st.floats(2.0, 30.0), st.floats(0.0, 0.95))
def test_beer_weighs_and_reads_what_balling_says(original, attenuation):
    water, extract = 20.0 * (1 - original / 100), 20.0 * original / 100
    real = original * (1 - attenuation)

    out = ferment.ferment(water, extract, real)
    beer_kg = out.water_kg + out.extract_kg + out.ethanol_kg

    assert beer_kg / 20.0 == pytest.approx(ferment.beer_per_wort(original, real), rel=1e-12)
    assert 100 * out.extract_kg / beer_kg == pytest.approx(real, rel=1e-9, abs=1e-12)
    assert 100 * out.ethanol_kg / beer_kg == pytest.approx(ferment.alcohol_balling(original, real), rel=1e-12)


def test_a_gram_of_extract_makes_463_milligrams_of_carbon_dioxide(check):
    # Balling's proportions, printed: 2.0665 g give 1 g of ethanol, 0.9565 g of CO2 and 0.11 g of yeast.
    out = ferment.ferment(17.6, 2.4, 4.0)

    fermented = 2.4 - out.extract_kg
    of = {"within": 5e-5, "unit": "g", "source": "balling", "kind": "slip"}
    check("CO2 of a gram of extract", out.co2_kg / fermented, 0.4629, **of)
    check("yeast of a gram of extract", out.yeast_kg / fermented, 0.0532, **of)
    # Per degree of real fall 0.494 g per 100 g of beer, at 12.4 °P.
    per_degree = 0.9565 * ferment.alcohol_balling(12.4, 11.4)
    check(
        "CO2 of a real degree in 100 g",
        per_degree,
        0.494,
        within=1e-3,
        unit="g",
        source="balling",
        kind="slip",
    )


def test_yeast_that_makes_less_alcohol_gives_off_more_gas():
    plain, poor = ferment.ferment(17.6, 2.4, 4.0), ferment.ferment(17.6, 2.4, 4.0, 0.95)

    assert poor.extract_kg == pytest.approx(plain.extract_kg, rel=1e-14)
    assert plain.ethanol_kg - poor.ethanol_kg == pytest.approx(poor.co2_kg - plain.co2_kg, rel=1e-9)


def test_wort_that_gains_extract_is_refused():
    with pytest.raises(OutsideValidity, match=r"original less real extract is -1 °P, but Balling"):
        ferment.ferment(88.0, 12.0, 13.0)


def test_apparent_extract_is_below_zero_in_a_very_dry_beer():
    apparent = ferment.apparent_extract(12.0, 1.5)

    assert apparent < 0
    assert ferment.real_extract(12.0, apparent) == pytest.approx(1.5, rel=1e-12)


@given(st.floats(0.4, 1.0), st.floats(0.4, 1.0), st.floats(20.0, 1000.0))
def test_the_smooth_least_is_never_above_either_nor_far_below(first, second, sharpness):
    least = ferment.smooth_least(first, second, sharpness)

    assert min(first, second) - 0.5 / sharpness - 1e-12 <= least <= min(first, second) + 1e-12


def test_yeast_that_stops_early_decides_and_so_does_a_dextrinous_wort():
    assert ferment.smooth_least(0.70, 0.85, 200.0) == pytest.approx(0.70, abs=1e-3)
    assert ferment.smooth_least(0.90, 0.62, 200.0) == pytest.approx(0.62, abs=1e-3)


def test_sugar_makes_malt_extract_ferment_as_far_as_the_worked_example(check):
    # 1.70 kg of malt extract (real limit 0.65) with 0.5 kg of sucrose: 73.0 % real, 90.6 % apparent.
    limit = ferment.apparent_of_mixed_extract([1.70, 0.5], [0.65, 1.0])

    what = "attenuation limit of malt extract with sugar"
    check(what, limit, 0.906, within=5e-4, source="derived", kind="slip")


def test_sugar_alone_ends_below_zero():
    # All of it gone: RE = 0, so the apparent extract is -0.195/0.805 of the original.
    limit = ferment.apparent_of_mixed_extract([1.0], [1.0])

    assert ferment.real_extract(10.0, 10.0 * (1 - limit)) == pytest.approx(0.0, abs=1e-12)


def test_lists_of_unequal_length_are_a_slip_of_the_program():
    with pytest.raises(ValueError, match="zip"):
        ferment.apparent_of_mixed_extract([1.0, 2.0], [0.65])
