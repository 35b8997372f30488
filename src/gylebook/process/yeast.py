"""Count the yeast a wort needs, what is left of a pack, and what a starter grows.

In:  pitching rate, volume and strength; age and storage; cells and extract in a starter.
Out: billions of viable cells, shares of one starter, grams of extract for the cells wanted.

Idea: growth is set by inoculum and extract, each kind of starter by its own published curve.  Without a count
the cells are known to 40 % at best; that spread is a figure of the brewery and multiplies the new cells.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import numpy as np

from gylebook.figures.draws import Array
from gylebook.matter.bounds import FAHRENHEIT, Range
from gylebook.matter.extract import density_from_plato

StarterKind = Literal["still", "shaken", "stirred"]

LOSS_PER_DAY_AT_1_C = 0.01357  # slurry, McCaig and Bendiak; home counts found a tenth of it
STIRRED_BILLION_PER_G = 1.4  # new cells, factor 1.5 either way
STILL_G_PER_L = 93.1  # extract in a litre of the 9 °P wort of the published still starters
SHAKEN_OF_STIRRED = 0.6

_CROWDED, _FULL = 1.4, 3.5  # billion cells pitched per gram of extract: growth begins to fall, and has ended
_STILL_FREE, _STILL_SLOPE = 3.61, 0.655  # doublings, inoculum in million/mL
_STILL_MOST = _STILL_FREE - _STILL_SLOPE * np.log(5.0)
_RATE = Range("rate", "million/(mL °P)", 0.0, 5.0, "pitching rates in use")
_DAYS = Range("days", "d", 0.0, 3650.0, "the keeping of yeast")
_STORE = Range("temp_c", "°C", -2.0, 30.0, "McCaig & Bendiak (1985; 1 to 25 °C)", (FAHRENHEIT,))
_DRY_STORE = Range("temp_c", "°C", -25.0, 30.0, "what makers say of dry yeast (4 and 20 °C)", (FAHRENHEIT,))
_CELLS = Range("initial_billion", "billion", 1e-3, 1e6, "a starter")
_EXTRACT = Range("extract_g", "g", 0.1, 1e6, "a starter")


def cells_needed(
    rate_million_per_ml_plato: Array | float, volume_l: Array | float, plato: Array | float
) -> Array:
    """Viable cells to pitch, rate · V · P. [billion]

    The rate, 0 to 5 million/(mL °P), is 0.75 for ale, 1.5 for lager (G. and L. Fix, 1997).  Half to twice of
    it still ferments.

    >>> round(float(cells_needed(0.75, 20.0, 12.0)))
    180
    """
    return _RATE.check(rate_million_per_ml_plato) * volume_l * plato


def viability_slurry(
    days: Array | float, temp_c: Array | float, loss_per_day_at_1_c: Array | float = LOSS_PER_DAY_AT_1_C
) -> Array:
    r"""Share of a settled slurry's cells still alive. [0..1]

    .. math:: e^{-\lambda d},\quad \lambda = \lambda_1 \exp\left[\frac{75\,400}{8.314}
              \left(\frac{1}{274.15} - \frac1T\right)\right]

    Parameters
    ----------
    days, temp_c
        Age :math:`d` [d] and temperature of storage, -2 to 30. [°C]
    loss_per_day_at_1_c
        :math:`\lambda_1`; uncertain by a factor of 2.5. [1/d]

    Notes
    -----
    Through three results of McCaig and Bendiak, MBAA TQ 22 (1985): six days cost 7 % at 1 °C, 14 % at 5 and
    68 % warm, taken as 25 °C.
    """
    kelvin = _STORE.check(temp_c) + 273.15
    loss = loss_per_day_at_1_c * np.exp(75400.0 / 8.314 * (1.0 / 274.15 - 1.0 / kelvin))
    alive: Array = np.exp(-loss * _DAYS.check(days))
    return alive


def viability_liquid_pack(days: Array | float) -> Array:
    """Share of a refrigerated liquid pack's cells still alive, 0.80 after each 30 days. [0..1]

    Common practice; a producer's text has 0.75 to 0.85 at 30 days.
    """
    alive: Array = np.exp(np.log(0.80) / 30.0 * _DAYS.check(days))
    return alive


def viability_dry(days: Array | float, temp_c: Array | float = 4.0) -> Array:
    """Share of a sealed dry pack's cells still alive, of those alive when packed. [0..1]

    Four per cent a year are lost at 4 °C and 20 % at 20 °C; the rate between and beyond (-25 to 30 °C) is
    taken as exponential in temperature.  Second-hand makers' figures.
    """
    cold, warm = -np.log(0.96) / 365.0, -np.log(0.80) / 365.0
    loss = cold * np.exp(np.log(warm / cold) / 16.0 * (_DRY_STORE.check(temp_c) - 4.0))
    alive: Array = np.exp(-loss * _DAYS.check(days))
    return alive


def wort_extract_g(volume_l: Array | float, plato: Array | float) -> Array:
    """Extract in a starter's wort, V ρ P. [g]"""
    return 0.01 * volume_l * plato * density_from_plato(plato)


