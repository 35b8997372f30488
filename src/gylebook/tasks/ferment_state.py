"""Say how a fermentation stands: on its way, slow, stuck, running away, as good as finished.

In:  a `FermentOutlook`.
Out: `FermentView`: odds of every state, forecast end with its day, the curve with its band, how long to wait.

Idea: each draw is in one state at the last reading, so the odds add to one.  Stuck is a curve that ended
above the end expected of that same draw, slow is one whose yeast needs far longer than its kind; late
readings tell them apart, early ones cannot and say so by their odds.  Nothing is ever called done: beside
the state stand days to wait and points that may still come.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from gylebook.figures.draws import Array, odds, summarise
from gylebook.gyle.fermenting import Curve
from gylebook.matter.extract import sg_from_plato
from gylebook.matter.spirit import abv_from_mass_percent
from gylebook.process.ferment import alcohol_balling, real_extract
from gylebook.process.ferment_curve import USUAL_LAG, lowest_end
from gylebook.tasks.ferment_views import AMISS, STATES, FermentView, GravityTaken, Reach, State
from gylebook.tasks.fermenting import FermentOutlook
from gylebook.tasks.moments import after
from gylebook.tasks.reading_view import trust_of
from gylebook.tasks.standing import apparent_read, standing_view

NEAR_PLATO = 0.2  # of its end: as good as finished
AMISS_PLATO = 0.5  # above or below the end expected: stuck, or running away; 0.002 SG, judgement
SLOW_TIMES = 1.5  # of the time that the kind needs at that warmth for 95 % of its fall; judgement
SHARE_DONE = 0.95
ALARM = 0.3  # odds of being amiss from which it is said; judgement
PAST_MIDPOINT = 1.5  # times the midpoint: from there on readings tell the end
GRID, SHORTEST_H, LONGEST_H = 200, 14.0 * 24.0, 4.0 * 365.0 * 24.0
SEEN = 0.97  # share of the draws that must have ended before the grid is long enough
BAND_POINTS = 80
POINTS_PER_SG = 1000.0


def ferment_view(found: FermentOutlook) -> FermentView:
    """All that a face shows of one portion in fermentation."""
    curve, last_h = found.curve, found.last_h
    portion, outlook = found.fermentation.portion, found.outlook
    states = _states(curve, last_h)
    now = curve.at(np.array([last_h]))[0]
    hours, middle = summarise(hours_until_near(curve)), summarise(_midpoint_h(curve))
    chances = {state: odds(states == number) for number, state in enumerate(STATES)}
    verdict = _verdict(chances)
    alcohol = alcohol_balling(curve.original, real_extract(curve.original, curve.end))
    yields = _alcohol_yield(found)
    return FermentView(
        key=found.key,
        name=portion.name,
        yeast=portion.yeast.kind,
        pitched=after(found.pitched, 0.0),
        last_h=last_h,
        verdict=verdict,
        odds=chances,
        end_is_guess=bool(odds(_past_midpoint(curve, last_h)) < 0.5),
        original=summarise(sg_from_plato(curve.original)),
        now=summarise(sg_from_plato(now)),
        expected_end=outlook.numbers[f"portion.{found.key}.fg"],
        end=summarise(sg_from_plato(curve.end)),
        abv=summarise(abv_from_mass_percent(alcohol * yields, sg_from_plato(curve.end))),
        attenuation=summarise(1.0 - curve.end / curve.original),
        midpoint_h=middle,
        end_told_from_at=after(found.pitched, PAST_MIDPOINT * middle.median),
        near_end_h=hours,
        near_points=_points(NEAR_PLATO),
        near_end_at=_moments(found, (hours.low, hours.median, hours.high)),
        standing=standing_view(
            found,
            verdict,
            left_points=_left(now, np.minimum(curve.end, curve.expected_end)),
            most_points=_left(now, lowest_end(curve.original)),
            near_end_h=hours.median,
        ),
        taken=_taken(found),
        band=_band(curve, max(1.15 * hours.high, 1.1 * last_h)),
        model_sd=found.model_sd,
        widened=found.widened,
        trust=trust_of(found.diagnostic, len(found.latents)),
    )


def _verdict(chances: dict[State, float]) -> State:
    """The likeliest state; what is amiss is said from odds of 3 in 10 on, as bottles may hang on it."""
    amiss = max(AMISS, key=lambda state: chances[state])
    return amiss if chances[amiss] >= ALARM else max(STATES, key=lambda state: chances[state])


def hours_until_near(curve: Curve, near: float = NEAR_PLATO) -> Array:
    """When gravity comes within `near` [°P] of its end, draw by draw; four years at most. [h]"""
    horizon = SHORTEST_H
    while True:
        grid = np.linspace(0.0, horizon, GRID)
        above = curve.at(grid) - curve.end - near
        if np.mean(above[-1] <= 0.0) >= SEEN or horizon >= LONGEST_H:
            break
        horizon = min(2.0 * horizon, LONGEST_H)
    below = above <= 0.0
    at = np.where(below.any(axis=0), below.argmax(axis=0), GRID - 1)
    before = np.maximum(at - 1, 0)
    rows = np.arange(above.shape[1])
    high, low = above[before, rows], above[at, rows]
    share = np.where(high > low, np.clip(high / np.where(high > low, high - low, 1.0), 0.0, 1.0), 1.0)
    reached: Array = grid[before] + share * (grid[at] - grid[before])
    return reached


def _states(curve: Curve, last_h: float) -> Array:
    """Number of each draw's state, as `STATES` has them."""
    hour = np.array([last_h])
    now, quick = curve.at(hour)[0], curve.quick_at(hour)[0]
    ended = now - curve.end < NEAR_PLATO
    resting = (quick - curve.first < NEAR_PLATO) & (ended | (last_h < curve.slow_from_h))
    late = (quick - curve.first >= NEAR_PLATO) & (
        curve.hours_to(SHARE_DONE) * curve.usual_rate
        > SLOW_TIMES * (USUAL_LAG + np.log(SHARE_DONE / (1.0 - SHARE_DONE)))
    )
    chosen: Array = np.select(
        [
            now < curve.expected_end - AMISS_PLATO,
            resting & (curve.first > curve.expected_first + AMISS_PLATO),
            ended,
            late,
        ],
        [STATES.index(state) for state in _IN_TURN],
        default=STATES.index("on its way"),
    )
    return chosen


