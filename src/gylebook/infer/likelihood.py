r"""Say how far a forecast is from the readings, and how likely that makes it.

In:  a forecast (latents -> named draws) and observations, each naming the draw that it reads.
Out: gaps and residuals, one row a reading and one column a draw, and their log-likelihood.

Idea: everything that fits or weighs sees a reading through one number a draw, its residual :math:`s`, whose
:math:`-s^2/2` is the log-likelihood of that reading: a value's residual is its gap in sds of its error, and
that of a bound ("above the top mark") is :math:`\sqrt{-2 \ln \Phi}`, near zero where the bound is kept.  So a
reading of another kind changes this module and no other.  What an instrument would read, its bias included,
is already a named draw of the forecast; here is only the independent error of one reading.

A reading may also be a slip: written down wrong, in another unit, at another moment.  Then it says nothing of
the forecast, and its log-likelihood is a floor, the same for every draw.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from gylebook.figures.draws import Array

Forecast = Callable[[Array], Mapping[str, Array]]
"""Latents (draws, d) -> named draws; a pure function of each row, all rows at once."""

Gaps = Callable[[Array], Array]
"""Latents turned on their side (d, draws) -> gaps (readings, draws)."""

Beyond = Literal["", "above", "below"]
Kept = NDArray[np.bool_]
"""Which readings are taken at their word, the others being slips."""

DOUBT = 0.01  # share of readings that are slips, as one would guess of careful people at work
WIDTH = 20.0  # a slip lands anywhere within this many sds, from end to end, of what was forecast before


@dataclass(frozen=True, slots=True, kw_only=True)
class Observation:
    """One reading: the forecast's name for it, what was read, and one sd of its independent error.

    With `beyond` it is a bound: all that was seen is that the instrument would show more ("above") or less
    ("below") than `value`.  `doubt` is the share of such readings that are slips.
    """

    name: str
    value: float
    error: float
    beyond: Beyond = ""
    doubt: float = DOUBT

    def __post_init__(self) -> None:
        if not math.isfinite(self.value):
            raise ValueError(f"{self.name}: a reading of {self.value} is not a number that can be used")
        if not (math.isfinite(self.error) and self.error > 0):
            raise ValueError(f"{self.name}: an error of {self.error} must be a finite number above zero")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Readings:
    """The readings as functions of latents (d, draws).

    `side` is +1 of a reading that is only known to lie above its value, -1 below, 0 of a value; `floors` are
    the log-likelihoods of a slip, on the scale on which a reading that fits has 0.
    """

    gaps: Gaps
    side: Array  # (readings,)
    doubt: Array  # (readings,)
    kept: Kept  # (readings,)
    floors: Array  # (readings,)

    def keeping(self, kept: Kept) -> Readings:
        """The same with these readings taken at their word."""
        return replace(self, kept=kept)

    def with_floors(self, slope: Array) -> Readings:
        r"""The same with the floors that follow from how closely each reading was forecast.

        A share `doubt` are slips.  Of a value with error :math:`\sigma`, forecast with an sd of
        :math:`\tau\sigma`, a slip has density :math:`1/(w \tau \sigma)`, any other reading that fits
        :math:`1/(\sqrt{2\pi}\,\sigma)`; a bound is right by chance half of the time.  `slope` (readings, d)
        is that of the gaps at the prior's centre.
        """
        spread = np.sqrt(1.0 + np.square(slope).sum(axis=1))
        chance = np.where(self.side == 0.0, math.sqrt(2.0 * math.pi) / (WIDTH * spread), 0.5)
        with np.errstate(divide="ignore"):  # without doubt
            return replace(self, floors=np.log(self.doubt / (1.0 - self.doubt) * chance))

    def residuals(self, gaps: Array) -> Array:
        """Residuals of these gaps, of slips too; the same shape."""
        if not self.side.any():
            return gaps
        out = gaps.copy()
        for row in np.flatnonzero(self.side):
            out[row] = self.side[row] * np.sqrt(-2.0 * _log_normal_share(-self.side[row] * gaps[row]))
        return out

    def steepness(self, gap: Array) -> Array:
        """How fast each residual grows with its gap, at one place: 1 of a value, 0 of a bound well kept."""
        out = np.ones(len(gap))
        for row in np.flatnonzero(self.side):
            across = float(self.side[row] * gap[row])
            log_share = float(_log_normal_share(np.array([-across]))[0])
            residual = math.sqrt(-2.0 * log_share)
            log_density = -0.5 * across**2 - 0.5 * math.log(2.0 * math.pi)
            out[row] = math.exp(log_density - log_share) / residual if residual > 0.0 else 0.0
        return out

    def log_likelihood(self, residuals: Array) -> Array:
        """Of each draw where the readings kept are right and the others slips, but for a constant.

        Minus infinity where a residual is not finite.
        """
        some = residuals if self.kept.all() else residuals[self.kept]
        total = np.einsum("ij,ij->j", some, some)
        return np.where(np.isfinite(total), -0.5 * total + self.floors[~self.kept].sum(), -np.inf)

    def log_likelihood_of_all(self, residuals: Array) -> Array:
        """Of each draw where any reading may be right or a slip, but for a constant."""
        with np.errstate(invalid="ignore"):
            each = np.logaddexp(-0.5 * np.square(residuals), self.floors[:, None])
        total: Array = each.sum(axis=0)
        return np.where(np.isfinite(total), total, -np.inf)

    def slips(self, residuals: Array) -> Array:
        """The odds that each reading is a slip, draw by draw, 0..1."""
        odds: Array = 1.0 / (1.0 + np.exp(-0.5 * np.square(residuals) - self.floors[:, None]))
        return odds


def _log_normal_share(at: Array) -> Array:
    """Logarithm of the share of a standard normal below."""
    from scipy.special import log_ndtr  # loading it takes longer than a forecast; bounds are rare

    share: Array = log_ndtr(at)
    return share


def readings_of(forecast: Forecast, observations: Sequence[Observation]) -> Readings:
    r"""The readings, none of them taken for a slip; gaps are :math:`(y_i - f_i(z)) / \sigma_i`.

    Far outside the prior a forecast may overflow; its value there is not finite, its weight is zero, and
    NumPy need not warn of it.
    """

    def gaps(latents: Array) -> Array:
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

    sides = {"": 0.0, "above": 1.0, "below": -1.0}
    count = len(observations)
    return Readings(
        gaps=gaps,
        doubt=np.array([seen.doubt for seen in observations]),
        side=np.array([sides[seen.beyond] for seen in observations]),
        kept=np.ones(count, dtype=bool),
        floors=np.full(count, -np.inf),
    )
