"""Follow alpha acids through boil, stand and chill as they turn bitter and are lost again.

In:  a `History` of the wort's temperature, the steps before which hops go in, uncertain rates.
Out: `Shares` of each addition at the end: alpha acids left, iso-alpha acids, degraded.

Idea: alpha -> iso-alpha -> degraded, each of first order, is linear; so what becomes of hops depends only on
what comes after them.  One pass from the end backwards serves all additions, and each step is exact
at its temperature.  Phases that cool or warm are cut at Gauss points, where few steps do.  A share of the
wort that is chilled first has a history of its own.  What trub, yeast and package take is in `bitterness`.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from gylebook.figures.draws import Array, Value
from gylebook.matter.bounds import FAHRENHEIT, Range
from gylebook.process.hops import isomerisation_rate

K1_SCATTER = 0.12  # of ln; the constants are printed to two figures
K2_SCATTER = 0.25  # of ln; k2 rises at low pH and in strong wort, after Kappler (2010) and Huang (2013)
SOLUBILITY_MG_PER_L = (200.0, 0.47)  # level and scatter of ln; 90 (Malowicki 2004) to 250 (Hough 1982)

_MALOWICKI = "Malowicki & Shellhammer (2005; measured from 90 °C)"
_WORT = Range("temp_c", "°C", 0.0, 130.0, _MALOWICKI, (FAHRENHEIT,))
_START = Range("start_c", "°C", 0.0, 130.0, _MALOWICKI, (FAHRENHEIT,))
_END = Range("end_c", "°C", 0.0, 130.0, _MALOWICKI, (FAHRENHEIT,))
_AROUND = Range("around_c", "°C", -20.0, 130.0, "a place to cool wort", (FAHRENHEIT,))
_MINUTES = Range("minutes", "min", 0.0, 1440.0, "a day at the kettle")
_TIME_CONSTANT = Range("time_constant_min", "min", 0.01, 1e5, "wort that cools towards its surroundings")
_FALLEN = Range("share of the way to the coolant", "", 0.0, 0.9999, "wort never quite as cold as its coolant")
_SEEN = Range("share of the way to the coolant", "", 0.01, 0.9999, "a chill whose time constant can be told")
_K1_FACTOR = Range("k1_factor", "", 0.05, 20.0, "a published rate constant's own doubt")
_K2_FACTOR = Range("k2_factor", "", 0.01, 100.0, "a published rate constant's own doubt")
_SOLUBILITY = Range("solubility", "mg/L", 0.1, 1e5, "alpha acids in wort")

# Six Gauss points hold a chill within 5e-5 of an adaptive rule, four a warming within 3e-5.
_COOL_AT, _COOL_WEIGHT = (0.5 * part for part in np.polynomial.legendre.leggauss(6))
_WARM_AT, _WARM_WEIGHT = (0.5 * part for part in np.polynomial.legendre.leggauss(4))
_COOLING = tuple(zip((_COOL_AT + 0.5).tolist(), _COOL_WEIGHT.tolist(), strict=True))
_WARMING = tuple(zip((_WARM_AT + 0.5).tolist(), _WARM_WEIGHT.tolist(), strict=True))
_NO_TIE = 1e-30  # lost beside any other number: only k1 = k2 exactly would divide by zero without it


class History(NamedTuple):
    """Steps of the wort's temperature in their order, each length and height one number or draws.

    A height is the temperature inside the step, never at its end: in steps of a minute a chill read at their
    ends errs by 0.005 of the alpha acids.
    """

    minutes: tuple[Value, ...]
    temp_c: tuple[Value, ...]

    @property
    def steps(self) -> int:
        """How many there are; hops added before step `steps` go into cold wort."""
        return len(self.minutes)

    def then(self, later: History) -> History:
        """This history with another after it."""
        return History(self.minutes + later.minutes, self.temp_c + later.temp_c)


class Shares(NamedTuple):
    """What has become of one addition's alpha acids; the three add to 1. [0..1]"""

    alpha: Value
    iso: Value
    degraded: Value


class Dissolved(NamedTuple):
    """All additions together, per litre of wort. [mg/L]"""

    alpha: Value
    iso: Value
    degraded: Value
    undissolved_most: Value  # where it is above zero the result is of low confidence


def degradation_rate(temp_c: Value) -> Array:
    r"""Rate at which iso-alpha acids are lost to further products. [1/min]

    .. math:: k_2 = 4.1\cdot10^{12}\, e^{-12994/T}

    `temp_c` 0 to 130 °C, measured from 90.  Source: M. G. Malowicki and T. H. Shellhammer, J. Agric. Food
    Chem. 53, 4434 (2005), pH 5.2 buffer; x/÷ 1.25 in worts of other pH and strength.
    """
    return _k2(_WORT.check(temp_c))


