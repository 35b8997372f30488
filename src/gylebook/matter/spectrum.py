"""Turn what a liquid lets through into the colour that a screen shows.

In:  transmission from 380 to 780 nm at 5 nm, the wavelengths on the last axis [0..1].
Out: CIE XYZ and sRGB, the three channels on the last axis.

Idea: daylight (D65) through the liquid, seen by the CIE 1931 2° observer, is one product with a table of
81 x 3 weights.  It is the colour against a white ground of a liquid without haze, with no glass or room
round it: approximate.  How a channel is written for a screen is for a face to say.
"""

from __future__ import annotations

import numpy as np

from gylebook.figures.draws import Array
from gylebook.matter.bounds import PER_CENT, Range
from gylebook.matter.cie import D65, OBSERVER

_TRANSMISSION = Range(
    "transmission", "of the light", 0.0, 1.0, "a liquid that gives no light of its own", (PER_CENT,), 3
)
_WEIGHTS = (OBSERVER * D65).T / (OBSERVER[1] @ D65)
_SRGB_OF_XYZ = np.array(
    (
        (3.2406, -1.5372, -0.4986),
        (-0.9689, 1.8758, 0.0415),
        (0.0557, -0.2040, 1.0570),
    )
)


def xyz_from_transmission(transmission: Array) -> Array:
    r"""Tristimulus values of daylight through a liquid, Y = 1 with nothing in the way. [-]

    .. math:: X = k \sum S(\lambda)\, T(\lambda)\, \bar x(\lambda), \quad k = 1 / \sum S \bar y

    Parameters
    ----------
    transmission
        :math:`T` at the 81 wavelengths of `cie.WAVELENGTH_NM`, 0 to 1, shape (..., 81). [-]

    Notes
    -----
    For a smooth spectrum, such as that of beer, within 1e-4 of a sum at 1 nm.  Raises `OutsideValidity`.
    Source: CIE 015:2018, Colorimetry, from memory; D65 and 2° observer of CIE 018:2019.
    """
    xyz: Array = _TRANSMISSION.check(transmission) @ _WEIGHTS
    return xyz


def linear_srgb_from_xyz(xyz: Array) -> Array:
    """Linear red, green and blue of tristimulus values, shape (..., 3). [-]

    Below 0 or above 1 where a screen cannot show the colour.  Source: IEC 61966-2-1:1999, white D65.
    """
    linear: Array = xyz @ _SRGB_OF_XYZ.T
    return linear


def srgb_from_linear(linear: Array) -> Array:
    """Red, green and blue as a screen is given them, clipped to 0..1. [-]

    12.92 C up to 0.0031308, then 1.055 C^(1/2.4) - 0.055.  Source: IEC 61966-2-1:1999.
    """
    light = np.clip(linear, 0.0, 1.0)
    srgb: Array = np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1.0 / 2.4) - 0.055)
    return srgb


def srgb_from_transmission(transmission: Array) -> Array:
    """Red, green and blue of daylight through a liquid, shape (..., 3), each 0 to 1. [-]

    `transmission` as in `xyz_from_transmission`, whose range and errors hold.  What a screen cannot show is
    clipped: amber and darker beer has less blue than sRGB can hold.
    """
    return srgb_from_linear(linear_srgb_from_xyz(xyz_from_transmission(transmission)))
