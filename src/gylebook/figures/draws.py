"""Say what a number is: joint draws, their summary, and the odds that something holds.

In:  arrays with a leading axis of draws, all equally likely.
Out: `Summary` (median, 90 % interval, mean, sd), odds in 0..1, and standard-normal latents from a seed.

Idea: draws of one forecast belong together, row by row; summaries are taken at the very end, so
that whatever two numbers share is not counted twice.  Nothing here knows what the numbers mean.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]
Value = Array | float  # draws, or one number where nothing is uncertain

LOW, HIGH = 0.05, 0.95  # the 90 % interval that every face shows


@dataclass(frozen=True, slots=True)
class Summary:
    """One uncertain number, told in five."""

    median: float
    low: float
    high: float
    mean: float
    sd: float


def given(value: Value | None) -> Value:
    """An amount, none where nothing was given; it may be one number or one for each draw."""
    return 0.0 if value is None else value


def summarise(draws: Value) -> Summary:
    """Summary of equally likely draws; a certain number is its own median with no spread."""
    values = np.atleast_1d(np.asarray(draws, dtype=float))
    low, median, high = np.quantile(values, (LOW, 0.5, HIGH))
    return Summary(float(median), float(low), float(high), float(values.mean()), float(values.std()))


def odds(holds: NDArray[np.bool_] | bool) -> float:
    """Share of the draws in which something holds, 0..1."""
    return float(np.mean(holds))


def standard_normal_latents(draws: int, count: int, seed: int) -> Array:
    """Standard-normal latents, shape (draws, count), the same for the same seed.

    Column k depends on the seed and on k alone: one more figure at the end of the list leaves the
    draws of all the others as they were.  Columns are contiguous, as each is used by itself, and each is
    antithetic (the second half mirrors the first), which takes the sampling error out of linear means.
    """
    half = (draws + 1) // 2
    latents = np.empty((draws, count), order="F")
    for column in range(count):
        plain = np.random.default_rng((seed, column)).standard_normal(half)
        latents[:half, column] = plain
        latents[half:, column] = -plain[: draws - half]
    return latents
