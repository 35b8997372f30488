"""Follow one portion through its fermentation: what any reading of its gravity would show, and when.

In:  a gyle's model, a portion, the warmth of its beer through time, the readings taken of it.
Out: `Fermentation`: the figures of the curve, a forecast of all readings (the day's too), and `Curve`s.

Idea: latents of the day come first and those of the curve behind them, so the portion's original and final
gravity, its pitch and the bias of its instruments are the same draws as everywhere; a fit is one more
forecast handed to `infer`, and what a curve teaches reaches back into the day.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gylebook.brewery.plan import Later, Plan, Portion
from gylebook.figures.draws import Array
from gylebook.figures.figure import Figure, FigureDraws
from gylebook.gyle.course import Course, run
from gylebook.gyle.forecast import Model, row_by_row
from gylebook.gyle.names import Named
from gylebook.gyle.observe import Observable, shown
from gylebook.gyle.pitch import pitches
from gylebook.matter.extract import plato_from_sg, sg_from_plato
from gylebook.process import ferment_curve as shape
from gylebook.process.ferment_heat import Q10, hours_at_reference

MODEL_SD = 0.12  # °P by which beer leaves the smooth curve, reading by reading; 0.1 to 0.15, judgement
GAS_PLATO, GAS_SPREAD = 0.45, 2.2  # what gas in a sample adds on a hydrometer, median and factor; 0.2 to 1 °P
GAS_SCATTER = 0.15  # °P from one gassy sample to the next; judgement
LAG_DAYS, LAG_FACTOR = 14.0, 2.0  # of Brettanomyces added later: one to four weeks
TAU_DAYS, TAU_FACTOR = 42.0, 2.0  # of what it then takes, at 20 °C
DEXTRIN_DAYS, DEXTRIN_FACTOR = 20.0, 3.0  # of dextrins under diastatic yeast, 0.05 a day
LATER_Q10 = 2.5
SLOW_REFERENCE_C = 20.0
A_DAY = 24.0
ROUNDING = 1e-6  # °P; beer must not stand above its own wort, not even by the last digit

Way = int | NDArray[np.int_]
"""How a fermentation goes: its end as expected 0, early 1 or further 2, and 3 more where its pace is slow."""

ENDS = len(shape.END_ODDS)
ODDS = tuple(pace * end for pace in (1.0 - shape.SLOW_ODDS, shape.SLOW_ODDS) for end in shape.END_ODDS)
"""Odds of every way before anything is read."""


@dataclass(frozen=True, slots=True, eq=False)
class Warmth:
    """Temperature of the beer at hours since pitching, straight between them and level outside. [h, °C]"""

    hours: Array
    temp_c: Array

    def at(self, hours: Array) -> Array:
        """At any hour. [°C]"""
        warm: Array = np.interp(hours, self.hours, self.temp_c)
        return warm


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Followed:
    """A gravity of fermenting beer, ready to condition on, and when it was read. [h since pitching]"""

    observable: Observable
    hours: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Curve:
    """Joint draws of one portion's curve. [°P apparent, 1/h, -, h]

    `expected_first` and `expected_end` are where the yeast, and whatever comes after it, should leave the
    beer; `first` and `end` where they do.  They differ where a slow stage takes `slow_amount` more, from
    `slow_from_h` on.
    """

    original: Array
    expected_first: Array
    expected_end: Array
    first: Array
    end: Array
    rate: Array
    lag: Array
    usual_rate: Array
    q10: Array
    slow_from_h: Array
    slow_tau_h: Array
    warmth: Warmth
    home_c: float
    warmest_c: float

    @property
    def slow_amount(self) -> Array:
        """What the slow stage takes after the curve. [°P]"""
        return self.first - self.end

    def clock(self, hours: Array) -> Array:
        """Hours that the yeast would have needed where it is at home, shape (hours, draws)."""
        known = self.warmth.hours[(self.warmth.hours > 0.0) & (self.warmth.hours < hours.max(initial=0.0))]
        times, where = np.unique(np.concatenate([[0.0], hours, known]), return_inverse=True)
        warm = np.clip(self.warmth.at(times), 0.0, self.warmest_c)
        worth = hours_at_reference(times, warm[:, np.newaxis], self.q10, self.home_c)
        asked: Array = worth[where[1 : 1 + hours.size]]
        return asked

    def quick_at(self, hours: Array) -> Array:
        """Apparent extract on the yeast's own curve, shape (hours, draws)."""
        return shape.quick_fall_at(self.clock(hours), self.original, self.first, self.rate, self.lag)

    def at(self, hours: Array) -> Array:
        """Apparent extract at hours since pitching, shape (hours, draws)."""
        at_work = hours[:, np.newaxis] - self.slow_from_h
        return self.quick_at(hours) - shape.slow_fall(at_work, self.slow_amount, self.slow_tau_h)

    def hours_to(self, share: float) -> Array:
        """Hours where the yeast is at home until a share of its fall is done, and never below zero."""
        hours: Array = np.maximum((self.lag + math.log(share / (1.0 - share))) / self.rate, 0.0)
        return hours


