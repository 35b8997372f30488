r"""Put a straight line through a curved forecast, over all that its latents may be.

In:  the residuals of readings as a function of latents; what is expected of the latents.
Out: a `Line`: residual at the centre, slopes, and the covariance of what is not straight.

Idea: a tangent holds at one point, and brews that scatter lie all along the curve: tangents at each brew's
own readings are steep where the brew came out high, so those brews would count for more and the house's
level would be drawn after them.  A line fitted by least squares to draws of what is expected has the right
mean and the right spread of the readings, and what it misses is counted as noise.  Draws come in pairs
that mirror each other: the odd half of a pair gives the slopes, the even half the mean.  Columns that no
reading moves with are found by one small step each, and left alone.

References
----------
.. [1] F. Tronarp, Á. García-Fernández, S. Särkkä, IEEE Signal Process. Lett. 25, 408 (2018): iterated
   filters by statistical linear regression.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gylebook.errors import NotConverged
from gylebook.figures.draws import Array
from gylebook.infer.laplace import neighbours, point_among
from gylebook.infer.learn import Figures
from gylebook.infer.likelihood import Residuals

PAIRS = 128  # of draws, or twice the columns
STREAM = 8_167  # keeps these random numbers apart from others of the same seed
LEAST_FINITE = 0.5  # share of the pairs that must have a forecast


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Line:
    """Residuals as `middle` - `slope` (z - `at`); `noise` is the covariance of what is not straight."""

    at: Array  # (d,)
    middle: Array  # (n,)
    slope: Array  # (n, d)
    noise: Array  # (n, n)

    @property
    def seen(self) -> Array:
        """What the slopes times the latents were read as."""
        seen: Array = self.middle + self.slope @ self.at
        return seen

    def spread(self, columns: NDArray[np.intp], covariance: Array) -> Array:
        """Covariance of the residuals where figures at `columns` have this one, and all others are new."""
        own = np.ones(self.at.size, dtype=bool)
        own[columns] = False
        house, rest = self.slope[:, columns], self.slope[:, own]
        spread: Array = self.noise + house @ covariance @ house.T + rest @ rest.T
        return spread

    def without(self, row: int) -> Line:
        """The line with one residual left out."""
        kept = np.delete(np.arange(len(self.middle)), row)
        return Line(
            at=self.at,
            middle=self.middle[kept],
            slope=self.slope[kept],
            noise=self.noise[np.ix_(kept, kept)],
        )

    def told(self, columns: NDArray[np.intp], covariance: Array) -> Array:
        """Share of each latent's variance that these readings take away, (d,)."""
        whole = np.eye(self.at.size)
        whole[np.ix_(columns, columns)] = covariance
        along = whole @ self.slope.T
        gone = np.einsum("dn,nd->d", along, np.linalg.solve(self.spread(columns, covariance), along.T))
        share: Array = gone / np.diag(whole)
        return share


def expected(d: int, columns: NDArray[np.intp], figures: Figures) -> Figures:
    """All d latents of a brew: the house's at `columns`, standard normal elsewhere."""
    mean, covariance = np.zeros(d), np.eye(d)
    mean[columns] = figures.mean
    covariance[np.ix_(columns, columns)] = figures.covariance
    return Figures(mean=mean, covariance=covariance)


def published(d: int) -> Figures:
    """All d latents before anything was learned."""
    return Figures(mean=np.zeros(d), covariance=np.eye(d))


def straight(residuals: Residuals, latents: Figures, *, seed: int) -> Line:
    """The line of these residuals over such latents, for one forecast.

    Raises `NotConverged` where half of the draws have no forecast.
    """
    d = latents.mean.size
    pairs = max(PAIRS, 2 * d)
    normal = np.random.default_rng((seed, STREAM)).standard_normal((d, pairs))
    apart = np.asarray(np.linalg.cholesky(latents.covariance)) @ normal
    at = latents.mean[:, None]
    rows = residuals(np.concatenate([neighbours(latents.mean), at + apart, at - apart], axis=1))
    moved = point_among(latents.mean, rows[:, : 1 + d]).slope.any(axis=0)
    up, down = rows[:, 1 + d : 1 + d + pairs], rows[:, 1 + d + pairs :]
    finite = np.isfinite(up).all(axis=0) & np.isfinite(down).all(axis=0)
    if finite.mean() < LEAST_FINITE:
        raise NotConverged("Most of what is expected of this brew has no forecast.")
    up, down, apart = up[:, finite], down[:, finite], apart[:, finite]
    slope = np.zeros((len(rows), d))
    odd = 0.5 * (down - up)
    slope[:, moved] = np.linalg.lstsq(apart[moved].T, odd.T, rcond=None)[0].T
    even = 0.5 * (up + down)
    middle = even.mean(axis=1)
    bent = odd - slope @ apart
    noise = np.eye(len(rows)) + (bent @ bent.T) / max(1, bent.shape[1] - np.count_nonzero(moved))
    away = even - middle[:, None]
    noise += (away @ away.T) / away.shape[1]
    return Line(at=latents.mean, middle=middle, slope=slope, noise=noise)


def misfits(line: Line, latents: Figures) -> Array:
    """Each residual's distance from what the latents and all other residuals say, in sds of that distance."""
    inner = np.linalg.inv(line.noise + line.slope @ latents.covariance @ line.slope.T)
    off = line.middle - line.slope @ (latents.mean - line.at)
    distance: Array = inner @ off / np.sqrt(np.diag(inner))
    return distance
