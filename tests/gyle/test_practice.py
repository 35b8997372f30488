"""Compare the forecast with what brewers have seen: common practice, no source; never tuned to.

The first case is read from files as a brewer writes them, and every figure in it is the published one.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from example_gyles import hop, latents, middling, vessel
from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.exchange.brewery_file import read_brewery
from gylebook.exchange.plan_file import read_plan
from gylebook.exchange.together import check_together
from gylebook.figures.draws import odds, summarise
from gylebook.gyle.forecast import Model
from gylebook.gyle.kettle import run_kettle
from gylebook.gyle.limits import limits
from gylebook.gyle.names import Named
from gylebook.gyle.wort import Wort
from gylebook.process.hops import iso_alpha_mg, utilisation_tinseth1997

FILES = Path(__file__).parents[1] / "practice" / "double-mash"
PRACTICE = {"source": "common-practice", "kind": "practice"}
DRAWS = 20_000  # 4,000 leave 0.1 L of noise in the width of an interval

# What the brewers got, and how wide an interval would be too wide to plan with.
SEEN = {
    "fermenters.volume_l": (40.0, 9.0),
    "og": (1.061, 0.016),
    "efficiency.fermenter": (0.755, None),
}


@pytest.fixture(scope="module")
def two_pots() -> tuple[Plan, Brewery]:
    plan = read_plan((FILES / "plan.toml").read_bytes(), where="plan.toml")
    brewery = read_brewery((FILES / "brewery.toml").read_bytes(), where="brewery.toml")
    check_together(plan, brewery)
    return plan, brewery


@pytest.fixture(scope="module")
def double_mash(two_pots: tuple[Plan, Brewery]) -> Named:
    model = Model(*two_pots)
    return model.forecast(latents(model, DRAWS))


@pytest.mark.parametrize("name", SEEN)
def test_the_double_mash_came_out_within_what_is_forecast(name, double_mash, capsys, check):
    seen, widest = SEEN[name]

    draws = np.asarray(double_mash[name])
    told = summarise(draws)

    with capsys.disabled():
        print(
            f"\n  {name}: {seen} seen, at the {100 * odds(draws < seen):.0f} % quantile "
            f"of {told.median:.4g} ({told.low:.4g} to {told.high:.4g})"
        )
    assert told.low <= seen <= told.high
    what = "share of futures below what the double mash gave"
    check.between(what, odds(draws < seen), 0.05, 0.95, at=name, **PRACTICE)
    if widest is not None:
        assert told.high - told.low < widest


def test_two_ounces_of_weak_hops_make_about_16_ibu_in_42_litres(check):
    # 57 g of 5.5 % alpha for 60 min in 41.6 L of 1.057: "about 16", so to the nearest whole number or two.
    brought = iso_alpha_mg(0.057, 0.055, utilisation_tinseth1997(1.057, 60.0))

    what, found = "bitterness by the utilisation", float(brought) / 41.6
    check(what, found, 16.0, within=1.5, unit="IBU", **PRACTICE)


def test_the_flow_finds_the_same_16_ibu(two_pots, check):
    plan, brewery = two_pots
    plan = replace(plan, hops=(hop("weak", 0.057, alpha=0.055, alpha_scatter=0.005),))
    model = Model(plan, brewery)
    figures = model.draw(middling(model))
    # A kettle that ends as 41.6 L of 1.057, 14.0 °P, after boiling off what this one boils off.
    mass_kg = 41.6 * 1.0552
    steam_kg = figures["boil_off_l_per_h"] * 0.998
    wort = Wort(water_kg=mass_kg * (1 - 0.1405) + steam_kg, extract_kg=mass_kg * 0.1405 + 0.0 * steam_kg)

    kettle = run_kettle(plan, brewery, figures, wort)

    assert float(kettle.end.volume_l[0]) == pytest.approx(41.6, abs=0.1)
    assert float(kettle.end.sg[0]) == pytest.approx(1.057, abs=0.0005)
    check("bitterness through the flow", kettle.ibu[0], 16.0, within=1.5, unit="IBU", **PRACTICE)


def kept(plan: Plan, brewery: Brewery, name: str) -> float:
    """Odds that one limit is kept."""
    model = Model(plan, brewery)
    rows = latents(model, 1_000)
    found = [x for x in limits(plan, brewery, model.draw(rows), model.course(rows)) if x.name == name]
    (limit,) = found
    return limit.odds_kept


def test_a_60_litre_kettle_holds_that_mash(two_pots):
    assert kept(*two_pots, "mash brim") > 0.95


def test_a_38_litre_pot_holds_that_dunk_rinse_and_a_19_litre_bucket_cannot(two_pots):
    plan, brewery = two_pots

    assert kept(plan, brewery, "rinse vessel brim") > 0.9
    assert kept(plan, vessel(brewery, "pot", capacity_l=19.0), "rinse vessel brim") < 0.01