class Fermentation:
    """One portion of a gyle, as a function of the latents of the day and of its curve."""

    def __init__(
        self,
        models: Sequence[Model],
        key: str,
        warmth: Warmth,
        followed: Sequence[Followed] = (),
        way: Way = shape.AS_EXPECTED,
    ) -> None:
        """`models` are the gyle's, one for each plan that was followed on the day; the last one goes on.

        `way` is how it goes, for all latents or row by row.
        """
        self.models, self.key, self.warmth, self.followed = tuple(models), key, warmth, tuple(followed)
        self.way = way
        self.model = self.models[-1]
        self.portion = portion_of(self.model.plan, key)
        self.figures = curve_figures(self.portion)
        self.day = len(self.model.figures)

    def going(self, way: Way) -> Fermentation:
        """The same portion, going another way."""
        return Fermentation(self.models, self.key, self.warmth, self.followed, way)

    def split(self, latents: Array) -> tuple[FigureDraws, FigureDraws]:
        """Figures of the day and of the curve, from latents of both."""
        return self.model.draw(latents[:, : self.day]), FigureDraws(self.figures, latents[:, self.day :])

    def curve(self, latents: Array) -> Curve:
        """The portion's curve."""
        day, own = self.split(latents)
        return self._curve(day, own, run(self.model.plan, self.model.brewery, day))

    def readings_forecast(self, latents: Array) -> Mapping[str, Array]:
        """What each instrument would show, on the day and since; a row outside validity is not a number."""
        names = [day_name(n, o.name) for n, model in enumerate(self.models) for o in model.seen]
        names += [read.observable.name for read in self.followed]
        return row_by_row(self._shown, latents, names)

    def _shown(self, latents: Array) -> Mapping[str, Array]:
        day, own = self.split(latents)
        course = run(self.model.plan, self.model.brewery, day)
        out: dict[str, Array] = {}
        for number, model in enumerate(self.models):
            if not model.seen:
                continue
            as_followed = course if model is self.model else model.course(latents[:, : self.day])
            seen = model.shown_on(day, as_followed)
            out.update({day_name(number, name): draws for name, draws in seen.items()})
        if self.followed:
            out.update(self._followed(day, own, self._curve(day, own, course)))
        return out

    def _followed(self, day: FigureDraws, own: FigureDraws, curve: Curve) -> dict[str, Array]:
        rows = np.shape(curve.end)
        apparent = curve.at(np.array([read.hours for read in self.followed]))
        return {
            read.observable.name: np.broadcast_to(self._instrument(read, there, curve, day, own), rows)
            for read, there in zip(self.followed, apparent, strict=True)
        }

    def _instrument(
        self, read: Followed, apparent: Array, curve: Curve, day: FigureDraws, own: FigureDraws
    ) -> Array:
        """What its instrument would show of beer at this apparent extract."""
        seen = read.observable
        apparent = np.minimum(apparent, curve.original - ROUNDING)
        if seen.reading.gassy and seen.instrument.kind == "hydrometer":
            apparent = apparent + own["gas_plato"]
        numbers: Named = {
            seen.place.shows: sg_from_plato(apparent),
            f"portion.{self.key}.og": sg_from_plato(curve.original),
        }
        return np.asarray(shown(seen, numbers, day))

    def shown_per_plato(self, latents: Array) -> dict[str, float]:
        """How far each instrument's scale moves for 1 °P of apparent extract, in the middle."""
        middle = np.median(latents, axis=0, keepdims=True)
        day, own = self.split(middle)
        course = run(self.model.plan, self.model.brewery, day)
        curve = self._curve(day, own, course, shape.AS_EXPECTED)
        out = {}
        for read in self.followed:
            (there,) = curve.at(np.array([read.hours]))
            below, here = (self._instrument(read, there + up, curve, day, own) for up in (-0.1, 0.0))
            out[read.observable.name] = float(np.max(here - below)) / 0.1
        return out

    def _curve(self, day: FigureDraws, own: FigureDraws, course: Course, way: Way | None = None) -> Curve:
        way = self.way if way is None else way
        portion, yeast = self.portion, self.portion.yeast
        (part,) = [p for p in course.portions if p.portion.key == self.key]
        (pitch,) = [p for p in pitches(self.model.plan, day, course.portions) if p.key == self.key]
        rows = own["rate"].shape
        original = np.broadcast_to(np.maximum(part.pitched.plato, 0.1), rows)
        quick = np.broadcast_to(plato_from_sg(part.first_fg), rows)
        final = np.broadcast_to(plato_from_sg(part.fg), rows)
        if yeast.diastatic:
            quick = np.maximum(original * (1.0 - own["quick_attenuation"]), quick)
        first = shape.end_reached(original, quick, np.mod(way, ENDS), own["end_miss"])
        usual = shape.usual_rate(yeast.days, original)
        pace = np.where(np.floor_divide(way, ENDS), shape.SLOW_PACE, 1.0)
        rate = shape.bounded_rate(usual * pace * own["rate"])
        lag = shape.bounded_lag(shape.usual_lag(np.asarray(pitch.given) / pitch.needed) * own["lag"])
        slow_from, slow_tau = self._slow_stage(portion.later, own)
        goes_on = yeast.diastatic or _eats(portion.later)
        return Curve(
            original=original,
            expected_first=quick,
            expected_end=final,
            first=first,
            end=np.minimum(first, final) if goes_on else first,
            rate=rate,
            lag=np.broadcast_to(lag, rows),
            usual_rate=usual,
            q10=np.clip(own["q10"], 1.1, 4.9),
            slow_from_h=np.broadcast_to(slow_from, rows),
            slow_tau_h=np.broadcast_to(slow_tau, rows),
            warmth=self.warmth,
            home_c=0.5 * (yeast.low_c + yeast.high_c),
            warmest_c=max(yeast.high_c, yeast.low_c, 1.0),
        )

    def _slow_stage(self, later: Later | None, own: FigureDraws) -> tuple[Array, Array]:
        """When the slow stage begins, and its time constant at the beer's last warmth. [h]"""
        colder = 0.1 * (SLOW_REFERENCE_C - float(self.warmth.temp_c[-1]))
        longer = A_DAY * LATER_Q10**colder
        if later is not None and _eats(later):
            return A_DAY * (later.after_days + own["later_lag_days"]), longer * own["later_tau_days"]
        if self.portion.yeast.diastatic:
            return np.zeros(1), longer * own["dextrin_tau_days"]
        return np.zeros(1), np.full(1, A_DAY)


