"""Say how fast a yeast usually ferments a wort, and where gravity stands once a slow second stage goes on.

In:  days that a kind of yeast takes, strength of the wort, yeast pitched over yeast needed; hours on the
     yeast's own clock.
Out: rate [1/h] and lag [-] of the usual curve; the end that is reached [°P]; apparent extract [°P].

Idea: the curve of `ferment_heat` obeys a law of growth, so its lag K = B M is the logarithm of how little is
at work at the beginning: it follows from the pitch, and at every hour gravity only rises with it and only
falls with the rate.  Warmth enters through the clock alone.  Brettanomyces and diastatic yeast go on after
the curve with what it leaves.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from gylebook.figures.draws import Array
from gylebook.matter.bounds import Range
from gylebook.process.ferment_heat import apparent_extract_at

RATE_TIMES_DAYS = 0.42
"""Rate of the curve, per hour, times the days that the trade gives a kind of yeast. [d/h]  Judgement: ale
0.08 in 5.5 days, lager 0.03 in 13, kveik 0.18 at 35 °C in 3, wheat 0.07 in 5.5, all common practice."""

RATE_SPREAD = 1.3
"""Factor either way of a rate so told, where the yeast is in its usual or in its slow pace; judgement.  Both
together scatter by the factor of 1.43 that common practice rounds to 1.4."""

SLOW_PACE = 0.5
"""Rate over the usual one of a yeast in slow pace (old, few, cold-shocked, short of oxygen); judgement."""

SLOW_ODDS = 0.15
"""How often it is met, before anything is read; judgement."""

USUAL_LAG = 3.2
"""K = B M at the usual pitch, 0.08/h times 40 h in ale; 3.8 in lager, 2.9 in kveik. [-]  Common practice."""

LAG_SPREAD = 0.22
"""Standard deviation of its logarithm.  Judgement; in eight growth series of Gause (1932) from 6 to 39 °C
K was 3.5 with a scatter of 0.18, while B went from 0.01 to 0.35/h."""

QUICK_ATTENUATION = (0.78, 0.03)
"""What diastatic yeast takes as fast as any other, apparent: about the limit of malt wort; judgement."""

LOWEST_ATTENUATION = 1.02  # apparent, of beer from which every dextrin is gone
AS_EXPECTED, STOPS_EARLY, GOES_FURTHER = 0, 1, 2
"""The three ways in which a fermentation may end."""

END_ODDS = (0.94, 0.03, 0.03)
"""How often each is met, before anything is read; judgement."""

STOPS_PLATO, FURTHER_PLATO = 2.0, 1.5  # how far above or below the expected end, in the middle; judgement
MISS_SPREAD = 2.0  # factor either way of both; judgement

_USUAL_PLATO = 12.0
_TRADE = "the usual curve of a fermentation"
_DAYS = Range("days", "d", 0.5, 1500.0, _TRADE)
_ORIGINAL = Range("original", "°P", 0.1, 40.0, _TRADE)
_SLOWEST, _FASTEST = 2e-4, 1.9  # per hour; the curve's own range less what rounding takes
_LEAST_LAG, _MOST_LAG = 0.7, 20.0


def usual_rate(days: Array | float, original: Array | float) -> Array:
    r"""Rate B of the usual curve where the yeast is at home. [1/h]

    .. math:: B = \frac{0.42}{d} \sqrt{\frac{12}{OE}}

    Parameters
    ----------
    days
        That the trade gives the kind :math:`d`, 0.5 to 1500. [d]
    original
        Original extract :math:`OE`, 0.1 to 40; strong wort takes longer. [°P]

    Notes
    -----
    Factor 1.4 either way in all.  Judgement, held to the rates of four kinds in common practice within that
    factor.  The middle of the yeast's own range of temperature is where it is at home.  Raises
    `OutsideValidity`.

    >>> round(float(usual_rate(5.5, 12.0)), 3)
    0.076
    """
    rate: Array = RATE_TIMES_DAYS / _DAYS.check(days) * np.sqrt(_USUAL_PLATO / _ORIGINAL.check(original))
    return bounded_rate(rate)


def bounded_rate(rate: Array | float) -> Array:
    """A rate kept to where the curve holds, 0.0002 to 1.9. [1/h]"""
    return np.clip(rate, _SLOWEST, _FASTEST)


def usual_lag(pitch: Array | float) -> Array:
    """Lag K of the usual curve, 3.2 - ln f, with f cells pitched over cells needed. [-]

    Half the yeast comes ln 2/B later to the same place: in ale 9 hours.  From the curve's own law of growth;
    that gravity falls as the yeast grows is an assumption.

    >>> round(float(usual_lag(0.5)), 2)
    3.89
    """
    return bounded_lag(USUAL_LAG - np.log(np.clip(pitch, 0.01, 100.0)))


def bounded_lag(lag: Array | float) -> Array:
    """A lag kept to where it means something, 0.7 to 20. [-]"""
    return np.clip(lag, _LEAST_LAG, _MOST_LAG)


def end_reached(
    original: Array | float, expected: Array | float, way: NDArray[np.int_] | int, miss: Array | float
) -> Array:
    r"""Where a fermentation really ends, given where it was expected to. [°P]

    .. math:: P_e = E \pm h \tanh\frac{s}{h},\quad s = s_0\,2^z

    `original` and `expected` apparent extract E [°P]; `way` is one of `AS_EXPECTED`, `STOPS_EARLY` and
    `GOES_FURTHER`, `miss` z standard normal.  One that stops early stands s = 2 °P above, factor 2; one that
    goes further s = 1.5 °P below.  Above the expected end h is the whole fall, below it what is left down to
    an apparent attenuation of 102 %, so that nothing leaves that range.  Judgement.

    >>> [round(float(end_reached(12.0, 2.8, way, 0.0)), 2) for way in (0, 1, 2)]
    [2.8, 4.77, 1.41]
    """
    expected = np.asarray(expected)
    factor = MISS_SPREAD ** np.clip(miss, -8.0, 8.0)
    above = np.maximum(np.asarray(original) - expected, 1e-6)
    below = np.maximum(expected - lowest_end(original), 1e-6)
    higher = expected + above * np.tanh(STOPS_PLATO * factor / above)
    lower = expected - below * np.tanh(FURTHER_PLATO * factor / below)
    reached: Array = np.where(
        np.equal(way, STOPS_EARLY), higher, np.where(np.equal(way, GOES_FURTHER), lower, expected)
    )
    return reached


def lowest_end(original: Array | float) -> Array:
    """Apparent extract once nothing is left that any organism takes, -0.02 OE. [°P]"""
    lowest: Array = (1.0 - LOWEST_ATTENUATION) * np.asarray(original)
    return lowest


def quick_fall_at(
    clock: Array | float,
    original: Array | float,
    end: Array | float,
    rate: Array | float,
    lag: Array | float,
) -> Array:
    """Apparent extract on the four-parameter curve that stands at `original` when the yeast goes in. [°P]

    `clock` is hours since pitching where the yeast is at home; `end` Pe [°P], `rate` B [1/h], `lag` K = B M.
    The curve's own start P0 = Pe + (OE - Pe)(1 + e^-K) lies above OE: the original extract is a reading of
    AE(0).  Ranges as in `ferment_heat.apparent_extract_at`.

    >>> round(float(quick_fall_at(0.0, 12.0, 2.8, 0.08, 3.2)), 6)
    12.0
    """
    start = end + (np.asarray(original) - end) * (1.0 + np.exp(-np.asarray(lag)))
    return apparent_extract_at(clock, start, end, rate, lag / np.asarray(rate))


def slow_fall(hours: Array | float, amount: Array | float, tau: Array | float) -> Array:
    """What a slow organism has taken after `hours` at work, Δ (1 - e^(-t/τ)); nothing before. [°P]

    `amount` Δ [°P], time constant `tau` [h].  A proposal for Brettanomyces (De Roos et al. 2018; Tyrawa et
    al. 2019, second-hand) and for dextrins that diastatic yeast splits.
    """
    at_work = np.maximum(hours, 0.0)
    taken: Array = amount * -np.expm1(-at_work / np.asarray(tau))
    return taken