_IN_TURN: tuple[State, ...] = ("runaway", "stuck", "as good as finished", "slow")


def _left(now: Array, down_to: Array) -> Array:
    """What would still fall from here to there. [points]"""
    left: Array = POINTS_PER_SG * np.maximum(sg_from_plato(now) - sg_from_plato(down_to), 0.0)
    return left


def _alcohol_yield(found: FermentOutlook) -> Array:
    """Alcohol formed over Balling's, as the day's figures have it."""
    day, _ = found.fermentation.split(found.latents)
    return day["alcohol.yield"]


def _midpoint_h(curve: Curve) -> Array:
    """When half the fall is done, at the warmth of the beer. [h]"""
    wanted = curve.lag / curve.rate
    horizon = SHORTEST_H
    while True:
        grid = np.linspace(0.0, horizon, GRID)
        clock = curve.clock(grid)
        if np.mean(clock[-1] >= wanted) >= SEEN or horizon >= LONGEST_H:
            break
        horizon = min(2.0 * horizon, LONGEST_H)
    step = grid[1] - grid[0]
    at = np.clip((clock < wanted).sum(axis=0), 1, GRID - 1)
    rows = np.arange(len(wanted))
    before, here = clock[at - 1, rows], clock[at, rows]
    hours: Array = grid[at - 1] + step * np.clip((wanted - before) / (here - before), 0.0, 1.0)
    return hours


def _past_midpoint(curve: Curve, last_h: float) -> NDArray[np.bool_]:
    clock = curve.clock(np.array([last_h]))[0]
    past: NDArray[np.bool_] = clock * curve.rate >= PAST_MIDPOINT * curve.lag
    return past


def _moments(found: FermentOutlook, hours: Sequence[float]) -> tuple[str, str, str]:
    low, middle, high = (after(found.pitched, h) for h in hours)
    return low, middle, high


def _taken(found: FermentOutlook) -> tuple[GravityTaken, ...]:
    if not found.followed:
        return ()
    there = found.curve.at(np.array([read.hours for read in found.followed]))
    return tuple(
        GravityTaken(
            at=read.observable.reading.at,
            hours=read.hours,
            instrument=read.observable.instrument.name,
            kind=read.observable.instrument.kind,
            value=read.observable.reading.value,
            sg=float(sg_from_plato(apparent_read(found, read))),
            curve=summarise(sg_from_plato(apparent)),
            misfit_sd=misfit,
        )
        for read, apparent, misfit in zip(found.followed, there, found.misfit_sd, strict=True)
    )


def _band(curve: Curve, until_h: float) -> tuple[Reach, ...]:
    grid = np.linspace(0.0, max(until_h, 24.0), BAND_POINTS)
    lows, middles, highs = np.quantile(sg_from_plato(curve.at(grid)), (0.05, 0.5, 0.95), axis=1)
    return tuple(
        Reach(hours=float(h), low=float(a), median=float(b), high=float(c))
        for h, a, b, c in zip(grid, lows, middles, highs, strict=True)
    )


def _points(plato: float) -> float:
    """Points of gravity that a difference in °P is near the end of a beer."""
    return POINTS_PER_SG * float(sg_from_plato(2.0 + plato) - sg_from_plato(2.0))
