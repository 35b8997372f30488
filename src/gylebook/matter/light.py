"""Turn sugar into the bending of light and back.

In:  sucrose by mass [°Bx], or refractive index at 20 °C and 589 nm [-].
Out: the other one.

Idea: the scale of sucrose, and no more.  Why wort reads 4 % high on it, and what alcohol does to a reading,
is told where instruments are (`process`).
"""

from __future__ import annotations

from gylebook.figures.draws import Array
from gylebook.matter.bounds import Range, Slip
from gylebook.matter.horner import polynomial

_INDEX_OF_BRIX = (1.76585e-8, 5.39770e-6, 1.42757e-3, 1.33299)
_SLOPE_OF_BRIX = (3.0 * 1.76585e-8, 2.0 * 5.39770e-6, 1.42757e-3)

_SCALE = "the sucrose scale of ICUMSA SPS-3"
# The table starts at 0; the curve is nearly straight there, and a noisy reading of water must not be refused.
_BRIX = Range("brix", "°Bx", -2.0, 40.0, _SCALE)
_INDEX = Range(
    "n",
    "nD",
    1.3301,
    1.3999,
    _SCALE,
    (Slip("°Bx", lambda brix: 1.33299 + brix * (1.42757e-3 + brix * 5.39770e-6)),),
    digits=4,
)


def refractive_index_from_brix(brix: Array | float) -> Array:
    """Refractive index n of a sucrose solution at 20 °C, 589 nm, brix −2 to 40 [°Bx]. [-]

    n = 1.33299 + 1.42757e-3 B + 5.39770e-6 B² + 1.76585e-8 B³, fitted to ICUMSA SPS-3 within 5e-6, which is
    0.004 °Bx.  Raises `OutsideValidity`.
    """
    return polynomial(_BRIX.check(brix), _INDEX_OF_BRIX)


def brix_from_refractive_index(n: Array | float) -> Array:
    """Sucrose by mass of a solution with refractive index n 1.3301 to 1.3999 [-] at 20 °C. [°Bx]

    The inverse of `refractive_index_from_brix` to rounding, by Newton's rule.  Raises `OutsideValidity`.
    """
    n = _INDEX.check(n)
    brix = (n - 1.33299) * 620.0  # the mean slope starts it within 2 °Bx everywhere
    # Newton squares the error at each turn: 1.5, 0.008, 3e-7 °Bx, then rounding.
    for _ in range(3):
        brix = brix - (polynomial(brix, _INDEX_OF_BRIX) - n) / polynomial(brix, _SLOPE_OF_BRIX)
    return brix
