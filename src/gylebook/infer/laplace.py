"""Find the most probable latents and how the readings narrow them there.

In:  the residuals of the readings as a function of standard-normal latents.
Out: the mode, the Jacobian there, the Laplace covariance, and each reading's disagreement.

Idea: Gauss-Newton with a forward-difference Jacobian; the mode, its d neighbours and the shorter steps to
fall back on go through the forecast together, so that an iteration costs one call of about d rows.  A short
forecast takes half as long as one of all draws, so the climb may end a step early, and whoever forecasts many
rows anyway sends the last `neighbours` along.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from gylebook.errors import NotConverged
from gylebook.figures.draws import Array
from gylebook.infer.likelihood import Residuals, log_likelihood

STEP = 1e-4  # of a prior sd: well above the noise of a nested root search, well below any curvature
ITERATIONS = 20
SETTLED = 1e-2  # squared length of the last step in posterior sds; it is taken, but not looked at again
NEAR = 100.0  # the same for a climb whose end will be looked at once more, with other rows
LEFT = 4.0  # and the most that such a last look may leave to go: a step of 2 sds ends some 0.1 off
AGAIN = 16.0  # the same as NEAR where it left more
TURNED = 0.2  # a log-normal figure of sd 0.5 still has 0.22 of its slope 3 sd further down
SHORTER = np.array([0.5, 0.2, 0.05, 0.01])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Point:
    """Latents with the residuals there, their slope, and the posterior's height (log, less a constant)."""

    latents: Array
    residual: Array
    slope: Array  # of the prediction, standardised; (readings, d)
    height: float

    def covariance(self) -> Array:
        r"""Laplace covariance :math:`(I + J^T J)^{-1}` of the latents."""
        gain = np.linalg.solve(np.eye(len(self.slope)) + self.slope @ self.slope.T, self.slope)
        narrowed: Array = np.eye(self.latents.size) - self.slope.T @ gain
        return narrowed

    def step(self) -> tuple[Array, float]:
        """The Gauss-Newton step from here, and its squared length in posterior sds."""
        inner = np.eye(len(self.slope)) + self.slope @ self.slope.T
        goal = self.slope.T @ np.linalg.solve(inner, self.residual + self.slope @ self.latents)
        step: Array = goal - self.latents
        return step, float(np.square(step).sum() + np.square(self.slope @ step).sum())


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Mode(Point):
    """The most probable point, whether the search settled there, and where it started: the prior's centre."""

    converged: bool
    start: Point

    def folded(self) -> bool:
        """Whether a reading that matters hardly had this slope, or had its opposite, at the prior's centre.

        Between the two the forecast turns, so the same reading may be explained on the far side as well: a
        second mode, which weights of draws around this one cannot show.
        """
        across = np.einsum("ij,ij->i", self.start.slope, self.slope)
        along = np.einsum("ij,ij->i", self.slope, self.slope)
        return bool(np.any((along > 1.0) & (across < TURNED * along)))

    def from_prior(self) -> Array:
        """Each reading's distance from the forecast made before any reading, in sds of that distance."""
        spread: Array = np.sqrt(1.0 + np.square(self.start.slope).sum(axis=1))
        return self.start.residual / spread

    def from_rest(self) -> Array:
        """Each reading's distance from what the prior and all *other* readings say, in sds of that distance.

        At the mode of a linear forecast the residual has variance 1 - h with h the reading's own leverage,
        and dividing by its root gives the leave-one-out standardised residual.
        """
        inner = np.eye(len(self.slope)) + self.slope @ self.slope.T
        left: Array = np.sqrt(np.diag(np.linalg.inv(inner)))
        return self.residual / left


def neighbours(at: Array) -> Array:
    """The latents `at` and d that lie one small step to the side, as columns (d, 1 + d)."""
    columns = np.repeat(at[:, None], 1 + at.size, axis=1)
    columns[np.arange(at.size), np.arange(1, 1 + at.size)] += STEP
    return columns


def point_among(at: Array, seen: Array) -> Point:
    """The point at `at` from the residuals of its `neighbours`."""
    slope = np.nan_to_num((seen[:, :1] - seen[:, 1:]) / STEP, nan=0.0, posinf=0.0, neginf=0.0)
    height = float(log_likelihood(seen[:, :1])[0] - 0.5 * np.square(at).sum())
    return Point(latents=at, residual=seen[:, 0], slope=slope, height=height)


def _look(residuals: Residuals, at: Array, others: Array) -> tuple[Point, Array]:
    """The point at `at`, and the posterior's height at each column of `others`, in one forecast."""
    seen = residuals(np.concatenate([neighbours(at), others], axis=1))
    near, far = seen[:, : 1 + at.size], seen[:, 1 + at.size :]
    return point_among(at, near), log_likelihood(far) - 0.5 * np.square(others).sum(axis=0)


def find_mode(residuals: Residuals, d: int, settled: float = SETTLED) -> Mode:
    """Climb from the prior's centre to the most probable latents.

    Raises `NotConverged` where the forecast has no finite value at the prior's own centre.  A search that
    stalls returns its best point with `converged` false: importance weights decide whether that is good
    enough.
    """
    here, _ = _look(residuals, np.zeros(d), np.empty((d, 0)))
    if not np.isfinite(here.height):
        raise NotConverged(
            "The forecast has no finite value at the most likely figures before any reading, so no reading "
            "can be weighed. Look for a figure in the plan or the brewery that empties a vessel."
        )
    return _climb(residuals, here, here, settled)


def climb_on(residuals: Residuals, mode: Mode) -> Mode:
    """Climb on from where a last look found the mode too far off; with care where that was no way up."""
    settled = AGAIN if mode.height > mode.start.height else SETTLED
    return _climb(residuals, mode, mode.start, settled)


def _climb(residuals: Residuals, here: Point, start: Point, settled: float) -> Mode:
    none, converged = np.empty((here.latents.size, 0)), False
    for _ in range(ITERATIONS):
        step, length = here.step()
        if length < settled:
            here, converged = _stepped(here, step), True
            break
        goal, shorter = here.latents + step, here.latents[:, None] + step[:, None] * SHORTER
        there, heights = _look(residuals, goal, shorter)
        if not there.height > here.height:
            best = int(np.argmax(heights))
            if not heights[best] > here.height:
                break
            there, _ = _look(residuals, shorter[:, best], none)
        here = there
    return _mode(here, start, converged)


def looked_at(mode: Mode, seen: Array) -> Mode:
    """The mode once the residuals of its `neighbours` were seen, after one more step where that is short.

    Where the step is long, `mode` had not settled; where there is no forecast, the start is what is known.
    """
    here = point_among(mode.latents, seen)
    if not np.isfinite(here.height):
        return _mode(mode.start, mode.start, False)
    step, length = here.step()
    if length < LEFT:
        here = _stepped(here, step)
    return _mode(here, mode.start, mode.converged and length < LEFT)


def _stepped(here: Point, step: Array) -> Point:
    """The point after a step that is not looked at: the residuals are those of a straight forecast."""
    return replace(here, latents=here.latents + step, residual=here.residual - here.slope @ step)


def _mode(here: Point, start: Point, converged: bool) -> Mode:
    return Mode(
        latents=here.latents,
        residual=here.residual,
        slope=here.slope,
        height=here.height,
        converged=converged,
        start=start,
    )
