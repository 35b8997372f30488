"""Invent houses for the statistics alone: levels, scatters and straight readings, without any brewing."""

from __future__ import annotations

import numpy as np
from scipy.linalg import block_diag

from gylebook.figures.draws import Array
from gylebook.infer.learn import House
from gylebook.infer.levels import NO_SCATTER, Evidence

SPREAD = 0.4


def house(shares: list[float], constants: int = 0, memory: float = 12.0, spread: float = SPREAD) -> House:
    """One level for each share of the variance, and `constants` that are the same in every brew."""
    middle = 0.5 * np.log(1.0 - np.array(shares)) - spread**2
    return House(
        start=np.diag([*shares, *[1.0] * constants]),
        middle=np.append(middle, np.log(memory)),
        spread=np.append(np.full(len(shares), spread), 0.7 if spread == SPREAD else spread),
    )


def brew(slope: Array, seen: Array, families: int, when: float = 0.0) -> Evidence:
    """A brew whose figure k is state k, the first `families` of them with a scatter."""
    states = slope.shape[1]
    family = np.array([k if k < families else NO_SCATTER for k in range(states)])
    return Evidence(seen=seen, slope=slope, made_of=np.eye(states), family=family, when=when)


def truth(of: House, rng: np.random.Generator) -> tuple[Array, Array]:
    """States and logarithms of scatters and memory of one house."""
    logs = of.middle + of.spread * rng.standard_normal(len(of.middle))
    return np.linalg.cholesky(of.start) @ rng.standard_normal(len(of.start)), logs


def book(
    of: House, brews: int, rng: np.random.Generator, readings: int = 6
) -> tuple[list[Evidence], Array, Array]:
    """Brews of a house a month apart, its states at the end, and its logarithms."""
    at, logs = truth(of, rng)
    families, states = len(of.middle) - 1, len(of.start)
    scatter = np.append(np.exp(logs[:-1]), np.zeros(states - families))
    out, when = [], 0.0
    for number in range(brews):
        if number:
            passed = rng.exponential(1.0 / 12.0)
            when += passed
            kept = np.exp(-passed / np.exp(logs[-1]))
            renewed = np.linalg.cholesky(of.start) @ rng.standard_normal(states)
            at = kept * at + np.sqrt(1.0 - kept**2) * renewed
        heights = rng.exponential(2.0, (readings, 1))
        slope = heights * rng.standard_normal((readings, states)) * (rng.random((readings, states)) < 0.35)
        figures = at + scatter * rng.standard_normal(states)
        out.append(brew(slope, slope @ figures + rng.standard_normal(readings), families, when))
    return out, at, logs


def together(of: House, brews: list[Evidence], logs: Array) -> Array:
    """Covariance of all readings of all brews at once, for given scatters and memory."""
    when = np.array([one.when for one in brews])
    alike = np.exp(-np.abs(when[:, None] - when[None, :]) / np.exp(logs[-1]))
    through = block_diag(*(one.through for one in brews))
    scatter = [np.exp(logs[k]) ** 2 if k != NO_SCATTER else 0.0 for k in brews[0].family]
    brewwise = block_diag(*(one.slope @ np.diag(scatter) @ one.slope.T for one in brews))
    return through @ np.kron(alike, of.start) @ through.T + brewwise + np.eye(len(through))
