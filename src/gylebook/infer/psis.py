"""Smooth the largest importance weights and say whether they can be trusted.

In:  log importance weights of S draws, up to a constant.
Out: normalised weights whose tail is smoothed, and the tail's shape k.

Idea: the tail of any set of importance weights is close to a generalised Pareto distribution; its shape k
tells how many moments the weights have, thus whether an average over them settles down.

References
----------
.. [1] A. Vehtari, D. Simpson, A. Gelman, Y. Yao, J. Gabry, "Pareto smoothed importance sampling",
   J. Mach. Learn. Res. 25(72) (2024): tail length, smoothing, the bound on k by sample size.
.. [2] J. Zhang, M. A. Stephens, "A new and efficient estimation method for the generalized Pareto
   distribution", Technometrics 51, 316 (2009).
"""

from __future__ import annotations

import math

import numpy as np

from gylebook.figures.draws import Array

SHORTEST_TAIL = 5  # fewer points do not show a shape


def trusted_below(draws: int) -> float:
    """Largest k at which this many draws give a trustworthy average: min(1 - 1/log10 S, 0.7) of [1]_."""
    return min(1.0 - 1.0 / math.log10(draws), 0.7)


def tail_length(draws: int) -> int:
    """How many of the largest weights are the tail: min(S/5, 3 sqrt S) of [1]_, for independent draws."""
    return math.ceil(min(0.2 * draws, 3.0 * math.sqrt(draws)))


def fit_generalised_pareto(exceedances: Array) -> tuple[float, float]:
    """Shape k and scale of a generalised Pareto distribution with its threshold at zero.

    `exceedances` are positive and ascending.  The estimate is the posterior mean over a grid of [2]_,
    which needs no search; k is then drawn towards 0.5 as if by ten further observations, as in [1]_,
    appendix. The sign of k is that of [1]_: positive is heavy-tailed.
    """
    n = exceedances.size
    grid = 30 + math.isqrt(n)
    lower_quartile = exceedances[math.floor(n / 4 + 0.5) - 1]
    theta = 1.0 / exceedances[-1] + (1.0 - np.sqrt(grid / (np.arange(grid) + 0.5))) / (3.0 * lower_quartile)
    shape = np.log1p(-theta[:, None] * exceedances).mean(axis=1)
    profile = n * (np.log(-theta / shape) - shape - 1.0)
    posterior = np.exp(profile - profile.max())
    best = float(theta @ posterior / posterior.sum())
    k = float(np.log1p(-best * exceedances).mean())
    return (n * k + 10 * 0.5) / (n + 10), -k / best


def pareto_smoothed(log_weights: Array) -> tuple[Array, float]:
    """Weights that sum to one with their tail smoothed, and k.

    Each tail weight becomes the expected order statistic of the fitted tail, none above the largest raw one.
    k is infinite where no tail can be fitted, as too few draws have any weight; weights of which the whole
    tail is as high as the highest have none: their k is 0, as of any bounded one.
    """
    highest = log_weights.max()
    if highest == -np.inf:  # nothing that was proposed can be
        return np.full(log_weights.size, 1.0 / log_weights.size), math.inf
    raw = np.exp(log_weights - highest)
    length = tail_length(raw.size)
    order = np.argsort(raw)
    tail, cutoff = order[-length:], raw[order[-length - 1]]
    if cutoff > 1.0 - 1e-9:
        return raw / raw.sum(), 0.0
    exceedances = raw[tail] - cutoff
    low = exceedances[math.floor(length / 4 + 0.5) - 1]
    if length < SHORTEST_TAIL or cutoff <= 0.0 or low <= 0.0:
        return raw / raw.sum(), math.inf
    k, scale = fit_generalised_pareto(exceedances)
    survival = 1.0 - (np.arange(length) + 0.5) / length
    quantiles = -np.log(survival) if abs(k) < 1e-12 else np.expm1(-k * np.log(survival)) / k
    raw[tail] = np.minimum(cutoff + scale * quantiles, 1.0)
    return raw / raw.sum(), k


def effective_draws(weights: Array) -> float:
    """How many equally weighted draws are worth as much (Kish); weights sum to one."""
    return float(1.0 / np.square(weights).sum())
