"""Constants of acids and ion pairs against their abstracts, other measurements and a second program."""

from __future__ import annotations

import numpy as np
import pytest

from gylebook.errors import OutsideValidity
from gylebook.matter.acids import protons_given
from gylebook.matter.dissociation import activity_coefficient, constants, debye_huckel, log_constants
from published_tables import published, published_rows

# Columns of the table, our names, the sign, the source.
COLUMNS = (
    ("logKH_PB1982", "henry", 1, "plummer-busenberg-1982"),
    ("pK1_PB1982", "carbonic1", -1, "plummer-busenberg-1982"),
    ("pK2_PB1982", "carbonic2", -1, "plummer-busenberg-1982"),
    ("logKsp_calcite_PB1982", "calcite", 1, "plummer-busenberg-1982"),
    ("logK_CaHCO3_PB1982", "calcium_bicarbonate", 1, "plummer-busenberg-1982"),
    ("logK_CaCO3aq_PB1982", "calcium_carbonate", 1, "plummer-busenberg-1982"),
    ("pKw", "water", -1, "harned-1943"),
    ("pKP1_Bates1951", "phosphoric1", -1, "bates-1951"),
    ("pKP2_Bates_Acree", "phosphoric2", -1, "bates-1951"),
    ("pK_lactic_Martin_Tartar", "lactic", -1, "martin-tartar-1937"),
    ("pKcit1", "citric1", -1, "bates-pinching-1949"),
    ("pKcit2", "citric2", -1, "bates-pinching-1949"),
    ("pKcit3", "citric3", -1, "bates-pinching-1949"),
)


@pytest.mark.parametrize(("column", "name", "sign", "source"), COLUMNS)
def test_constants_are_those_of_a_second_program(column, name, sign, source, check):
    for temp_c, expected in published("water_constants", "temp_C", column):
        got, at = sign * log_constants(temp_c)[name], f"{temp_c:g} °C"
        # 6e-5: rounding of the table.
        check(f"log K, {column}", got, expected, within=6e-5, at=at, source=source, kind="slip")


@pytest.mark.parametrize(
    ("name", "log_k"),
    [
        ("henry", -1.468),
        ("carbonic1", -6.352),
        ("carbonic2", -10.329),
        ("calcite", -8.480),
        ("calcium_bicarbonate", 1.106),
        ("calcium_carbonate", 3.224),
    ],
)
def test_carbonate_at_25_degrees_is_as_its_abstract_says(name, log_k, check):
    # 6e-4: half of the last digit printed.
    what, got, source = "log K at 25 °C", log_constants(25.0)[name], "plummer-busenberg-1982"
    check(what, got, log_k, within=6e-4, at=name, source=source)


@pytest.mark.parametrize(("name", "log_k"), [("citric1", -3.128), ("citric2", -4.761), ("citric3", -6.396)])
def test_citric_acid_has_the_signs_that_its_abstract_misprints(name, log_k, check):
    # 0.002: the fit's own scatter about the measurements.
    what, got, source = "log K at 25 °C", log_constants(25.0)[name], "bates-pinching-1949"
    check(what, got, log_k, within=0.002, at=name, source=source)


@pytest.mark.parametrize(
    ("column", "name"), [("pK1_Harned_Davis", "carbonic1"), ("pK2_Harned_Scholes", "carbonic2")]
)
def test_carbonic_acid_agrees_with_cells_without_liquid_junction(column, name, check):
    for temp_c, expected in published("water_constants", "temp_C", column):
        if temp_c <= 50.0:  # where their measurements end
            got, at = -log_constants(temp_c)[name], f"{temp_c:g} °C"
            # 0.004: the two sets of measurements lie up to 0.0031 apart, at 50 °C.
            check(f"pK of carbonic acid, {name}", got, expected, within=0.004, at=at, source="harned-1943")


def test_activities_follow_davies_at_every_temperature(check):
    for temp_c, slope, single, double in published(
        "water_constants", "temp_C", "DebyeHuckel_A", "davies_gamma1_I0.01", "davies_gamma2_I0.01"
    ):
        at, gamma = f"{temp_c:g} °C", activity_coefficient(0.01, temp_c)
        source = "davies-1962"
        # 1e-4: rounding of the table, and its density of water, which differs in the fifth digit.
        check(
            "slope of Debye and Hückel",
            debye_huckel(temp_c),
            slope,
            within=1e-4,
            at=at,
            source=source,
            kind="slip",
        )
        check("γ of one charge", gamma, single, within=1e-4, at=at, source=source, kind="slip")
        check("γ of two charges", gamma**4, double, within=1e-4, at=at, source=source, kind="slip")


def test_bought_acids_give_up_their_protons_as_in_a_second_program(check):
    for row in published_rows("water_acids"):
        for ph in ("4.5", "5.0", "5.2", "5.4", "5.5", "5.6", "5.8", "6.0"):
            got = protons_given(row["acid"], float(ph), 25.0)
            expected = float(row[f"protons_per_mol_pH{ph}_I0.015"])
            at = f"{row['acid']} {row['percent_w_w']} % at pH {ph}"
            # 0.002: the table's first pK of phosphoric acid and pK of lactic acid are rounded to 0.01.
            check("protons given", got, expected, within=0.002, at=at, source="bates-1951", kind="slip")


def test_a_constant_is_the_same_for_one_temperature_as_for_many():
    one, many = constants(20.0), constants(np.array([20.0, 65.0]))

    for at_20, at_both in zip(one, many, strict=True):
        assert at_both[0] == pytest.approx(at_20, rel=1e-12)


def test_a_fahrenheit_temperature_is_recognised():
    with pytest.raises(OutsideValidity, match=r"149 °C.*it is 65\.0 °C"):
        constants(149.0)


def test_a_brine_is_beyond_davies():
    with pytest.raises(OutsideValidity, match=r"ionic_strength is 0\.7 mol/L.*Davies"):
        activity_coefficient(0.7, 20.0)


@pytest.mark.parametrize("ph", [-0.1, 14.5, float("nan")])
def test_a_ph_off_the_scale_is_refused(ph):
    with pytest.raises(OutsideValidity, match=r"ph is .*from 0 to 14"):
        protons_given("lactic", ph)
