"""Hold the search for salts to a second program's ions and misses, to bounds, and to what cannot be done."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog

from gylebook.errors import Refused
from gylebook.matter.ions import MOLAR_MASS
from gylebook.matter.solution import Solution
from gylebook.process.liquor import reverse_osmosis
from gylebook.process.salt_doses import NEUTRAL_SALTS, TOLERANCE, Aim, aims, salt_doses
from gylebook.process.salts import SALTS, with_salts
from published_tables import published_rows

ION = {
    "Ca": "calcium",
    "Mg": "magnesium",
    "Na": "sodium",
    "Cl": "chloride",
    "SO4": "sulphate",
    "HCO3": "alkalinity",
}
SEVEN = (*NEUTRAL_SALTS, "baking-soda", "slaked-lime")
HARD = Solution(calcium=2.62, magnesium=0.2, sodium=0.5, chloride=0.7, sulphate=0.26, alkalinity=4.6)


def mass(ion: str) -> float:
    """Molar mass, alkalinity told as bicarbonate. [g/mol]"""
    return MOLAR_MASS["bicarbonate" if ion == "alkalinity" else ion]


def mmol(**mg: float) -> dict[str, float]:
    return {ion: value / mass(ion) for ion, value in mg.items()}


@pytest.mark.parametrize("row", published_rows("water_salt_solver"), ids=lambda row: row["case"])
def test_ions_and_miss_are_those_of_a_second_program(row, check):
    source = Solution(**mmol(**{ion: float(row[f"src_{short}"]) for short, ion in ION.items()}))
    wanted = aims(mmol(**{ion: float(row[f"target_{short}"]) for short, ion in ION.items()}))

    found = salt_doses(source, wanted, SEVEN, slack=0.0)

    # A slip-catcher: half of the last printed digit, and 1e-4 of a tolerance that weight of salt costs here.
    of = {"at": row["case"], "source": "derived", "kind": "slip"}
    for short, ion in ION.items():
        got, expected = getattr(found.liquor, ion) * mass(ion), float(row[f"nnls_result_{short}"])
        check(f"{ion} of the best recipe", got, expected, within=7e-3, unit="mg/L", **of)
    check(
        "miss of the best recipe", found.miss, float(row["nnls_weighted_residual_norm"]), within=5.5e-4, **of
    )


def test_the_fewest_salts_are_taken_where_several_recipes_reach_the_target():
    # Two recipes of two salts add to the same ions; any three of the four salts at hand do as well.
    wanted = mmol(calcium=60.0, chloride=106.1, magnesium=0.0, sodium=0.0, sulphate=0.0)

    assert list(salt_doses(Solution(), aims(wanted)).grams_per_l) == ["calcium-chloride"]


def test_a_pinch_that_hardly_matters_is_left_out():
    wanted = mmol(calcium=110.0, magnesium=10.0, sodium=15.0, chloride=60.0, sulphate=220.0, alkalinity=16.0)
    source = Solution(**mmol(calcium=8, magnesium=1.5, sodium=6, chloride=9, sulphate=10, alkalinity=16))

    every = salt_doses(source, aims(wanted), SEVEN, slack=0.0)
    few = salt_doses(source, aims(wanted), SEVEN)

    assert len(few.grams_per_l) < len(every.grams_per_l)
    assert few.miss - every.miss < 0.05


def test_weights_are_of_the_salt_as_it_is_and_not_as_its_formula():
    wanted = aims(mmol(calcium=60.0, chloride=106.1))
    found = salt_doses(Solution(), wanted, ["calcium-chloride"])

    # 60 mg/L at 272.6 mg a gram, of which 0.98 acts.
    assert found.grams_per_l["calcium-chloride"] == pytest.approx(60.0 / 272.62 / 0.98, rel=1e-3)


def test_a_target_that_is_not_neutral_is_told_by_how_much():
    found = salt_doses(Solution(), aims(mmol(calcium=80.0, sulphate=0.0, chloride=0.0)))

    # 80 mg/L of calcium with no anion: 3.99 mEq/L.
    assert found.charge_gap == pytest.approx(3.992, abs=1e-3)


def test_an_ion_keeps_within_its_bounds_though_others_then_miss_more():
    wanted, salts = mmol(calcium=145.0, sulphate=250.0, chloride=40.0), ["gypsum", "calcium-chloride"]
    most = {"sulphate": (0.0, 252.0 / MOLAR_MASS["sulphate"])}
    free = salt_doses(Solution(), aims(wanted), salts)
    bound = salt_doses(Solution(), aims(wanted, most), salts)

    assert free.liquor.sulphate * MOLAR_MASS["sulphate"] > 253.0
    assert bound.liquor.sulphate * MOLAR_MASS["sulphate"] <= 252.0 + 1e-3
    assert bound.miss > free.miss
    assert bound.outside == ()


def test_an_ion_that_the_tap_has_too_much_of_gets_no_more():
    wanted = aims(mmol(calcium=90.0, chloride=20.0), {"chloride": (0.0, 22.0 / MOLAR_MASS["chloride"])})
    source = Solution(**mmol(calcium=60.0, chloride=90.0))

    found = salt_doses(source, wanted)

    assert found.liquor.chloride == pytest.approx(source.chloride)
    assert found.outside == ("chloride",)


def test_leasts_give_way_where_they_cannot_be_met():
    wanted = aims(mmol(sodium=50.0, chloride=0.0), {"sodium": (2.0, 3.0), "chloride": (0.0, 0.0)})

    found = salt_doses(Solution(), wanted, ["common-salt"])

    assert found.outside == ("sodium",)
    assert found.grams_per_l == {}


def test_purer_water_brings_down_what_no_salt_can():
    wanted = aims(mmol(calcium=52.5, magnesium=2.4, alkalinity=140.0))
    found = salt_doses(HARD, wanted, NEUTRAL_SALTS, reverse_osmosis(HARD, 0.0))

    # All three are half of the tap's, so half of it is replaced and nothing weighed.
    assert found.purer_share == pytest.approx(0.5, abs=0.01)
    assert found.miss < 0.1


def test_a_recipe_weighed_out_gives_the_liquor_told():
    wanted = aims(mmol(calcium=110.0, chloride=60.0, sulphate=180.0))
    found = salt_doses(HARD, wanted)

    again = with_salts(HARD, found.grams_per_l)
    assert again.calcium == pytest.approx(found.liquor.calcium)
    assert found.misses["calcium"] == pytest.approx(float(again.calcium) - wanted["calcium"].target, abs=1e-6)


@settings(max_examples=30, deadline=None)
@given(st.lists(st.floats(0.0, 4.0), min_size=5, max_size=5), st.integers(0, 2**32 - 1))
def test_no_other_recipe_comes_closer(targets, seed):
    names = ("calcium", "magnesium", "sodium", "chloride", "sulphate")
    wanted = aims(dict(zip(names, targets, strict=True)))
    found = salt_doses(HARD, wanted, slack=0.0)
    trials = np.random.default_rng(seed).exponential(0.1, (20, len(NEUTRAL_SALTS)))

    def miss(grams: dict[str, float]) -> float:
        liquor = with_salts(HARD, grams)
        return float(
            np.sqrt(sum(((getattr(liquor, i) - a.target) / a.tolerance) ** 2 for i, a in wanted.items()))
        )

    others = [miss(dict(zip(NEUTRAL_SALTS, trial.tolist(), strict=True))) for trial in trials]
    nudged = [
        miss({**found.grams_per_l, key: found.grams_per_l.get(key, 0.0) + 0.01}) for key in NEUTRAL_SALTS
    ]
    # 2e-4: what the weight of the salts costs.
    assert found.miss <= min(others + nudged) + 2e-4


def test_every_fault_of_a_target_is_told_at_once():
    wanted = {"calcium": -1.0, "bitterness": 3.0, "sulphate": 5.0}
    with pytest.raises(Refused) as refused:
        aims(wanted, {"sulphate": (0.0, 2.0)})

    assert [problem.where for problem in refused.value.problems] == [
        "target calcium",
        "target",
        "target sulphate",
    ]


def test_too_many_salts_are_refused():
    with pytest.raises(Refused, match=r"10 of them; up to 9 salts"):
        salt_doses(HARD, {"calcium": Aim(2.0, TOLERANCE["calcium"])}, list(SALTS)[:10])


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 2**32 - 1))
def test_bounds_are_kept_wherever_a_linear_programme_finds_that_they_can_be(seed):
    rng = np.random.default_rng(seed)
    source = Solution(**{ion: float(rng.exponential(0.8)) for ion in ION.values()})
    wanted = {}
    for ion in ION.values():
        target = float(rng.exponential(1.2))
        low, high = (float(limit) for limit in target + np.array([-1.0, 1.0]) * rng.exponential(0.8, 2))
        wanted[ion] = Aim(target, TOLERANCE[ion], max(low, 0.0), high)
    a_gram = [with_salts(source, {key: 1.0}) for key in NEUTRAL_SALTS]
    effect = np.array([[getattr(one, ion) - getattr(source, ion) for one in a_gram] for ion in wanted])
    start = np.array([getattr(source, ion) for ion in wanted])
    most, least = (np.array([getattr(aim, bound) for aim in wanted.values()]) for bound in ("most", "least"))
    possible = linprog(
        np.zeros(len(a_gram)),
        A_ub=np.vstack([effect, -effect]),
        b_ub=np.concatenate([most - start, start - least]),
    )

    found = salt_doses(source, wanted)

    assert (found.outside == ()) == (possible.status == 0)