def error_shown(read: Followed, per_plato: float, model_sd: float) -> float:
    """One sd of a gravity on its instrument's own scale: the instrument's, the curve's [°P], the gas's."""
    gas = GAS_SCATTER if read.observable.reading.gassy else 0.0
    return math.hypot(read.observable.error, per_plato * model_sd, per_plato * gas)


def portion_of(plan: Plan, key: str) -> Portion:
    """The portion with this key."""
    return next(portion for portion in plan.portions if portion.key == key)


def curve_figures(portion: Portion) -> tuple[Figure, ...]:
    """What is not known of a portion's curve beyond the figures of its gyle."""
    out = [
        _factor("rate", 1.0, shape.RATE_SPREAD, "judgement"),
        Figure(
            name="lag",
            unit="factor",
            level=1.0,
            scatter=shape.LAG_SPREAD,
            transform="log",
            source="judgement",
        ),
        Figure(name="q10", unit="factor", level=Q10, scatter=0.4, transform="log", source="common-practice"),
        Figure(name="end_miss", unit="sd", level=0.0, scatter=1.0, source="judgement"),
        _factor("gas_plato", GAS_PLATO, GAS_SPREAD ** (1.0 / 1.645), "common-practice", "°P"),
    ]
    if _eats(portion.later):
        source = "brettanomyces-succession"
        out.append(_factor("later_lag_days", LAG_DAYS, LAG_FACTOR, source, "d"))
        out.append(_factor("later_tau_days", TAU_DAYS, TAU_FACTOR, source, "d"))
    if portion.yeast.diastatic:
        level, scatter = shape.QUICK_ATTENUATION
        out.append(
            Figure(
                name="quick_attenuation", unit="share", level=level, scatter=scatter, transform="logit",
                source="judgement",
            )
        )  # fmt: skip
        out.append(_factor("dextrin_tau_days", DEXTRIN_DAYS, DEXTRIN_FACTOR, "judgement", "d"))
    return tuple(out)


def day_name(stage: int, reading: str) -> str:
    """The name of a reading of the day, under the plan of that stage."""
    return reading if stage == 0 else f"{reading} after change {stage}"


def _eats(later: Later | None) -> bool:
    return later is not None and later.attenuation is not None


def _factor(name: str, level: float, factor: float, source: str, unit: str = "factor") -> Figure:
    """A figure known to a factor either way."""
    scatter = level * math.log(factor)
    return Figure(name=name, unit=unit, level=level, scatter=scatter, transform="log", source=source)