def held(minutes: Value, temp_c: Value) -> History:
    """A boil or a stand kept at one temperature: one step. [min, °C]

    `minutes` 0 to 1440, `temp_c` 0 to 130: the wort's own boiling point, 95 °C at 1500 m.  Wort that
    waits while a counterflow cooler empties the kettle stands for half that time on average; so taken,
    flame-out hops come out 0.003 too high for 20 min, 0.010 for 40.
    """
    _MINUTES.check(minutes)
    _WORT.check(temp_c)
    return History((minutes,), (temp_c,))


def boiled_with_hops(
    minutes: float, temp_c: Value, minutes_left: Sequence[float]
) -> tuple[History, tuple[int, ...]]:
    """A boil cut where hops go in, and for each of them the step before which it does.

    `minutes_left` from 0 (flame-out) to `minutes`, in any order. [min]
    """
    within = Range("minutes_left", "min", 0.0, minutes, f"a boil of {minutes:g} min")
    cuts = sorted({minutes, *(float(within.check(left)) for left in minutes_left)}, reverse=True)
    after = [*cuts[1:], 0.0]
    lengths = [start - end for start, end in zip(cuts, after, strict=True) if start > end]
    boil = History((), ())
    for length in lengths:
        boil = boil.then(held(length, temp_c))
    return boil, tuple(cuts.index(float(left)) for left in minutes_left)


def warmed(minutes: Value, start_c: Value, end_c: Value) -> History:
    """Wort heated evenly, as first-wort hops meet it on the way to the boil. [min, °C]"""
    minutes, start_c = _MINUTES.check(minutes), _START.check(start_c)
    rise_c = _END.check(end_c) - start_c
    return History(
        tuple(weight * minutes for _, weight in _WARMING),
        tuple(start_c + at * rise_c for at, _ in _WARMING),
    )


def cooled(minutes: Value, start_c: Value, around_c: Value, time_constant_min: Value) -> History:
    r"""Wort that cools for so long towards air or coolant, as a stand with the heat off does. [min, °C]

    .. math:: T = T_a + (T_0 - T_a)\, e^{-t/\tau}

    Parameters
    ----------
    minutes
        Length, 0 to 1440. [min]
    start_c, around_c
        :math:`T_0`, 0 to 130, and :math:`T_a`, -20 to 130. [°C]
    time_constant_min
        :math:`\tau`, 0.01 to 1e5; a covered kettle has hours, a chiller about 8. [min]

    Notes
    -----
    Newton's law of cooling.  Cut evenly in temperature rather than time; the steps add to `minutes` but for a
    long wait in cold wort, which changes nothing.
    """
    fallen = -np.expm1(-_MINUTES.check(minutes) / _TIME_CONSTANT.check(time_constant_min))
    return _fall(fallen, _START.check(start_c), _AROUND.check(around_c), time_constant_min)


def chilled(start_c: Value, around_c: Value, time_constant_min: Value, end_c: Value) -> History:
    """Wort chilled to a temperature, however long that takes; symbols and ranges as in `cooled`. [min, °C]

    Only the lengths of its steps depend on the time constant, which keeps uncertain chills cheap.  `end_c`
    lies above the coolant; from 40 °C down next to nothing isomerises.  No time passes where it is reached.
    """
    start_c, around_c = _START.check(start_c), _AROUND.check(around_c)
    fallen = _FALLEN.check(np.maximum((start_c - _END.check(end_c)) / (start_c - around_c), 0.0))
    return _fall(fallen, start_c, around_c, _TIME_CONSTANT.check(time_constant_min))


def chill_time_constant(minutes: Value, start_c: Value, end_c: Value, around_c: Value) -> Array:
    """Time constant of a chill that was seen to take so long, t / ln((T0 - Ta)/(T1 - Ta)). [min]"""
    start_c, around_c = _START.check(start_c), _AROUND.check(around_c)
    fallen = _SEEN.check((start_c - _END.check(end_c)) / (start_c - around_c))
    return np.asarray(_MINUTES.check(minutes) / -np.log1p(-fallen))


