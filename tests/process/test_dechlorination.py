"""Hold the removal of chlorine to its stoichiometry and to a field guide."""

from __future__ import annotations

import numpy as np
import pytest

from gylebook.errors import OutsideValidity, Refused
from gylebook.process import dechlorination as out
from published_tables import published_rows

TABLE = {
    (row["agent"], row["against"], row["unit"]): float(row["value"])
    for row in published_rows("water_dechlorination")
}
SODIUM, POTASSIUM = "sodium metabisulphite", "potassium metabisulphite"


@pytest.mark.parametrize(
    ("agent", "against"),
    [
        (SODIUM, "free chlorine"),
        (SODIUM, "monochloramine"),
        (POTASSIUM, "free chlorine or monochloramine"),
        ("ascorbic acid", "free chlorine"),
    ],
)
def test_an_agent_takes_up_what_its_formula_says(agent, against, check):
    expected = TABLE[agent, against, "mg per mg as Cl2"]

    # A slip-catcher: atomic weights of the last printed digit.
    of = {"unit": "mg/mg", "at": agent, "source": "atomic-masses", "kind": "slip"}
    check("powder for chlorine", out.agent_per_chlorine(agent), expected, within=3e-4, **of)


@pytest.mark.parametrize("agent", [SODIUM, POTASSIUM])
def test_a_figure_given_as_chloramine_is_read_as_chlorine_first(agent, check):
    per_chloramine = out.agent_per_chlorine(agent) * out.AS_CHLORINE

    of = {"unit": "mg/mg", "at": agent, "source": "atomic-masses", "kind": "slip"}
    expected = TABLE[agent, "monochloramine", "mg per mg NH2Cl"]
    check("powder for chloramine told as itself", per_chloramine, expected, within=3e-4, **of)


def test_what_is_left_behind_is_what_the_reactions_say(check):
    grams = 1e-3 * out.agent_per_chlorine(SODIUM)
    free = out.left_behind(SODIUM, 1.0, grams, chloramine=False)
    bound = out.left_behind(SODIUM, 1.0, grams, chloramine=True)
    kalium = out.left_behind(POTASSIUM, 1.0, 1e-3 * out.agent_per_chlorine(POTASSIUM))
    caco3 = 50.043

    cl2 = "mg {} per mg as Cl2"
    expected = {
        "sulphate": (free.sulphate_mg, TABLE["(any metabisulphite)", "sulphate formed", cl2.format("SO4")]),
        "chloride": (
            free.chloride_mg,
            TABLE["(any)", "chloride formed", cl2.format("Cl") + " (as HOCl or NH2Cl)"],
        ),
        "sodium": (free.sodium_mg, TABLE[SODIUM, "sodium added", cl2.format("Na")]),
        "potassium": (kalium.potassium_mg, TABLE[POTASSIUM, "potassium added", cl2.format("K")]),
        "alkalinity, chlorine": (
            caco3 * free.alkalinity_used_meq,
            TABLE["(metabisulphite)", "alkalinity used, HOCl", cl2.format("CaCO3")],
        ),
        "alkalinity, chloramine": (
            caco3 * bound.alkalinity_used_meq,
            TABLE["(metabisulphite)", "alkalinity used, NH2Cl", cl2.format("CaCO3")],
        ),
        "ammonium": (
            bound.ammonium_n_mg,
            TABLE["(metabisulphite)", "ammonium-N left, NH2Cl", cl2.format("N")],
        ),
    }
    for what, (got, wanted) in expected.items():
        of = {"unit": "mg/mg", "at": what, "source": "atomic-masses", "kind": "slip"}
        check("left by a milligram of chlorine", got, wanted, within=3e-4, **of)


def test_the_dose_lies_between_a_field_guide_and_a_tablet(check):
    # A field guide of water utilities, table 7-2: 1.47 mg/mg of sodium metabisulphite at pH 7; ours adds a
    # quarter.
    dose = 1e3 * out.agent_grams(SODIUM, 1.0, 1.0)
    assert 1.47 < dose < 1.47 * 1.25

    # Common practice: a tablet of 0.44 to 0.55 g for 75 L, taps of up to 3 mg/L of chlorine.
    grams = out.agent_grams(POTASSIUM, 3.0, 75.0)
    of = {"unit": "g", "at": "75 L", "source": "common-practice", "kind": "practice"}
    check.between("metabisulphite for a strongly chlorinated tap", grams, 0.35, 0.56, **of)


def test_thirty_litres_of_a_usual_tap_take_a_pinch():
    # 30 L x 2 mg/L x 1.568 x 1.25 by hand.
    assert out.agent_grams(POTASSIUM, 2.0, 30.0) == pytest.approx(0.118, abs=5e-4)


def test_what_did_not_react_stays_as_sulphite():
    # 1 mg of potassium metabisulphite is 0.576 mg of SO2, by its formula.
    spare = out.left_behind(POTASSIUM, 0.0, np.array([0.001, 0.01]))

    np.testing.assert_allclose(spare.sulphite_mg, [0.576, 5.76], rtol=1e-3)
    np.testing.assert_array_equal(spare.sulphate_mg, 0.0)


def test_ascorbic_acid_uses_half_the_alkalinity_that_sulphite_does():
    acid = out.left_behind("ascorbic acid", 1.0, 0.01, chloramine=False)
    sulphite = out.left_behind(SODIUM, 1.0, 0.01, chloramine=False)

    # HOCl + C6H8O6 -> C6H6O6 + H2O + H+ + Cl-: one proton.
    assert acid.alkalinity_used_meq == pytest.approx(1.0 / 70.9)
    assert sulphite.alkalinity_used_meq == pytest.approx(2.0 / 70.9)
    assert acid.sulphite_mg == 0.0


def test_ascorbic_acid_is_not_offered_where_there_may_be_chloramine():
    with pytest.raises(Refused, match=r"ascorbic acid; it was found not to remove chloramine"):
        out.agent_grams("ascorbic acid", 1.0, 30.0)

    assert out.agent_grams("ascorbic acid", 1.0, 30.0, chloramine=False) > 0.0


def test_a_tap_of_hundreds_of_milligrams_is_refused():
    with pytest.raises(OutsideValidity, match=r"chlorine is 200 mg/L as Cl2"):
        out.agent_grams(SODIUM, 200.0, 30.0)
