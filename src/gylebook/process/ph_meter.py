"""Tell what a pH meter shows of a mash, by how the sample was taken and the meter used.

In:  the mash's pH at room temperature, temperature of the sample, the way of reading, the shift for a kelvin.
Out: the reading; and back, the room-temperature pH behind one.

Idea: two things change with temperature.  The electrode's slope does, which a meter with temperature
correction takes off; the mash itself does, hotter being more acid, which no meter takes off.  All pH of
this program are of a cooled sample; a hot one only loses precision and wears the electrode.
"""

from __future__ import annotations

from typing import Literal

import numpy as np

from gylebook.figures.draws import Array, Value
from gylebook.matter.bounds import FAHRENHEIT, Range

Way = Literal["cooled", "hot, corrected", "hot, uncorrected"]
"""The sample cooled to room; or read hot, by a meter that knows its temperature, or by one that does not."""

SHIFT_PER_K = (0.0065, 0.0015)
"""How much more acid a mash is for each kelvin, level and scatter. [1/K]

0.35 at 65 °C and 0.45 at 78 °C (Briggs et al. 2004, second-hand); others have 0.2 to 0.3.
"""
METER_SCATTER = 0.04
"""What a calibrated meter is off by. [pH]"""

_ROOM_C, _CALIBRATED_C = 20.0, 25.0
_SAMPLE = Range("sample_c", "°C", 0.0, 100.0, "an electrode in a mash", (FAHRENHEIT,))
_PH = Range("ph", "", 0.0, 14.0, "the scale of pH")


def meter_reading(ph_room: Value, sample_c: Value, way: Way, shift_per_k: Value = SHIFT_PER_K[0]) -> Array:
    r"""What the meter shows. []

    .. math:: pH_T = pH_{20} - s (T - 20),\quad
              R = 7 + (pH_T - 7)\,\frac{T + 273.15}{298.15}\ \text{where uncorrected}

    Parameters
    ----------
    ph_room
        Of the cooled sample, 0 to 14.
    sample_c
        Of the sample while it is read :math:`T`, 0 to 100; of no account where it was cooled. [°C]
    shift_per_k
        :math:`s`; see `SHIFT_PER_K`. [1/K]

    Notes
    -----
    The Nernst slope of a meter set at 25 °C, zero at pH 7.
    """
    ph, sample = _PH.check(ph_room), _SAMPLE.check(sample_c)
    if way == "cooled":
        return ph
    hot = ph - shift_per_k * (sample - _ROOM_C)
    return hot if way == "hot, corrected" else 7.0 + (hot - 7.0) * _slope(sample)


def ph_when_cooled(reading: Value, sample_c: Value, way: Way, shift_per_k: Value = SHIFT_PER_K[0]) -> Array:
    """Room-temperature pH behind a reading, the inverse of `meter_reading`. []"""
    shown, sample = _PH.check(reading), _SAMPLE.check(sample_c)
    if way == "cooled":
        return shown
    hot = shown if way == "hot, corrected" else 7.0 + (shown - 7.0) / _slope(sample)
    return np.asarray(hot + shift_per_k * (sample - _ROOM_C))


def _slope(sample_c: Array) -> Array:
    """Electrode slope over that at which the meter was set. []"""
    return (sample_c + 273.15) / (_CALIBRATED_C + 273.15)
