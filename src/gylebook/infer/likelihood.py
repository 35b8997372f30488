"""Say how far a forecast is from the readings, in standard deviations of each reading.

In:  a forecast (latents -> named draws) and observations, each naming the draw that it reads.
Out: standardised residuals, one row a reading and one column a draw, and their log-likelihood.

Idea: everything that fits or weighs sees the readings through these residuals only, so a reading of another
kind (censored, robust) changes this module and no other.  What an instrument would read, its bias
included, is already a named draw of the forecast; here is only the independent error of one reading.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from gylebook.figures.draws import Array

Forecast = Callable[[Array], Mapping[str, Array]]
"""Latents (draws, d) -> named draws; a pure function of each row, all rows at once."""

Residuals = Callable[[Array], Array]
"""Latents turned on their side (d, draws) -> standardised residuals (readings, draws)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Observation:
    """One reading: the forecast's name for it, what was read, and one sd of its independent error."""

    name: str
    value: float
    error: float

    def __post_init__(self) -> None:
        if not math.isfinite(self.value):
            raise ValueError(f"{self.name}: a reading of {self.value} is not a number that can be used")
        if not (math.isfinite(self.error) and self.error > 0):
            raise ValueError(f"{self.name}: an error of {self.error} must be a finite number above zero")


def residuals_of(forecast: Forecast, observations: Sequence[Observation]) -> Residuals:
    r"""Function from latents to :math:`\rho_i = (y_i - f_i(z)) / \sigma_i`.

    Far outside the prior a forecast may overflow; its value there is not finite, its weight is zero, and
    NumPy need not warn of it.
    """

    def residuals(latents: Array) -> Array:
        with np.errstate(over="ignore", invalid="ignore", divide="ignore"):
            named = forecast(latents.T)
            rows = np.empty((len(observations), latents.shape[1]))
            for row, seen in zip(rows, observations, strict=True):
                if seen.name not in named:
                    raise ValueError(f"the forecast has no “{seen.name}”; it has {', '.join(sorted(named))}")
                row[:] = named[seen.name]
                row -= seen.value
                row /= -seen.error
        return rows

    return residuals


def log_likelihood(residuals: Array) -> Array:
    """Gaussian log-likelihood of a draw, less its constant; minus infinity where a residual is not finite."""
    total = np.einsum("ij,ij->j", residuals, residuals)
    return np.where(np.isfinite(total), -0.5 * total, -np.inf)
