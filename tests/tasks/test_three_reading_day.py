"""A day with three readings: what the tool says of it agrees with a sampler that shares no line with it.

The likelihood is the model's own; the way from it to a posterior is not: ours climbs, proposes and weighs,
emcee (Foreman-Mackey et al. 2013, PASP 125, 306) walks.  Its DEMove alone is used, as the snooker
move shrinks sds.
"""

from __future__ import annotations

import emcee
import numpy as np
import pytest

from command_line import PRACTICE
from gylebook.brewery.instruments import Reading
from gylebook.gyle.forecast import Model
from gylebook.matter.extract import plato_from_sg
from gylebook.tasks.files import load_brewery, load_plan
from gylebook.tasks.outlook import look_ahead

DRAWS = 8000
WALKERS, BURN_IN, STEPS, THIN = 300, 800, 2400, 20

# A mash that gave a little less than usual, into a kettle a little emptier: within what can be expected.
READINGS = (
    Reading(step="mash", quantity="gravity", value=float(plato_from_sg(1.0615)), instrument="hydrometer"),
    Reading(step="preboil", quantity="volume", value=48.6, instrument="dipstick", temperature_c=70.0),
    Reading(step="preboil", quantity="gravity", value=float(plato_from_sg(1.0500)), instrument="hydrometer"),
)
NAMES = (
    "mash.gravity",
    "efficiency.conversion",
    "efficiency.lauter",
    "efficiency.kettle",
    "efficiency.fermenter",
    "grain.retained_l_per_kg",
    "kettle.preboil.volume_l",
    "kettle.preboil.gravity",
    "kettle.end.gravity",
    "fermenters.volume_l",
    "og",
    "ibu",
    "portion.first.volume_l",
    "portion.first.abv",
    "portion.second.packaged_l",
)


@pytest.fixture(scope="module")
def ours():
    plan, brewery = load_plan(PRACTICE / "plan.toml"), load_brewery(PRACTICE / "brewery.toml")
    return look_ahead(plan, brewery, READINGS, draws=DRAWS, seed=3)


@pytest.fixture(scope="module")
def before(ours):
    return look_ahead(ours.asked, ours.brewery, draws=DRAWS, seed=3)


def touched(model: Model) -> list[int]:
    """The latents on which the three readings depend at all."""
    rng = np.random.default_rng(11)
    rows = np.asfortranarray(rng.standard_normal((500, len(model.figures))))
    plain = model.readings_forecast(rows)
    found = []
    for column in range(rows.shape[1]):
        other = rows.copy(order="F")
        other[:, column] = rng.standard_normal(len(rows))
        moved = model.readings_forecast(other)
        if any(not np.array_equal(moved[name], plain[name]) for name in plain):
            found.append(column)
    return found


@pytest.fixture(scope="module")
def walked(ours):
    """Named draws from emcee, and its longest autocorrelation time in steps.

    Latents that no reading depends on drop out of the likelihood and are independent of the others before it,
    so their posterior is their prior, exactly: the rest is walked, those are drawn.
    """
    model = ours.model
    columns, width = touched(model), len(model.figures)
    seen = [(o.name, o.value, o.error) for o in model.seen]

    def log_posterior(rows):
        latents = np.zeros((len(rows), width), order="F")
        latents[:, columns] = rows
        shown = model.readings_forecast(latents)
        misses = sum(((shown[name] - value) / error) ** 2 for name, value, error in seen)
        return -0.5 * (misses + np.sum(rows**2, axis=1))

    rng = np.random.default_rng(5)
    np.random.seed(5)  # emcee draws from NumPy's global generator
    sampler = emcee.EnsembleSampler(
        WALKERS, len(columns), log_posterior, moves=emcee.moves.DEMove(), vectorize=True
    )
    start = sampler.run_mcmc(0.5 * rng.standard_normal((WALKERS, len(columns))), BURN_IN)
    sampler.reset()
    sampler.run_mcmc(start, STEPS)
    steps = float(np.max(sampler.get_autocorr_time(tol=0)))
    chain = sampler.get_chain(thin=THIN, flat=True)
    latents = np.asfortranarray(rng.standard_normal((len(chain), width)))
    latents[:, columns] = chain
    return model.forecast(latents), steps


def test_three_readings_touch_a_part_of_the_figures_only(ours):
    names = {ours.model.figures[column].name for column in touched(ours.model)}
    assert {"conversion", "retained_l_per_kg", "rinse.mixing", "instrument.hydrometer.bias"} <= names
    assert not any(name.startswith(("chill.", "heat.", "hops.", "portion.")) for name in names)


def test_the_walk_was_long_enough(walked):
    # 50 autocorrelation times is emcee's own rule; 300 walkers then hold at least 15,000 independent draws.
    _, steps = walked
    assert 50 * steps < STEPS


def test_the_usual_way_of_conditioning_held(ours):
    found = ours.diagnostic
    assert found.method == "importance"
    assert found.effective_draws > 2000
    assert all(abs(misfit.from_rest) < 3 for misfit in found.misfits)


@pytest.mark.parametrize("name", NAMES)
def test_middle_and_spread_agree_with_the_walk(ours, walked, name):
    # With 4,000 effective draws on either side a mean is known to 0.02 sd and an sd to 1.5 %.
    mine, theirs = np.asarray(ours.draws[name]), np.asarray(walked[0][name])
    assert np.mean(mine) == pytest.approx(np.mean(theirs), abs=0.1 * np.std(theirs))
    assert np.std(mine) == pytest.approx(np.std(theirs), rel=0.1)


@pytest.mark.parametrize("share", [0.05, 0.95])
@pytest.mark.parametrize("name", ["og", "fermenters.volume_l", "efficiency.conversion"])
def test_the_interval_that_is_shown_agrees_too(ours, walked, name, share):
    # A 5 % quantile of 4,000 normal draws is known to 0.033 sd.
    mine, theirs = np.asarray(ours.draws[name]), np.asarray(walked[0][name])
    assert np.quantile(mine, share) == pytest.approx(np.quantile(theirs, share), abs=0.12 * np.std(theirs))


@pytest.mark.parametrize(
    "name", ["og", "fermenters.volume_l", "efficiency.conversion", "portion.first.volume_l"]
)
def test_what_was_read_narrows_what_follows(ours, before, name):
    assert ours.numbers[name].sd < 0.9 * before.numbers[name].sd


def test_figures_that_were_not_read_stay_as_they_were(ours, before):
    # Up to the noise of resampling: 0.05 sd is three times its sd.
    for name in ("boil_off_l_per_h", "portion.first.attenuation", "walls_l"):
        plain = np.asarray(before.figures[name])
        assert np.mean(ours.figures[name]) == pytest.approx(np.mean(plain), abs=0.06 * np.std(plain))