def starter_cells(
    initial_billion: Array | float, volume_l: Array | float, plato: Array | float, kind: StarterKind
) -> Array:
    r"""Viable cells once a starter has grown, those put in included. [billion]

    Stirred: :math:`N_0 + 1.4\,G` with G grams of extract, while fewer than 1.4 billion are put in per gram;
    the yield falls in a straight line to nothing at 3.5.  Shaken now and then: 0.6 of that.  Still:
    :math:`3.61 - 0.655 \ln x` doublings, x million/mL put in, in 9 °P wort; other strengths count as the
    volume of 9 °P wort with as much extract.

    Parameters
    ----------
    initial_billion
        Viable cells put in :math:`N_0`, 0.001 to 1e6. [billion]
    volume_l, plato
        Of the starter's wort. [L, °P]
    kind
        "still", "shaken" or "stirred".

    Notes
    -----
    Stirred: K. Troester, home counts (2012), from memory.  Still: fitted within 3 % to the five rows of C.
    White and J. Zainasheff, Yeast (2010), 5 to 200 million/mL; thinner worts are held at the growth of 5,
    and thicker ones stop growing at 247.  Shaken: common practice.
    """
    n0, grams = _CELLS.check(initial_billion), _EXTRACT.check(wort_extract_g(volume_l, plato))
    if kind == "still":
        doublings = _STILL_FREE - _STILL_SLOPE * np.log(n0 * STILL_G_PER_L / grams)
        grown: Array = n0 * np.exp2(np.clip(doublings, 0.0, _STILL_MOST))
        return grown
    yield_per_g = STIRRED_BILLION_PER_G * (1.0 if kind == "stirred" else SHAKEN_OF_STIRRED)
    return n0 + yield_per_g * grams * np.clip((_FULL - n0 / grams) / (_FULL - _CROWDED), 0.0, 1.0)


def starter_extract_g(
    initial_billion: Array | float, wanted_billion: Array | float, kind: StarterKind
) -> Array:
    """Extract a starter must have to grow `wanted_billion`, the inverse of `starter_cells`. [g]

    Each kind's curve has its inverse in closed form.  Nothing where there are cells enough; infinite where a
    still starter would have to grow more than sixfold: take a step between, or stir.
    """
    n0, wanted = _CELLS.check(initial_billion), np.asarray(wanted_billion, dtype=np.float64)
    if kind == "still":
        doublings = np.log2(np.maximum(wanted / n0, 1.0))
        grams = n0 * STILL_G_PER_L * np.exp((doublings - _STILL_FREE) / _STILL_SLOPE)
        grams = np.where(doublings > _STILL_MOST, np.inf, grams)
    else:
        yield_per_g = STIRRED_BILLION_PER_G * (1.0 if kind == "stirred" else SHAKEN_OF_STIRRED)
        at_full_yield = np.maximum(wanted - n0, 0.0) / yield_per_g
        crowded = (at_full_yield * (_FULL - _CROWDED) + n0) / _FULL
        grams = np.where(n0 > _CROWDED * at_full_yield, crowded, at_full_yield)
    return np.where(wanted > n0, grams, 0.0)


def shares_of_starter(needed_billion: Sequence[Array | float]) -> tuple[Array, ...]:
    """Share of one even suspension for each fermenter, in proportion to its need. [0..1, adding to 1]

    The shares do not depend on the count, so a wrong one moves all pitches together.
    """
    total = np.asarray(sum(needed_billion))
    return tuple(np.asarray(need / total) for need in needed_billion)
