"""Hold the whole day to simulated days: what a brewer is told must be right as often as it says.

A day is drawn from the model itself, its readings with their instruments' own errors; then the forecast is
conditioned on them, and the truth must fall anywhere among its draws equally often.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from scipy.stats import chisquare

from gylebook.brewery.instruments import Reading
from gylebook.exchange.brewery_file import read_brewery
from gylebook.exchange.plan_file import read_plan
from gylebook.figures.draws import standard_normal_latents
from gylebook.gyle.forecast import Model
from gylebook.gyle.observe import observables
from gylebook.infer.condition import condition
from gylebook.infer.likelihood import Observation

FILES = Path(__file__).parents[1] / "practice" / "double-mash"
DRAWS, KEPT = 1000, 99
TOLD = ("og", "fermenters.volume_l", "efficiency.fermenter", "portion.first.fg")
READ = (
    ("mash", "gravity", "refractometer"),
    ("lift", "mass", "scale"),
    ("preboil", "volume", "dipstick"),
    ("preboil", "gravity", "hydrometer"),
    ("boil end", "volume", "dipstick"),
)


def simulated(days: int) -> tuple[np.ndarray, float]:
    """Rank of the truth among 99 draws, by day and number told; share of days taken the usual way."""
    plan = read_plan((FILES / "plan.toml").read_bytes(), where="plan.toml")
    brewery = read_brewery((FILES / "brewery.toml").read_bytes(), where="brewery.toml")
    readings = [Reading(step=s, quantity=q, value=1.0, instrument=i) for s, q, i in READ]  # type: ignore[arg-type]
    model = Model(plan, brewery, observables(readings, plan, brewery))
    told = [name for name in TOLD if name in model.forecast(np.zeros((1, len(model.figures)), order="F"))]
    rng = np.random.default_rng(20_260)
    ranks, trusted = [], 0
    for day in range(days):
        truth = np.asfortranarray(rng.standard_normal((1, len(model.figures))))
        shown, real = model.readings_forecast(truth), model.forecast(truth)
        seen = [
            Observation(
                name=o.name, value=float(shown[o.name][0] + o.error * rng.standard_normal()), error=o.error
            )
            for o in model.seen
        ]
        prior = standard_normal_latents(DRAWS, len(model.figures), 50_000 + day)
        posterior = condition(model.readings_forecast, prior, seen, seed=day)
        trusted += posterior.diagnostic.method == "importance"
        some = np.asfortranarray(posterior.latents[rng.permutation(DRAWS)[:KEPT]])
        named = model.forecast(some)
        ranks.append([int(np.sum(named[name] < real[name])) for name in told])
    return np.array(ranks), trusted / days


@pytest.mark.long
def test_the_truth_of_a_thousand_days_ranks_evenly_and_lies_in_the_interval_as_often_as_said():
    ranks, trusted = simulated(1000)

    for column in ranks.T:
        # Talts et al. (2018): uniform ranks; one false alarm in 1,000 for each number.
        assert chisquare(np.bincount(column // 10, minlength=10)).pvalue > 0.001
        inside = np.mean((column >= 5) & (column < 95))
        # 90 %: 1,000 days know it to 0.95 points, so 88 to 92.
        assert 0.88 < inside < 0.92
    assert trusted >= 0.99
