"""Sample a posterior in ways that share no line with ours, to hold ours against.

In:  a day's model and its observations.
Out: draws of the latents on which the readings depend, by emcee with its DEMove alone (its snooker move
     shrinks sds) or by numpyro's NUTS in 64 bit.

Idea: the height of the posterior is written out here once more, from the definition: a standard normal prior,
and each reading either right or a slip.  NUTS sees the NumPy forecast through a callback whose gradient is
taken by central differences, all in one forecast.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy.special import log_ndtr

from gylebook.figures.draws import Array
from gylebook.gyle.forecast import Model
from gylebook.infer.likelihood import WIDTH, Observation

SIDE = 1e-4  # of a central difference, in prior sds
BEHIND = 25.0  # nats: the posterior has less than one draw in a thousand million there


@dataclass(frozen=True, eq=False)
class Target:
    """The posterior of the latents `informed`; the others stay at 0, where no reading sees them."""

    model: Model
    seen: tuple[Observation, ...]
    informed: np.ndarray
    floors: np.ndarray

    def height(self, inside: Array) -> Array:
        """Log posterior of rows (rows, informed), but for a constant."""
        latents = np.zeros((len(inside), len(self.model.figures)), order="F")
        latents[:, self.informed] = inside
        with np.errstate(all="ignore"):
            shown = self.model.readings_forecast(latents)
            total = -0.5 * np.square(inside).sum(axis=1)
            for observation, floor in zip(self.seen, self.floors, strict=True):
                gap = (observation.value - shown[observation.name]) / observation.error
                right = {"": -0.5 * gap**2, "above": log_ndtr(-gap), "below": log_ndtr(gap)}
                total += np.logaddexp(right[observation.beyond], floor)
        return np.where(np.isfinite(total), total, -np.inf)

    def height_and_slope(self, inside: Array) -> tuple[Array, Array]:
        """The height of one row and its gradient; where there is no forecast, no slope."""
        steps = SIDE * np.eye(inside.size)
        heights = self.height(np.concatenate([inside[None], inside + steps, inside - steps]))
        forth, back = heights[1 : 1 + inside.size], heights[1 + inside.size :]
        known = np.isfinite(forth) & np.isfinite(back)
        return heights[0], np.where(known, forth - np.where(known, back, 0.0), 0.0) / (2.0 * SIDE)


def target_of(model: Model, seen: Sequence[Observation]) -> Target:
    """The posterior of these observations; what they depend on is found by trying 300 draws."""
    rng, d = np.random.default_rng(11), len(model.figures)
    rows = np.asfortranarray(rng.standard_normal((300, d)))
    plain = model.readings_forecast(rows)
    informed = []
    for column in range(d):
        other = rows.copy(order="F")
        other[:, column] = rng.standard_normal(len(rows))
        moved = model.readings_forecast(other)
        if any(not np.array_equal(moved[name], plain[name]) for name in plain):
            informed.append(column)
    floors = []
    for observation in seen:
        # The forecast's spread is straight from the centre, as `Readings.with_floors` has it.
        def at(z: Array, name: str = observation.name) -> float:
            return float(model.readings_forecast(np.asfortranarray(z[None]))[name][0])

        slopes = [(at(SIDE * e) - at(-SIDE * e)) / (2.0 * SIDE) for e in np.eye(d)[informed]]
        spread = np.sqrt(observation.error**2 + np.square(slopes).sum())
        density = 0.5 if observation.beyond else np.sqrt(2 * np.pi) * observation.error / (WIDTH * spread)
        doubt = observation.doubt
        floors.append(np.log(doubt / (1.0 - doubt) * density) if doubt else -np.inf)
    return Target(model=model, seen=tuple(seen), informed=np.array(informed), floors=np.array(floors))


def walk(
    target: Target, right: Sequence[bool], walkers: int, burn_in: int, steps: int, seed: int
) -> tuple[Array, float]:
    """Draws by emcee, and the longest autocorrelation time in steps.

    The walkers start as the prior has them, where all readings look like slips, and some would stay behind
    for good; so they first walk as if it were known which are `right`, which a simulated day tells.  Where
    the conversion is full the forecast is flat in it, and a walker that came too far out finds no slope back:
    one that lies `BEHIND` of the middle after that first walk starts again beside another.
    """
    import emcee

    def sampler_of(height: Callable[[Array], Array]) -> emcee.EnsembleSampler:
        return emcee.EnsembleSampler(walkers, d, height, vectorize=True, moves=emcee.moves.DEMove())

    d = len(target.informed)
    start = np.random.default_rng(seed).standard_normal((walkers, d))
    seen = tuple(one for one, true in zip(target.seen, right, strict=True) if true)
    sure = sampler_of(replace(target, seen=seen, floors=np.full(len(seen), -np.inf)).height)
    sure.random_state = np.random.RandomState(seed).get_state()
    there = sure.run_mcmc(start, burn_in).coords
    heights = target.height(there)
    behind = heights < np.median(heights) - BEHIND
    there[behind] = there[np.flatnonzero(~behind)[: behind.sum()]]
    sampler = sampler_of(target.height)
    sampler.run_mcmc(there, burn_in // 4 + steps)
    time = float(np.max(sampler.get_autocorr_time(discard=burn_in // 4, quiet=True)))
    return sampler.get_chain(discard=burn_in // 4, flat=True), time


def nuts(target: Target, warm_up: int, draws: int, seed: int) -> tuple[Array, float]:
    """Draws by numpyro's NUTS, and the fewest effective ones of any latent."""
    import jax
    import numpyro

    jax.config.update("jax_enable_x64", True)
    potential = _seen_by_jax(target)
    kernel = numpyro.infer.NUTS(potential_fn=potential, dense_mass=True, target_accept_prob=0.8)
    sampler = numpyro.infer.MCMC(kernel, num_warmup=warm_up, num_samples=draws, progress_bar=False)
    start = jax.numpy.zeros(len(target.informed))
    sampler.run(jax.random.PRNGKey(seed), init_params=start)
    drawn = np.asarray(sampler.get_samples())
    effective = numpyro.diagnostics.effective_sample_size(drawn[None])
    return drawn, float(np.min(effective))


def _seen_by_jax(target: Target) -> Callable[[Array], Array]:
    """Minus the height as a function that jax may differentiate."""
    import jax

    value = jax.ShapeDtypeStruct((), np.float64)
    slope = jax.ShapeDtypeStruct((len(target.informed),), np.float64)

    def both(z: Array) -> tuple[Array, Array]:
        height, up = target.height_and_slope(np.asarray(z))
        return -height, -up

    @jax.custom_vjp
    def potential(z):  # type: ignore[no-untyped-def]
        return jax.pure_callback(both, (value, slope), z)[0]

    potential.defvjp(
        lambda z: jax.pure_callback(both, (value, slope), z), lambda slope, outer: (outer * slope,)
    )
    return potential  # type: ignore[no-any-return]
