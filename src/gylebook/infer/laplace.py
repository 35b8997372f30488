"""Find the most probable latents and how the readings narrow them there.

In:  the readings as functions of standard-normal latents.
Out: the mode, the Jacobian there, the Laplace covariance, and how each reading stands to what the others say.

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
from gylebook.infer.likelihood import Kept, Readings

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
    """Latents with the gaps of the readings there, their slope, and the posterior's height (log, less a
    constant) where the readings `kept` are right."""

    latents: Array
    gap: Array  # (readings,)
    slope: Array  # of the prediction in sds of each reading's error; (readings, d)
    residual: Array  # (readings,)
    steepness: Array  # (readings,): how fast the residual grows with the gap
    kept: Kept
    height: float

    @property
    def steep(self) -> Array:
        """Slope of the residuals, of slips too. (readings, d)"""
        return self.slope * self.steepness[:, None]

    @property
    def felt(self) -> Array:
        """The same, with none for slips."""
        return self.slope * (self.steepness * self.kept)[:, None]

    def keeping(self, kept: Kept) -> Point:
        """The same place where these readings are right.  Its height is not known."""
        return replace(self, kept=kept, height=-np.inf)

    def covariance(self) -> Array:
        r"""Laplace covariance :math:`(I + J^T J)^{-1}` of the latents."""
        felt = self.felt
        gain = np.linalg.solve(np.eye(len(felt)) + felt @ felt.T, felt)
        narrowed: Array = np.eye(self.latents.size) - felt.T @ gain
        return narrowed

    def step(self) -> tuple[Array, float]:
        """The Gauss-Newton step from here, and its squared length in posterior sds."""
        felt = self.felt
        inner = np.eye(len(felt)) + felt @ felt.T
        goal = felt.T @ np.linalg.solve(inner, self.kept * self.residual + felt @ self.latents)
        step: Array = goal - self.latents
        return step, float(np.square(step).sum() + np.square(felt @ step).sum())

    def stepped(self, step: Array) -> Point:
        """The point after a step that is not looked at: all is as a straight forecast has it."""
        along = self.slope @ step
        return replace(
            self,
            latents=self.latents + step,
            gap=self.gap - along,
            residual=self.residual - self.steepness * along,
        )


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
        matters = np.square(self.felt).sum(axis=1) > 1.0
        return bool(np.any(matters & (across < TURNED * along)))


def neighbours(at: Array) -> Array:
    """The latents `at` and d that lie one small step to the side, as columns (d, 1 + d)."""
    columns = np.repeat(at[:, None], 1 + at.size, axis=1)
    columns[np.arange(at.size), np.arange(1, 1 + at.size)] += STEP
    return columns


def point_among(readings: Readings, at: Array, seen: Array) -> Point:
    """The point at `at` from the gaps of its `neighbours`."""
    slope = np.nan_to_num((seen[:, :1] - seen[:, 1:]) / STEP, nan=0.0, posinf=0.0, neginf=0.0)
    point = Point(
        latents=at,
        gap=seen[:, 0],
        slope=slope,
        residual=readings.residuals(seen[:, :1])[:, 0],
        steepness=readings.steepness(seen[:, 0]),
        kept=readings.kept,
        height=-np.inf,
    )
    return replace(point, height=height_of(readings, point))


def at_centre(readings: Readings, d: int) -> Point:
    """The prior's centre, from where a climb starts."""
    centre = np.zeros(d)
    return point_among(readings, centre, readings.gaps(neighbours(centre)))


def judged(readings: Readings, mode: Mode) -> Mode:
    """The same place where another set of readings is right, as a place from which to climb on."""
    here, start = (
        replace(at, kept=readings.kept, height=height_of(readings, at)) for at in (mode, mode.start)
    )
    return _mode(here, start, mode.converged)


def height_of(readings: Readings, at: Point) -> float:
    """Log posterior at a point where the readings kept are right, less a constant."""
    return float(readings.log_likelihood(at.residual[:, None])[0] - 0.5 * np.square(at.latents).sum())


def _look(readings: Readings, at: Array, others: Array) -> tuple[Point, Array]:
    """The point at `at`, and the posterior's height at each column of `others`, in one forecast."""
    seen = readings.gaps(np.concatenate([neighbours(at), others], axis=1))
    near, far = seen[:, : 1 + at.size], seen[:, 1 + at.size :]
    heights = readings.log_likelihood(readings.residuals(far)) - 0.5 * np.square(others).sum(axis=0)
    return point_among(readings, at, near), heights


def find_mode(readings: Readings, start: Point, settled: float = SETTLED) -> Mode:
    """Climb from the prior's centre to the most probable latents.

    Raises `NotConverged` where the forecast has no finite value at the prior's own centre.  A search that
    stalls returns its best point with `converged` false: importance weights decide whether that is good
    enough.
    """
    if not np.isfinite(start.gap).all():
        raise NotConverged(
            "The forecast has no finite value at the most likely figures before any reading, so no reading "
            "can be weighed. Look for a figure in the plan or the brewery that empties a vessel."
        )
    return _climb(readings, start, start, settled)


def climb_on(readings: Readings, mode: Mode) -> Mode:
    """Climb on from where a last look found the mode too far off; with care where that was no way up."""
    settled = AGAIN if mode.height > mode.start.height else SETTLED
    return _climb(readings, mode, mode.start, settled)


def _climb(readings: Readings, here: Point, start: Point, settled: float) -> Mode:
    none, converged = np.empty((here.latents.size, 0)), False
    for _ in range(ITERATIONS):
        step, length = here.step()
        if length < settled:
            here, converged = here.stepped(step), True
            break
        goal, shorter = here.latents + step, here.latents[:, None] + step[:, None] * SHORTER
        there, heights = _look(readings, goal, shorter)
        if not there.height > here.height:
            best = int(np.argmax(heights))
            if not heights[best] > here.height:
                break
            there, _ = _look(readings, shorter[:, best], none)
        here = there
    return _mode(here, start, converged)


def looked_at(readings: Readings, mode: Mode, seen: Array) -> Mode:
    """The mode once the gaps of its `neighbours` were seen, after one more step where that is short.

    Where the step is long, `mode` had not settled; where there is no forecast, the start is what is known.
    """
    here = point_among(readings, mode.latents, seen)
    if not np.isfinite(here.height):
        return _mode(mode.start, mode.start, False)
    step, length = here.step()
    if length < LEFT:
        here = here.stepped(step)
    return _mode(here, mode.start, mode.converged and length < LEFT)


def _mode(here: Point, start: Point, converged: bool) -> Mode:
    return Mode(
        latents=here.latents,
        gap=here.gap,
        slope=here.slope,
        residual=here.residual,
        steepness=here.steepness,
        kept=here.kept,
        height=here.height,
        converged=converged,
        start=start,
    )
