"""Hold the reader of concentrations to what laboratories and labels write, and to what must be asked back."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gylebook.errors import QuantityRefused
from gylebook.figures.concentration import ALKALINITY_MEQ, MOST, UNITS, read_concentration
from gylebook.matter.ions import CACO3_MASS, MOLAR_MASS
from gylebook.process.water_report import UNITS as TOLD

ACCEPTED = [
    ("180 mg/L as CaCO3", 180.0, "mg/L CaCO3"),
    ("180 mg/l CaCO₃", 180.0, "mg/L CaCO3"),
    ("180 ppm as CaCO3", 180.0, "mg/L CaCO3"),
    ("180 mg CaCO3/L", 180.0, "mg/L CaCO3"),
    ("180 mg L⁻¹ (as CaCO3)", 180.0, "mg/L CaCO3"),
    ("180 MG/L AS CACO3", 180.0, "mg/L CaCO3"),
    ("180 mg/L calcium carbonate", 180.0, "mg/L CaCO3"),
    ("220 mg/L as HCO3", 220.0, "mg/L HCO3"),
    ("220 mg/L HCO₃⁻", 220.0, "mg/L HCO3"),
    ("220 mg/l as bicarbonate", 220.0, "mg/L HCO3"),
    ("72 mg/L as Ca", 72.0, "mg/L Ca"),
    ("72 mg/L Ca++", 72.0, "mg/L Ca"),
    ("12 mg/L SO4-S", 12.0, "mg/L S"),
    ("12 mg/L as S", 12.0, "mg/L S"),
    ("12 mg/L sulphate-S", 12.0, "mg/L S"),
    ("5 mg/L NO3-N", 5.0, "mg/L N"),
    ("5 mg N/L", 5.0, "mg/L N"),
    ("0,2 mg/l NH₄-N", 0.2, "mg/L N"),
    ("5 mg/L as N", 5.0, "mg/L N"),
    ("3.6 mmol/L", 3.6, "mmol/L"),
    ("3600 µmol/L", 3.6, "mmol/L"),
    ("3.6 mol/m³", 3.6, "mmol/L"),
    ("3.6 mval/L", 3.6, "mEq/L"),
    ("3,6 meq/l", 3.6, "mEq/L"),
    ("3600 µeq/L", 3.6, "mEq/L"),
    ("3.6 epm", 3.6, "mEq/L"),
    ("3.6 mEq/L as CaCO3", 3.6, "mEq/L"),  # charges are charges, whoever carries them
    ("1.2 mmol/L as CaCO3", 2.4, "mEq/L"),  # a mole of the salt takes up two of acid
    ("2.5 mmol/L HCO3", 2.5, "mEq/L"),
    ("2500 µmol/L HCO3-", 2.5, "mEq/L"),
    ("12 °dH", 12.0, "°dH"),
    ("12 dH", 12.0, "°dH"),
    ("12 ° d", 12.0, "°dH"),
    ("12 dKH", 12.0, "°dH"),
    ("12 °KH", 12.0, "°dH"),
    ("12 KH", 12.0, "°dH"),
    ("12 German degrees", 12.0, "°dH"),
    ("120 mg/L CaO", 12.0, "°dH"),  # a German degree is 10 mg/L of CaO
    ("20 °f", 20.0, "°f"),
    ("20 °fH", 20.0, "°f"),
    ("20 °TH", 20.0, "°f"),
    ("14 °Clark", 14.0, "°e"),
    ("14 deg Clark", 14.0, "°e"),
    ("14 °e", 14.0, "°e"),
    ("10 gpg", 10.0, "gpg"),
    ("10 grains per gallon", 10.0, "gpg"),
    ("10 grains per imperial gallon", 10.0, "°e"),
    ("80 mg/L", 80.0, "mg/L"),
    ("80 mg per litre", 80.0, "mg/L"),
    ("80 mg·l-1", 80.0, "mg/L"),
    ("80 mg/dm3", 80.0, "mg/L"),
    ("80 mg dm⁻³", 80.0, "mg/L"),
    ("80 g/m3", 80.0, "mg/L"),
    ("80 mg/kg", 80.0, "mg/L"),
    ("80 ppm", 80.0, "mg/L"),
    ("80 µg/L", 0.08, "mg/L"),
    ("80 ug/l", 0.08, "mg/L"),
    ("80 ppb", 0.08, "mg/L"),
    ("0.08 g/L", 80.0, "mg/L"),
    ("½ mg/L", 0.5, "mg/L"),
    ("1.500 mg/L", 1.5, "mg/L"),
    ("1 500 mg/L", 1500.0, "mg/L"),
    ("0 mg/L", 0.0, "mg/L"),
]

OWN = [
    ("80 mg/L Ca", "Ca"), ("80 mg/L Ca2+", "Ca"), ("80 ppm calcium", "Ca"), ("80 mg Ca/L", "Ca"),
    ("80 mg/L SO4", "SO4"), ("80 mg/L SO₄²⁻", "SO4"), ("80 mg/L SO4--", "SO4"), ("80 mg/L as sulfate", "SO4"),
    ("80 mg/L Cl-", "Cl"), ("80 mg/L Cl⁻", "Cl"), ("80 mg/L Na+", "Na"), ("80 mg/L Mg", "Mg"),
    ("80 mg/L as NO3", "NO3"), ("80 mg/L HCO3-", "HCO3"), ("80 mg/L as Cl2", "Cl2"),
]  # fmt: skip

REFUSED = [
    ("1,500 mg/L", "either 1.5 mg/L or 1500 mg/L; which?"),
    ("1,500 µmol/L", "either 0.0015 mmol/L or 1.5 mmol/L; which?"),
    ("180", "a number without a unit"),
    ("", "not a number with a unit"),
    ("mg/L", "not a number with a unit"),
    ("nan mg/L", "not a number with a unit"),
    ("inf mg/L", "not a number with a unit"),
    ("1e3 mg/L", "1 of “e3 mg/L”, which is no concentration known here"),
    ("-5 mg/L", "understood as -5 mg/L; no water holds less than nothing"),
    ("2000000 mg/L", "understood as 2e+06 mg/L; no water holds so much"),
    ("< 5 mg/L", "a bound, not a figure; give half of it, or leave the line out"),
    ("70-90 mg/L", "more than one number; of a range take the middle"),
    ("420 µS/cm", "conductivity tells of all ions at once, of none alone"),
    ("5 lb", "5 of “lb”, which is no concentration known here"),
    ("80 mg/L Xy", "80 mg/L of “mg/L Xy”, which is nothing known here"),
    ("80 mg Ca/L as CaCO3", "which is nothing known here"),
    ("80 mg/L Mg", "understood as 80 mg/L Mg; here calcium is wanted, told in mg/L, "),
    ("9" * 60 + " mg/L", "not a number with a unit"),
]


@pytest.mark.parametrize(("text", "value", "unit"), ACCEPTED, ids=[row[0] for row in ACCEPTED])
def test_a_report_is_read_however_it_writes_its_units(text, value, unit):
    assert read_concentration(text, UNITS) == (pytest.approx(value, rel=1e-12), unit)


@pytest.mark.parametrize(("text", "own"), OWN)
def test_an_ion_told_as_itself_is_plain_milligrams(text, own):
    assert read_concentration(text, ["mg/L"], own=own) == (80.0, "mg/L")


@pytest.mark.parametrize(("text", "words"), REFUSED, ids=[row[0][:20] for row in REFUSED])
def test_what_could_mean_two_things_or_nothing_is_asked_back(text, words):
    with pytest.raises(QuantityRefused, match="here calcium is wanted, told in mg/L, ") as caught:
        read_concentration(text, UNITS, of="calcium", own="Ca")

    assert words in str(caught.value)


def test_an_alkalinity_in_plain_milligrams_is_asked_what_it_was_told_as():
    units = ["mEq/L", "mg/L CaCO3", "mg/L HCO3"]

    with pytest.raises(QuantityRefused, match="wanted") as caught:
        read_concentration("180 ppm", units, of="alkalinity", where="report.toml line 4")

    assert str(caught.value) == (
        "report.toml line 4: “180 ppm” is understood as 180 mg/L; milligrams of what? Write mg/L CaCO3 or "
        "mg/L HCO3; here alkalinity is wanted, told in mEq/L, mg/L CaCO3 or mg/L HCO3."
    )


def test_a_plural_is_not_taken_for_the_sulphur_in_it():
    with pytest.raises(QuantityRefused, match="nothing known here"):
        read_concentration("80 mg/L sulphates", UNITS, own="SO4")


def test_every_unit_that_a_water_report_may_have_is_known_by_its_name():
    wanted = {unit for units in TOLD.values() for unit in units}

    assert wanted == set(UNITS)
    assert all(read_concentration(f"7 {unit}", UNITS) == (7.0, unit) for unit in wanted)


def test_an_alkalinity_is_worth_what_the_atomic_weights_of_the_chemistry_say():
    caco3 = CACO3_MASS / 2.0
    of_salts = {"mg/L CaCO3": 1.0 / caco3, "°f": 10.0 / caco3, "°e": 14.254 / caco3, "gpg": 17.118 / caco3}
    of_ions = {"mg/L HCO3": 1.0 / MOLAR_MASS["bicarbonate"], "mg/L Ca": 2.0 / MOLAR_MASS["calcium"]}
    # A degree is 10 mg/L of CaO: calcium and an oxygen of 15.999.
    german = {"°dH": 20.0 / (MOLAR_MASS["calcium"] + 15.999)}

    assert dict(ALKALINITY_MEQ) == pytest.approx(
        {"mEq/L": 1.0, "mmol/L": 1.0, **of_salts, **of_ions, **german}, rel=1e-9
    )


def test_an_alkalinity_is_told_in_the_same_units_wherever_it_is_read():
    assert dict(TOLD["alkalinity"]) == ALKALINITY_MEQ


@given(st.one_of(st.text(max_size=70), st.text("0123456789 ,.-+<½mgLµlCasO3NS₃⁻°dHf/()", max_size=30)))
def test_no_text_ends_in_anything_but_a_figure_or_a_refusal(text):
    refused = None
    try:
        value, unit = read_concentration(text, UNITS)
    except QuantityRefused as problem:
        refused = problem

    if refused:
        assert refused.problems[0].accepted
    else:
        assert 0 <= value <= MOST
        assert unit in UNITS


@given(st.floats(0, 1e5, allow_subnormal=False), st.sampled_from(UNITS))
def test_a_figure_written_out_is_read_back(value, unit):
    written = f"{value:.12f}"

    assert read_concentration(f"{written} {unit}", UNITS) == (float(written), unit)