def isomerised(
    history: History, at: Sequence[int], k1_factor: Value = 1.0, k2_factor: Value = 1.0
) -> tuple[Shares, ...]:
    r"""What becomes of the alpha acids of several additions by the end of a history. [0..1]

    .. math:: \dot A = -k_1 A, \qquad \dot I = k_1 A - k_2 I

    Parameters
    ----------
    history
        Temperatures, 0 to 130 °C (below 90 °C extrapolated by Arrhenius).
    at
        For each addition the step before which it goes in, 0 to `history.steps`.
    k1_factor, k2_factor
        What the published :math:`k_1` and :math:`k_2` are multiplied by, 0.05 to 20 and 0.01 to
        100; lognormal with `K1_SCATTER` and `K2_SCATTER`.

    Notes
    -----
    With :math:`S_1, S_2` the integrals of the rates from a moment to the end and
    :math:`F = e^{S_1 - S_2}`, the iso-alpha acids are :math:`e^{-S_1} \sum \Delta F / (1 - k_2/k_1)` over the
    steps that follow.  Gravity and pH from 4.8 to 6.0 do not change :math:`k_1` (Malowicki, thesis, 2004).
    Source: M. G. Malowicki and T. H. Shellhammer, J. Agric. Food Chem. 53, 4434 (2005).
    """
    if not all(0 <= index <= history.steps for index in at):
        raise ValueError(f"additions go in before steps 0 to {history.steps}, not {tuple(at)}")
    k1_factor = _K1_FACTOR.check(k1_factor)
    k2_to_k1 = _K2_FACTOR.check(k2_factor) / k1_factor
    wanted = set(at)
    found = {history.steps: Shares(1.0, 0.0, 0.0)}
    turned: Value = 0.0
    lead: Value = 1.0
    made: Value = 0.0
    for index in range(history.steps - 1, min(wanted, default=0) - 1, -1):
        turning, ahead = _rates(history, index, k1_factor, k2_to_k1)
        gain = lead * np.expm1(turning * ahead)
        made = made + gain / ahead
        lead = lead + gain
        turned = turned + turning
        if index in wanted:
            alpha = np.exp(-turned)
            iso = alpha * made
            found[index] = Shares(alpha, iso, 1.0 - alpha - iso)
    return tuple(found[index] for index in at)


def isomerised_where_soluble(
    history: History,
    additions: Sequence[tuple[int, Value]],
    solubility_mg_per_l: Value = SOLUBILITY_MG_PER_L[0],
    k1_factor: Value = 1.0,
    k2_factor: Value = 1.0,
) -> Dissolved:
    r"""The same where hops are so many that only dissolved alpha acids react. [mg/L]

    .. math:: \dot A = -k_1 \min(A, S), \qquad \dot I = k_1 \min(A, S) - k_2 I

    Parameters
    ----------
    additions
        Step before which each goes in, and its alpha acids per litre of the wort that is boiled. [mg/L]
    solubility_mg_per_l
        :math:`S`, 0.1 to 1e5: wide enough for any draw of it. [mg/L]
    history, k1_factor, k2_factor
        As in `isomerised`.

    Notes
    -----
    A proposal, not a measurement: published solubilities differ threefold.  Additions compete here, so all
    are followed together, each step in closed form before and after the last of it has dissolved.
    """
    soluble = _SOLUBILITY.check(solubility_mg_per_l)
    k1_factor = _K1_FACTOR.check(k1_factor)
    k2_to_k1 = _K2_FACTOR.check(k2_factor) / k1_factor
    if not all(0 <= index <= history.steps for index, _ in additions):
        raise ValueError(f"additions go in before steps 0 to {history.steps}")
    alpha: Value = 0.0
    iso: Value = 0.0
    most: Value = 0.0
    for index in range(history.steps + 1):
        for _, amount in (addition for addition in additions if addition[0] == index):
            alpha = alpha + amount
        over = np.maximum(alpha - soluble, 0.0)
        most = np.maximum(most, over)
        if index == history.steps:
            break
        turning, ahead = _rates(history, index, k1_factor, k2_to_k1)
        lost_to_turned = 1.0 - ahead
        steady = np.minimum(over / soluble, turning)
        fading = -np.expm1(-lost_to_turned * steady)
        iso = iso - (iso - soluble / lost_to_turned) * fading
        alpha = alpha - soluble * steady
        turning = turning - steady
        left = np.exp(-turning)
        growth = np.expm1(turning * ahead)
        iso = left * (iso * (1.0 + growth) + alpha * growth / ahead)
        alpha = alpha * left
    added: Value = 0.0
    for _, amount in additions:
        added = added + amount
    return Dissolved(alpha, iso, added - alpha - iso, most)


def _fall(fallen: Value, start_c: Value, around_c: Value, time_constant_min: Value) -> History:
    """Steps at Gauss points of u, T = T0 - (T0 - Ta) u, dt = τ du/(1 - u), u up to `fallen`."""
    fall_c = (start_c - around_c) * fallen
    whole = time_constant_min * fallen
    return History(
        tuple(weight * whole / (1.0 - at * fallen) for at, weight in _COOLING),
        tuple(start_c - at * fall_c for at, _ in _COOLING),
    )


def _rates(history: History, index: int, k1_factor: Value, k2_to_k1: Value) -> tuple[Value, Value]:
    """k1 times the step's length, and 1 - k2/k1."""
    temp_c = history.temp_c[index]
    k1 = isomerisation_rate(temp_c)
    ahead = 1.0 - _k2(temp_c) / k1 * k2_to_k1 + _NO_TIE
    return k1 * history.minutes[index] * k1_factor, ahead


def _k2(temp_c: Value) -> Array:
    rate: Array = 4.1e12 * np.exp(-12994.0 / (temp_c + 273.15))
    return rate
