"""Hold salts to their formulas, a scale to its steps, a stock solution to its handbook."""

from __future__ import annotations

import numpy as np
import pytest

from gylebook.errors import OutsideValidity, Refused
from gylebook.matter.solution import Solution
from gylebook.process import salts
from published_tables import published_rows

ION = {
    "Ca": "calcium",
    "Mg": "magnesium",
    "Na": "sodium",
    "K": "potassium",
    "Cl": "chloride",
    "SO4": "sulphate",
}
KEY = {
    "gypsum": "gypsum",
    "calcium sulphate hemihydrate": "gypsum-hemihydrate",
    "calcium chloride anhydrous": "calcium-chloride-anhydrous",
    "calcium chloride dihydrate": "calcium-chloride",
    "calcium chloride hexahydrate": "calcium-chloride-hexahydrate",
    "Epsom salt": "epsom-salt",
    "magnesium sulphate anhydrous": "magnesium-sulphate-anhydrous",
    "magnesium chloride hexahydrate": "magnesium-chloride",
    "sodium chloride": "common-salt",
    "potassium chloride": "potassium-chloride",
    "sodium hydrogen carbonate": "baking-soda",
    "calcium carbonate": "chalk",
    "calcium hydroxide": "slaked-lime",
    "sodium sulphate anhydrous": "sodium-sulphate",
}


@pytest.mark.parametrize("row", [row for row in published_rows("water_salts") if row["salt"] in KEY])
def test_a_gram_of_salt_brings_what_its_formula_says(row, check):
    salt = salts.SALTS[KEY[row["salt"]]]
    held = salts.mg_per_gram(salt)
    alkalinity = 1e3 * salts.totals_per_mole(salt)["alkalinity"] / salt.molar_mass

    # A slip-catcher: half of the last printed digit.
    of = {"at": salt.key, "source": "atomic-masses", "kind": "slip"}
    for short, ion in {**ION, "HCO3": "bicarbonate"}.items():
        expected = float(row[f"{short}_mg_per_g"])
        check(f"{ion} in a salt", held.get(ion, 0.0), expected, within=5.1e-3, unit="mg/g", **of)
    expected = float(row["alkalinity_mEq_per_g"])
    check("alkalinity of a salt", alkalinity, expected, within=5.1e-5, unit="mEq/g", **of)


def test_every_salt_of_the_table_is_known():
    sulphites = {"sodium metabisulphite", "potassium metabisulphite"}  # these are in dechlorination

    assert {row["salt"] for row in published_rows("water_salts")} - sulphites == set(KEY)
    assert set(KEY.values()) == set(salts.SALTS)


def test_eight_grams_of_gypsum_in_a_mash_bring_the_calcium_that_a_label_says():
    # 8 g in 41 L, 232.8 mg of calcium a gram.
    liquor = salts.with_salts(Solution(), {"gypsum": 8.0 / 41.0})

    assert liquor.calcium * 40.078 == pytest.approx(45.4, abs=0.1)
    assert liquor.alkalinity == 0.0


def test_a_salt_that_acts_in_part_brings_a_part():
    acting = np.array([0.4, 0.8])
    liquor = salts.with_salts(Solution(), {"slaked-lime": 0.1}, {"slaked-lime": acting})

    # 26.99 mEq/g.
    np.testing.assert_allclose(liquor.alkalinity, 2.699 * acting, rtol=1e-3)
    np.testing.assert_allclose(liquor.calcium, 0.5 * np.asarray(liquor.alkalinity))


def test_soda_brings_carbonate_with_its_alkalinity_and_lime_none():
    soda = salts.with_salts(Solution(), {"baking-soda": 0.5})
    lime = salts.with_salts(Solution(), {"slaked-lime": 0.5})

    assert soda.carbonate == pytest.approx(soda.alkalinity)
    assert lime.carbonate == 0.0


@pytest.mark.parametrize(("key", "caution"), [("slaked-lime", salts.CAUSTIC), ("gypsum", "")])
def test_lime_carries_a_caution(key, caution):
    assert salts.SALTS[key].caution == caution


def test_more_gypsum_than_dissolves_is_refused():
    with pytest.raises(
        Refused, match=r"salt gypsum: 3 g in each litre; no more than 2\.2 g/L of it dissolves"
    ):
        salts.with_salts(Solution(), {"gypsum": 3.0})


def test_less_than_no_salt_is_refused():
    with pytest.raises(OutsideValidity, match=r"salt gypsum is -0\.1 g/L"):
        salts.with_salts(Solution(), {"gypsum": -0.1})


def test_an_unknown_salt_is_answered_with_those_known():
    with pytest.raises(Refused, match=r"“natron”.*known are gypsum, "):
        salts.with_salts(Solution(), {"natron": 0.1})


@pytest.mark.parametrize(
    ("grams", "step", "shown", "caution"),
    [
        (7.96, 0.1, 8.0, ""),
        (0.74, 0.1, 0.7, salts.FINER_SCALE),
        (0.74, 0.01, 0.74, ""),
        (0.04, 0.1, 0.0, salts.NOTHING_LEFT),
        (0.0, 0.1, 0.0, ""),
    ],
)
def test_a_scale_shows_whole_steps_and_says_when_that_is_too_coarse(grams, step, shown, caution):
    assert salts.weighed(grams, step) == (shown, 0.5 * step, caution)


def test_a_third_of_calcium_chloride_is_the_stock_solution_of_the_trade():
    # 33 % w/w, 1.316 g/mL: 0.434 g/mL, which is 157 mg of calcium (361.1 mg/g), worked out by hand.
    held = salts.calcium_chloride_g_per_ml(33.0)

    assert held == pytest.approx(0.434, abs=5e-4)
    assert held * 361.13 == pytest.approx(157.0, abs=0.5)
