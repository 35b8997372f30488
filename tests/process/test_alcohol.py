"""Alcohol by each formula against measured brews and a second program; attenuation; energy."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gylebook.errors import OutsideValidity
from gylebook.matter.extract import plato_from_sg, sg_from_plato
from gylebook.matter.spirit import ETHANOL_DENSITY, abv_from_mass_percent
from gylebook.matter.water import DENSITY_AT_20
from gylebook.process import alcohol, ferment
from published_tables import published, published_rows

BY_MASS = [
    # Largest error on the five means as the survey of the formulas states it, in per cent of the value.
    (alcohol.abw_balling, 0.025),
    (alcohol.abw_balling_classical, 0.029),
    (alcohol.abw_cutaia_2009, 0.020),
]
SETS = "means of five sets"
worts = st.floats(2.0, 30.0)
falls = st.floats(0.0, 1.0)


@pytest.mark.parametrize(("formula", "worst"), BY_MASS)
def test_alcohol_agrees_with_the_means_of_532_brews(formula, worst, check):
    # Measured alcohol; the paper's own regression has a standard error of 2.4 % a brew.
    original, apparent, measured = np.array(published("beer_cutaia_means", "OE_P", "AE_P", "ABW_pct")).T

    what, found = f"alcohol, {formula.__name__}", formula(original, apparent)

    check(what, found, measured, rel=worst, unit="% by mass", at=SETS, source="cutaia-2009")


def test_alcohol_from_density_agrees_with_the_means_of_532_brews(check):
    original, apparent, real, measured = np.array(
        published("beer_cutaia_means", "OE_P", "AE_P", "RE_P", "ABW_pct")
    ).T

    # 0.06 °P: real extract is printed to 0.01 and the quotient known to 0.005, worth 0.055 on these falls.
    found, made = alcohol.real_extract_tabarie(original, apparent), alcohol.abw_tabarie(original, apparent)
    at, source = SETS, "cutaia-2009"
    check("real extract from density", found, real, within=0.06, unit="°P", at=at, source=source)
    check("alcohol from density", made, measured, rel=0.025, unit="% by mass", at=at, source=source)


@pytest.mark.parametrize("row", published_rows("beer_cutaia_means"), ids=lambda row: row["dataset"])
def test_each_formula_on_the_means_comes_out_as_in_a_second_program(row, check):
    original, apparent, real = (float(row[c]) for c in ("OE_P", "AE_P", "RE_P"))

    for found, column in (
        (alcohol.abw_balling(original, apparent), "ABW_Balling_from_0.195_0.805"),
        (alcohol.abw_balling_classical(original, apparent), "ABW_Balling_from_AE"),
        (alcohol.abw_cutaia_2009(original, apparent), "ABW_Cutaia_a"),
        (alcohol.abw_cutaia_2009_from_real(original, real), "ABW_Cutaia_b"),
    ):
        what, of = f"alcohol of means, {column}", {"source": "cutaia-2009", "kind": "slip"}
        check(what, found, float(row[column]), within=6e-5, unit="% by mass", at=row["dataset"], **of)


@pytest.mark.parametrize("row", published_rows("beer_extract_alcohol"), ids=lambda row: row["OG"])
def test_alcohol_of_fifteen_beers_comes_out_as_in_a_second_program(row, check):
    value = {column: float(cell) for column, cell in row.items()}

    spread = alcohol.alcohol_spread(plato_from_sg(value["OG"]), plato_from_sg(value["FG"]))

    # From gravities only: rounding.
    def hold(what, found, column, source, within):
        of = {"unit": "% vol", "at": f"{row['OG']}", "source": source, "kind": "slip"}
        check(what, found, value[column], within=within, **of)

    hold("alcohol by custom", spread.custom, "ABV_131.25", "common-practice", 6e-4)
    hold("alcohol by Hall", spread.hall_1995, "ABV_Hall", "hall-1995", 6e-4)
    # °P there are the ASBC cubic's: 0.003 °P apart to 1.080, 0.016 at 1.120, and there a degree
    # is worth 0.68 % vol, 0.5 in ordinary beer.
    close = 0.003 if value["OG"] <= 1.080 else 0.012
    hold("alcohol by Balling", spread.balling_classical, "ABV_Balling_linearRE", "balling", close)
    hold("alcohol by Cutaia", spread.cutaia_2009, "ABV_Cutaia_a", "cutaia-2009", close)
    hold("alcohol by Tabarié", spread.tabarie, "ABV_Balling_Tabarie", "tabarie", close + 0.003)


@pytest.mark.parametrize(
    ("original", "apparent", "real", "abv", "final"),
    published("beer_extract_alcohol", "OE_P", "AE_P", "RE_P_Tabarie", "ABV_Balling_Tabarie", "FG"),
)
def test_real_extract_from_density_comes_out_as_in_a_second_program(
    original, apparent, real, abv, final, check
):
    # The cubic is 0.003 °P from our pair at 2 to 8 °P, where beer's own density is read.
    found = alcohol.real_extract_tabarie(original, apparent)

    made = abv_from_mass_percent(alcohol.abw_tabarie(original, apparent), final)
    of = {"at": f"{original:g} °P", "source": "tabarie", "kind": "slip"}
    check("real extract by Tabarié", found, real, within=0.006, unit="°P", **of)
    check("alcohol by Tabarié, from °P", made, abv, within=0.005, unit="% vol", **of)


@pytest.mark.parametrize(
    ("og", "fg", "custom", "hall", "balling", "cutaia", "tabarie"),
    [
        (1.036, 1.008, 3.68, 3.66, 3.70, 3.59, 3.63),
        (1.048, 1.010, 4.99, 5.06, 5.05, 4.95, 4.96),
        (1.050, 1.000, 6.56, 6.61, 6.64, 6.52, 6.54),
        (1.060, 1.012, 6.30, 6.51, 6.41, 6.34, 6.30),
    ],
)
def test_ordinary_beers_have_the_alcohol_that_each_school_says(
    og, fg, custom, hall, balling, cutaia, tabarie, check
):
    # Printed to 0.01 % vol, from °P of the ASBC cubic.
    spread = alcohol.alcohol_spread(plato_from_sg(og), plato_from_sg(fg))

    at = f"{og:.3f} to {fg:.3f}"
    for found, expected, within, source in (
        (spread.custom, custom, 0.006, "common-practice"),
        (spread.hall_1995, hall, 0.006, "hall-1995"),
        (spread.balling_classical, balling, 0.009, "balling"),
        (spread.cutaia_2009, cutaia, 0.009, "cutaia-2009"),
        (spread.tabarie, tabarie, 0.009, "tabarie"),
    ):
        what = "alcohol of ordinary beers"
        check(what, found, expected, within=within, unit="% vol", at=at, source=source, kind="slip")


@given(st.floats(8.0, 18.0), st.floats(0.5, 1.02))
def test_the_formulas_agree_to_about_what_is_known_in_beers_up_to_18_plato(original, fall):
    # Alcohol from two gravities is known to 2.5 % (one standard deviation).
    spread = alcohol.alcohol_spread(original, original * (1.0 - fall))
    trusted = spread[:4]

    assert max(trusted) - min(trusted) <= 0.032 * max(trusted) + 1e-9
    assert spread.lowest <= min(trusted)
    assert spread.highest >= max(trusted)


@given(worts)
def test_wort_before_it_ferments_has_no_alcohol(original):
    spread = alcohol.alcohol_spread(original, original)

    assert spread == pytest.approx([0.0] * 6, abs=1e-9)
    assert alcohol.real_extract_tabarie(original, original) == pytest.approx(original, rel=1e-9)


@given(worts, st.floats(0.01, 0.98), st.floats(0.001, 0.02))
def test_what_ferments_further_has_more_alcohol_by_every_formula(original, fall, further):
    before = alcohol.alcohol_spread(original, original * (1 - fall))
    after = alcohol.alcohol_spread(original, original * (1 - fall - further))

    assert all(more > less for more, less in zip(after, before, strict=True))


@given(worts, falls)
def test_the_density_rule_is_met_once_it_has_settled(original, fall):
    # One more turn by hand moves nothing.
    apparent = original * (1.0 - fall)
    real = alcohol.real_extract_tabarie(original, apparent)
    beer = alcohol.density_from_plato(apparent)
    abv = ferment.alcohol_balling(original, real) * beer / ETHANOL_DENSITY
    spirit = alcohol.ethanol_water_density(0.01 * alcohol.mass_percent_of_ethanol_water(max(abv, 0.0)), 20.0)
    strength = plato_from_sg((beer - spirit + 998.20123 - 1.2) / (DENSITY_AT_20 - 1.2))

    made_up = strength * alcohol.density_from_plato(strength) / beer
    assert made_up == pytest.approx(real, abs=1e-6)


def test_density_and_the_recommended_quotient_tell_the_same_real_extract(check):
    # (OE - RE)/(OE - AE) by densities is 0.805 ± 0.002 from 8 to 24 °P at 75 % apparent attenuation.
    original = np.linspace(8.0, 24.0, 9)
    apparent = 0.25 * original

    quotient = (original - alcohol.real_extract_tabarie(original, apparent)) / (original - apparent)

    what, at = "quotient of real by apparent fall", "8 to 24 °P"
    check(what, quotient, 0.805, within=0.002, at=at, source="tabarie", kind="slip")


@given(worts, falls)
def test_the_attenuation_of_the_asbc_is_the_mass_of_extract_that_went(original, fall):
    water, extract = 20.0 * (1 - original / 100), 20.0 * original / 100
    real = original * (1.0 - 0.9 * fall)

    out = ferment.ferment(water, extract, real)

    assert alcohol.real_attenuation_asbc(original, real) == pytest.approx(
        1 - out.extract_kg / extract, abs=1e-12
    )
    assert alcohol.real_attenuation_asbc(original, real) >= alcohol.real_attenuation(original, real)


def test_the_attenuation_of_the_asbc_has_the_factor_that_it_prints(check):
    # 0.005161, printed; from a value of 0.65 half its last digit makes 2e-6.
    plain, by_mass = alcohol.real_attenuation(12.0, 4.2), alcohol.real_attenuation_asbc(12.0, 4.2)

    assert plain == pytest.approx(0.65, rel=1e-14)
    assert by_mass == pytest.approx(plain / (1 - 0.005161 * 4.2), abs=3e-6)
    # One to two points, Savel et al. (2020).
    check.between(
        "attenuation of the ASBC above the plain one", by_mass - plain, 0.01, 0.02, source="savel-2020"
    )


@pytest.mark.parametrize(
    ("original", "real", "percent"), published("beer_extract_alcohol", "OE_P", "RE_P_linear", "RDF_pct")
)
def test_plain_attenuation_comes_out_as_in_a_second_program(original, real, percent, check):
    # Extract printed to 0.001 °P: 0.007 points at 7.6 °P.
    found, at = 100 * alcohol.real_attenuation(original, real), f"{original:g} °P"
    check("real attenuation", found, percent, within=0.01, unit="%", at=at, source="balling", kind="slip")


@pytest.mark.parametrize(
    ("abw", "real", "final", "kcal", "kcal_355"),
    published(
        "beer_extract_alcohol", "ABW_pct_Balling", "RE_P_linear", "FG", "kcal_per_100g", "kcal_per_355mL"
    ),
)
def test_energy_comes_out_as_in_a_second_program(abw, real, final, kcal, kcal_355, check):
    found = alcohol.energy(abw, real, final)

    by_mass, by_can = found.kcal_per_100_g, found.kcal_per_l * 0.355
    of = {"at": f"{real:g} °P", "source": "asbc-beer-33", "kind": "slip"}
    # 0.006: of strengths printed to 0.001.
    check("energy of 100 g", by_mass, kcal, within=0.006, unit="kcal", **of)
    check("energy of 355 mL", by_can, kcal_355, within=0.03, unit="kcal", **of)


def test_energy_agrees_with_the_factors_of_food_labels(check):
    # Regulation (EU) 1169/2011, annex XIV, from memory: 29 kJ/g alcohol and 17 kJ/g carbohydrate, rounded to
    # whole numbers, so to 3 %.
    strong, sweet = alcohol.energy(5.0, 0.0, 1.0), alcohol.energy(0.0, 10.1, 1.04)

    of = {"rel": 0.03, "unit": "kJ", "source": "eu-1169-2011"}
    check("energy of 5 g alcohol", strong.kj_per_100_g, 5 * 29.0, **of)
    check("energy of 10 g extract", sweet.kj_per_100_g, 10 * 17.0, **of)


def test_a_third_of_a_litre_of_ordinary_beer_has_about_160_kilocalories(check):
    # 1.050 to 1.010 with the classical real extract: 45.7 kcal per 100 g, 163 in 12 US fluid ounces.
    original, apparent = plato_from_sg(1.050), plato_from_sg(1.010)
    real = ferment.real_extract_classical(original, apparent)

    found = alcohol.energy(alcohol.abw_balling_classical(original, apparent), real, 1.010)

    by_mass, by_can = found.kcal_per_100_g, found.kcal_per_l * 0.355
    of = {"at": "1.050 to 1.010", "source": "asbc-beer-33", "kind": "slip"}
    check("energy of 100 g of ordinary beer", by_mass, 45.7, within=0.05, unit="kcal", **of)
    check("energy of 355 mL of ordinary beer", by_can, 163.4, within=0.2, unit="kcal", **of)
    # Kilojoules and litres are the same energy.
    assert found.kj_per_l == pytest.approx(found.kcal_per_l * 4.184, rel=1e-14)


def test_beer_with_no_more_extract_than_ash_has_the_energy_of_its_alcohol():
    assert alcohol.energy(4.0, 0.05, 0.995).kcal_per_100_g == pytest.approx(27.6, rel=1e-12)


def test_draws_take_the_same_path_as_numbers():
    original, apparent = np.array([10.0, 12.0, 16.0]), np.array([2.0, 2.5, -0.5])

    together = alcohol.alcohol_spread(original, apparent)

    for place, pair in enumerate(zip(original, apparent, strict=True)):
        assert [formula[place] for formula in together] == pytest.approx(
            list(alcohol.alcohol_spread(*pair)), rel=1e-13
        )


def test_beer_stronger_than_its_wort_is_refused():
    with pytest.raises(OutsideValidity, match=r"original less apparent extract is -1 °P, but a fermentation"):
        alcohol.alcohol_spread(12.0, 13.0)


def test_a_gravity_given_for_plato_is_recognised():
    with pytest.raises(OutsideValidity, match=r"plato is 48 °P.*If that was gravity points, it is 11\.9 °P"):
        alcohol.abv_by_custom(48.0, 10.0)


def test_the_final_gravity_is_what_makes_volume_of_mass():
    by_mass = alcohol.abw_balling(12.0, 2.5)

    assert alcohol.alcohol_spread(12.0, 2.5).balling == pytest.approx(
        by_mass * sg_from_plato(2.5) / 0.7907, rel=1e-12
    )
