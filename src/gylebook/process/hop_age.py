"""Age hops in the store.

In:  a laboratory's storage index, or days, temperature, packing and kind of keeper.
Out: share of the alpha acids lost, and left.

Idea: loss is of first order, twice as fast every 15 °C.  Do not correct twice: a pack's figure measured after
harvest already contains part of the loss, so days count from the day of that analysis, and a storage index
stands in place of days, never on top of them.  As alpha acids fall humulinones rise, so bitterness as tasted
falls more slowly than this.
"""

from __future__ import annotations

import numpy as np

from gylebook.figures.draws import Array, Value
from gylebook.matter.bounds import FAHRENHEIT, PER_CENT, Range

# Share of the alpha acids lost in six months at 20 °C; usual kinds after Garetz (1994).
KEEPERS = {"good": 0.15, "fair": 0.25, "weak": 0.35, "poor": 0.50}
RATE_SCATTER = 0.40  # of ln, on the rate of one lot; judgement
PACKED = {
    "open": 1.0,
    "film": 0.75,
    "airless": 0.5,
}  # from memory, after Garetz: film holds air, or none is left
SLOPES = {1969: 1.018, 1975: 1.113, 1976: 1.145, 1977: 1.146}  # by crop, Nickerson & Likens (1979)
USUAL_SLOPE = 1.10
FRESH_INDEX = 0.25
INDEX_SCATTER = (0.013, 0.028)  # of the reading, within and between laboratories

_NICKERSON = "Nickerson & Likens (1979)"
_GARETZ = "Garetz (1994)"
_INDEX = Range("storage index", "", 0.15, 2.0, _NICKERSON)
_LOST = Range("lost", "", 0.0, 0.99, _NICKERSON, (PER_CENT,), 2)
_SIX_MONTHS = Range("lost_in_six_months", "", 0.0, 0.9, _GARETZ, (PER_CENT,), 2)
_STORE = Range("temp_c", "°C", -30.0, 40.0, _GARETZ, (FAHRENHEIT,))
_DAYS = Range("days", "d", 0.0, 3650.0, _GARETZ)
_PACKING = Range("packing", "", 0.3, 1.2, _GARETZ)


def lost_by_index(index: Value, slope: Value = USUAL_SLOPE) -> Array:
    """Share of alpha and beta acids lost since harvest, s log10(index/0.25). [0..1]

    `index` is A(275)/A(325) of the alkaline extract, 0.15 to 2; none is lost at or below 0.25.  `slope` 1.018
    to 1.146 by crop.  Source: G. B. Nickerson and S. T. Likens, J. ASBC 37, 184 (1979).

    >>> round(float(lost_by_index(0.31)), 3)
    0.103
    """
    return np.asarray(slope * np.log10(np.maximum(_INDEX.check(index) / FRESH_INDEX, 1.0)))


def index_from_lost(lost: Value, slope: Value = USUAL_SLOPE) -> Array:
    """Storage index of hops that have lost that share, the inverse of `lost_by_index`. []"""
    return np.asarray(FRESH_INDEX * 10.0 ** (_LOST.check(lost) / slope))


def ageing_rate(lost_in_six_months: Value) -> Array:
    """Rate of loss at 20 °C in the open, -ln(1 - L)/180. [1/d]

    `lost_in_six_months` is L at 20 °C, 0 to 0.9; see `KEEPERS`.
    """
    return np.asarray(-np.log1p(-_SIX_MONTHS.check(lost_in_six_months)) / 180.0)


def speed_at(temp_c: Value) -> Array:
    """How fast hops age at a temperature against 20 °C, 2^((T - 20)/15). []

    `temp_c` -30 to 40 °C.  Source: M. Garetz, BrewingTechniques 2(1), 1994.
    """
    return np.asarray(np.exp2((_STORE.check(temp_c) - 20.0) / 15.0))


def alpha_left(
    days: Value,
    temp_c: Value,
    lost_in_six_months: Value,
    packing: Value = PACKED["open"],
    rate_factor: Value = 1.0,
) -> Array:
    r"""Share of the alpha acids left after some time in the store. [0..1]

    .. math:: e^{-k\,f_T\,f_S\,d}

    Parameters
    ----------
    days
        :math:`d`, 0 to 3650, since the alpha acids were analysed. [d]
    temp_c
        Of the store, -30 to 40; :math:`f_T` by `speed_at`. [°C]
    lost_in_six_months
        At 20 °C in the open, 0 to 0.9; :math:`k` by `ageing_rate`. [0..1]
    packing
        :math:`f_S`, 0.3 to 1.2, see `PACKED`.
    rate_factor
        What one lot's rate is to its kind's; lognormal with `RATE_SCATTER`.

    Notes
    -----
    Stretches at different temperatures multiply.  Source: M. Garetz, BrewingTechniques 2(1), 1994, whose
    printed equation for the alpha acids at first lacks a minus sign (100 - % lost is meant).
    """
    rate = ageing_rate(lost_in_six_months) * speed_at(temp_c) * _PACKING.check(packing) * rate_factor
    return np.asarray(np.exp(-rate * _DAYS.check(days)))
