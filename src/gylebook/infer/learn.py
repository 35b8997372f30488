r"""Learn the levels and the scatters of a house from all its brews.

In:  how levels, scatters and memory are spread before any brew; the `Evidence` of each brew, oldest first.
Out: `Learned`: weighted guesses of the scatters, each with the exact posterior of the levels that goes with
     it; what they say of the next brew; and how far the weights can be trusted.

Idea: levels are integrated out exactly (`levels`), so only the scatters are searched: a few steps of Fisher
scoring climb near the most likely ones, guesses are drawn around them, and each is weighed by what it should
have been.  Where the weights show a tail the proposal is refitted and they are drawn anew.  The number of
guesses falls with the number of brews down to a floor, as more brews leave less to guess: cost is linear.

References
----------
.. [1] A. Harvey, "Forecasting, structural time series models and the Kalman filter" (1989), 3.4: likelihood
   by one-step-ahead forecasts and its information matrix.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gylebook.figures.draws import Array
from gylebook.infer.levels import NO_SCATTER, Evidence, Guesses, Levels, pass_over
from gylebook.infer.psis import effective_draws, pareto_smoothed
from gylebook.infer.resample import resampled_rows

STREAM = 4_211  # keeps these random numbers apart from those of latents with the same seed
FEWEST, MOST, BUDGET = 64, 512, 40_000  # guesses, and guesses times brews aimed at
SOME = 200  # brews on which the climb begins
CLIMBS, LONGEST, NEARLY = 8, 0.7, 0.3
LAST_STEPS, SETTLED, STEP = 4, 0.3, 0.05
WIDER = 1.05  # than the curvature says: the likelihood falls off more slowly towards small scatters
FREEDOM = 12.0
GOOD, ROUNDS = 0.5, 4
GROWTH = 1.5


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class House:
    """What is known of a house before any brew.

    `start` is the covariance of its states.  Logarithms of the scatters and of the memory [years] are normal
    with middle `middle` and sd `spread`, (families + 1,), the memory last.
    """

    start: Array
    middle: Array
    spread: Array

    @property
    def tightness(self) -> Array:
        """Precision of each logarithm before any brew."""
        return 1.0 / np.square(self.spread)

    def guesses(self, at: Array) -> Guesses:
        """Guesses from rows of logarithms, (guesses, families + 1)."""
        return Guesses(scatter=np.exp(at[:, :-1]), memory=np.exp(at[:, -1]))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Figures:
    """Mean and covariance of figures of a brew that is still to come, in their standardised space."""

    mean: Array
    covariance: Array


@dataclass(slots=True, kw_only=True, eq=False)
class Learned:
    """Levels and scatters of a house given its brews so far.

    `weights` (guesses,) sum to one.  `pareto_k` is infinite where no tail can be fitted.
    """

    house: House
    levels: Levels
    weights: Array
    pareto_k: float

    @property
    def effective(self) -> float:
        """How many equally weighted guesses these are worth."""
        return effective_draws(self.weights)

    def take(self, brew: Evidence) -> None:
        """Move on by one brew, without proposing new guesses."""
        with np.errstate(divide="ignore"):
            height = np.log(self.weights) + self.levels.take(brew).log_likelihood
        raw = np.exp(height - height.max())
        self.weights = raw / raw.sum()

    def level(self, made_of: Array) -> Figures:
        """The house's own levels, written as sums of states (c, states)."""
        return self._mixed(made_of, np.zeros((len(self.weights), len(made_of))))

    def next_brew(self, made_of: Array, family: NDArray[np.intp]) -> Figures:
        """Figures of the next brew: the levels with what they are still unsure by, and the brew's scatter."""
        return self._mixed(made_of, self.levels.guesses.squared(family))

    def _mixed(self, made_of: Array, scatter: Array) -> Figures:
        """Mean and covariance of the mixture over all guesses."""
        each = self.levels.mean @ made_of.T
        mean = self.weights @ each
        within = np.einsum("m,mij->ij", self.weights, self.levels.covariance)
        apart = each - mean
        covariance = made_of @ within @ made_of.T + np.diag(self.weights @ scatter)
        covariance += np.einsum("m,mi,mj->ij", self.weights, apart, apart)
        return Figures(mean=mean, covariance=covariance)

    def draws(self, count: int, seed: int) -> tuple[Array, Array]:
        """Equally likely states and logarithms of scatters and memory, `count` rows of each."""
        rng = np.random.default_rng((seed, STREAM, 1))
        many = np.repeat(self.weights, -(-count // len(self.weights)))
        origin = np.repeat(np.arange(len(self.weights)), -(-count // len(self.weights)))
        rows = origin[resampled_rows(many / many.sum(), rng)]
        rows = rng.permutation(rows)[:count]
        roots = np.linalg.cholesky(self.levels.covariance + 1e-12 * np.eye(len(self.house.start)))
        noise = rng.standard_normal((count, len(self.house.start)))
        states = self.levels.mean[rows] + np.einsum("mij,mj->mi", roots[rows], noise)
        guesses = self.levels.guesses
        logs = np.column_stack([np.log(guesses.scatter), np.log(guesses.memory)])
        return states, logs[rows]


def learn(house: House, brews: Sequence[Evidence], *, seed: int, guesses: int | None = None) -> Learned:
    """What the brews tell of the house; the same for the same seed, bit for bit.

    `guesses` is their number; by the number of brews where it is left out.
    """
    count = guesses or int(np.clip(BUDGET // max(1, len(brews)), FEWEST, MOST))
    base = _even_normals(count, len(house.middle), np.random.default_rng((seed, STREAM)))
    stretch = np.random.default_rng((seed, STREAM, 2)).chisquare(FREEDOM, count)
    if not brews:
        return _unweighted(house, base)
    centre, spread = _climbed(house, brews)
    root = WIDER * np.asarray(np.linalg.cholesky(spread))
    best: Learned | None = None
    for _ in range(ROUNDS):
        tried = _weighed(house, brews, centre, root, base, np.sqrt(FREEDOM / stretch))
        if best is None or tried.pareto_k < best.pareto_k:
            best = tried
        if best.pareto_k <= GOOD:
            break
        centre, root = _refitted(tried, centre, root)
    assert best is not None
    return best


class Following:
    """A house followed from brew to brew, each brew foreseen from those before it alone.

    Guesses are proposed anew whenever the number of brews has grown by `GROWTH`; in between they are moved
    on and weighed again, which is exact but for their number.  The brews of all those fits are a geometric
    series, so the whole of it is linear in their number.
    """

    def __init__(self, house: House, *, seed: int) -> None:
        self._house, self._seed = house, seed
        self._brews: list[Evidence] = []
        self._learned, self._anew = learn(house, (), seed=seed), 1.0

    def foreseen(self, when: float) -> Learned:
        """What is known of the house at this time."""
        if len(self._brews) >= self._anew:
            self._learned = learn(self._house, self._brews, seed=self._seed, guesses=FEWEST)
            self._anew = GROWTH * len(self._brews)
        self._learned.levels.wait(when)
        return self._learned

    def take(self, brew: Evidence) -> None:
        """Move on by one brew."""
        self._learned.take(brew)
        self._brews.append(brew)


def _even_normals(count: int, width: int, rng: np.random.Generator) -> Array:
    """Standard normals, antithetic, which takes the sampling error out of linear means."""
    half = rng.standard_normal(((count + 1) // 2, width))
    return np.concatenate([half, -half])[:count]


def _unweighted(house: House, base: Array) -> Learned:
    at = house.middle + house.spread * base
    levels = Levels.before(house.start, house.guesses(at))
    return Learned(house=house, levels=levels, weights=np.full(len(base), 1.0 / len(base)), pareto_k=0.0)


def _climbed(house: House, brews: Sequence[Evidence]) -> tuple[Array, Array]:
    """The most likely logarithms of scatters and memory, and their covariance there.

    Fisher scoring climbs nearly there, on the latest brews and then on all; the last steps go by the slope of
    the likelihood itself.
    """
    at = house.middle.copy()
    for some in (brews[-SOME:], brews):
        for _ in range(CLIMBS):
            slope, information = _score(house, some, at)
            at, far = _stepped(house, at, slope, information)
            if far < NEARLY:
                break
    for _ in range(LAST_STEPS):
        slope, information = _measured(house, brews, at, information)
        at, far = _stepped(house, at, slope, information)
        if far < SETTLED:
            break
    return at, np.asarray(np.linalg.inv(information + np.diag(house.tightness)))


def _stepped(house: House, at: Array, slope: Array, information: Array) -> tuple[Array, float]:
    """One step up, prior included, by `LONGEST` prior sds at most; and how far it wanted to go."""
    whole = information + np.diag(house.tightness)
    step = np.linalg.solve(whole, slope - house.tightness * (at - house.middle))
    longest = float(np.abs(step / house.spread).max())
    far = float(np.sqrt(step @ whole @ step))
    return at + step * min(1.0, LONGEST / max(longest, 1e-12)), far


def _measured(house: House, brews: Sequence[Evidence], at: Array, information: Array) -> tuple[Array, Array]:
    """Slope of the log likelihood by differences, and the information with its diagonal by differences."""
    width = len(at)
    step = STEP * house.spread
    rows = np.concatenate([at[None], at + np.diag(step), at - np.diag(step)])
    _, height = pass_over(house.start, house.guesses(rows), brews)
    up, down = height[1 : 1 + width], height[1 + width :]
    slope = (up - down) / (2.0 * step)
    bend = (2.0 * height[0] - up - down) / np.square(step)
    # Far from the mode the likelihood may bend the wrong way: no less than a tenth of the prior is believed.
    bend = np.maximum(bend, -0.9 * house.tightness)
    before = np.maximum(np.diag(information), 0.0) + house.tightness
    ratio = np.sqrt((bend + house.tightness) / before)
    whole = ratio[:, None] * (information + np.diag(house.tightness)) * ratio
    return slope, whole - np.diag(house.tightness)


def _score(house: House, brews: Sequence[Evidence], at: Array) -> tuple[Array, Array]:
    r"""Slope of the log likelihood and Fisher information in the logarithms.

    For columns :math:`j, k` of the slope and the innovation's covariance S, with residual e: slope
    :math:`s_k^2[(j_k^T S^{-1} e)^2 - j_k^T S^{-1} j_k]`, information
    :math:`2 s_j^2 s_k^2 (j_j^T S^{-1} j_k)^2`, summed by family.
    """
    width = len(at)
    slope, information = np.zeros(width), np.zeros((width, width))
    levels = Levels.before(house.start, house.guesses(at[None]))
    for brew in brews:
        found = levels.take(brew)
        scattering = brew.family != NO_SCATTER
        rooted = found.root[0] @ brew.slope[:, scattering]
        family = brew.family[scattering]
        variance = np.exp(2.0 * at[family])
        inner = rooted.T @ rooted
        np.add.at(slope, family, variance * (np.square(rooted.T @ found.surprise[0]) - np.diag(inner)))
        np.add.at(
            information,
            (family[:, None], family[None, :]),
            2.0 * variance[:, None] * variance[None, :] * np.square(inner),
        )
    return slope, information


def _weighed(
    house: House, brews: Sequence[Evidence], centre: Array, root: Array, base: Array, stretch: Array
) -> Learned:
    """Guesses of a Student t around the centre, weighed by prior and likelihood over proposal."""
    at = centre + stretch[:, None] * (base @ root.T)
    levels, height = pass_over(house.start, house.guesses(at), brews)
    distance = np.square(stretch) * np.square(base).sum(axis=1)
    proposed = -0.5 * (FREEDOM + len(centre)) * np.log1p(distance / FREEDOM)
    prior = -0.5 * np.square((at - house.middle) / house.spread).sum(axis=1)
    weights, k = pareto_smoothed(height + prior - proposed)
    return Learned(house=house, levels=levels, weights=weights, pareto_k=k)


def _refitted(tried: Learned, centre: Array, root: Array) -> tuple[Array, Array]:
    """Centre and root of the weighted guesses, mixed with the old ones counted as one guess a dimension."""
    guesses = tried.levels.guesses
    at = np.column_stack([np.log(guesses.scatter), np.log(guesses.memory)])
    trust = tried.effective / (tried.effective + len(centre))
    mean = tried.weights @ at
    apart = at - mean
    spread = trust * (apart.T * tried.weights) @ apart + (1.0 - trust) * root @ root.T
    return trust * mean + (1.0 - trust) * centre, np.asarray(np.linalg.cholesky(spread))
