"""Say how sour each malt is, and how hard it holds on to that.

In:  the kind of a malt, its colour where that matters, masses in the grist, draws of the uncertain figures.
Out: a `Grist`: the acid the whole grist brings to pH 5.7, and its buffering.

Idea: near mash pH a malt's titration is a straight line, so two numbers a malt are enough and a grist's are
their sums.  Base malts are known by their pH in distilled water, coloured and acid malts by the acid they
bring to pH 5.7; both are the same line told at different points.  Kind goes before colour: roasted malts
are about equally sour at any colour.

All pH are those of a cooled sample, 20 to 25 °C.  Levels and scatters are roundings of remembered
titrations (Troester 2009; deLange in Palmer and Kaminski, Water, 2013), wide on purpose: nothing here
replaces a reading.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import NamedTuple

import numpy as np

from gylebook.figures.draws import Array, Value
from gylebook.matter.bounds import Range

PIVOT_PH = 5.7
"""Where acidities are told, and near where malts without colour lie."""

MODEL_SHIFT_PH = (0.0, 0.13)
"""What all malts of one grist are off by together, level and scatter. [pH]

Malts' own scatters, with those of water, acid and calcium, give a mash pH to 0.09.  No measured mash went
into them, and 0.15 is all that may be claimed before own readings; this is the difference.
"""

_PH = Range("ph_distilled", "", 3.5, 8.0, "a malt mashed in distilled water")
_BUFFER = Range("buffer", "mEq/(kg pH)", 1.0, 400.0, "the buffering of malts")
_ACIDITY = Range("acidity", "mEq/kg", -100.0, 600.0, "the acid of malts (3 % lactic acid: 330)")
LEAST_CARAMEL_EBC, MOST_CARAMEL_EBC = 2.0, 500.0
_EBC = Range(
    "colour_ebc", "EBC", LEAST_CARAMEL_EBC, MOST_CARAMEL_EBC, "the line of caramel malts (20 to 400 EBC)"
)


class MaltPh(NamedTuple):
    """One kind of malt: the figure it is known by and its buffering, level and scatter of each.

    `known` is the pH in distilled water where `by_ph`, else the acid brought to pH 5.7 [mEq/kg].
    """

    by_ph: bool
    known: tuple[float, float]
    buffer: tuple[float, float]  # mEq/(kg pH)

    def acidity(self, known: Value, buffer: Value) -> Array:
        """Acid that draws of the malt's two figures bring to pH 5.7. [mEq/kg]"""
        if self.by_ph:
            return _ACIDITY.check(_BUFFER.check(buffer) * (PIVOT_PH - _PH.check(known)))
        return _ACIDITY.check(known)


class Grist(NamedTuple):
    """All the malts of one mash: acid brought to pH 5.7 [mEq] and buffering [mEq/pH]."""

    acidity: Value
    buffer: Value


def by_distilled_ph(ph: float, scatter: float, buffer: float, buffer_scatter: float) -> MaltPh:
    """A malt known by its pH in distilled water, 3.5 to 8; buffering 1 to 400 mEq/(kg pH)."""
    return MaltPh(True, (float(_PH.check(ph)), scatter), (float(_BUFFER.check(buffer)), buffer_scatter))


def by_acidity(acidity: float, scatter: float, buffer: float, buffer_scatter: float) -> MaltPh:
    """A malt known by the acid it brings to pH 5.7, -100 to 600 mEq/kg; buffering 1 to 400 mEq/(kg pH)."""
    return MaltPh(
        False, (float(_ACIDITY.check(acidity)), scatter), (float(_BUFFER.check(buffer)), buffer_scatter)
    )


def caramel_malt(colour_ebc: float) -> MaltPh:
    """A caramel malt by its colour, 15 + 0.16 E ± 10 mEq/kg; E 2 to 500, from 20 to 400 EBC of use."""
    return by_acidity(15.0 + 0.16 * float(_EBC.check(colour_ebc)), 10.0, 50.0, 15.0)


MALTS: Mapping[str, MaltPh] = MappingProxyType(
    {
        "pilsner": by_distilled_ph(5.75, 0.10, 40.0, 8.0),
        "pale": by_distilled_ph(5.65, 0.10, 40.0, 8.0),
        "vienna": by_distilled_ph(5.58, 0.10, 40.0, 8.0),
        "munich light": by_distilled_ph(5.45, 0.10, 42.0, 8.0),
        "munich dark": by_distilled_ph(5.38, 0.10, 42.0, 8.0),
        "wheat": by_distilled_ph(6.00, 0.10, 44.0, 9.0),
        "rye": by_distilled_ph(6.00, 0.12, 44.0, 10.0),
        "unmalted": by_distilled_ph(6.00, 0.25, 35.0, 12.0),
        "toasted": by_acidity(20.0, 8.0, 45.0, 12.0),
        "roasted": by_acidity(42.0, 8.0, 40.0, 12.0),
        "acidulated": by_acidity(280.0, 60.0, 40.0, 12.0),
    }
)
"""Kinds of malt but caramel malts, which go by colour: melanoidin, amber and brown are "toasted", flakes
and raw grain "unmalted"."""


def grist_of(
    masses_kg: Sequence[Value],
    malts: Sequence[MaltPh],
    known: Sequence[Value] | None = None,
    buffers: Sequence[Value] | None = None,
    shift_ph: Value = 0.0,
) -> Grist:
    """The grist's line, the sum of its malts'.

    Parameters
    ----------
    masses_kg, malts
        Of each malt its mass as it is weighed [kg] and its kind.
    known, buffers
        Draws of each malt's two figures, in the units of `MaltPh`; their levels where none are given.
    shift_ph
        What all are off by together, with the scatter of `MODEL_SHIFT_PH`. [pH]
    """
    known = [malt.known[0] for malt in malts] if known is None else known
    buffers = [malt.buffer[0] for malt in malts] if buffers is None else buffers
    acidity: Value = 0.0
    buffer: Value = 0.0
    for mass, malt, value, holding in zip(masses_kg, malts, known, buffers, strict=True):
        acidity = acidity + mass * malt.acidity(value, holding)
        buffer = buffer + mass * _BUFFER.check(holding)
    return Grist(acidity - buffer * shift_ph, buffer)


def distilled_ph(grist: Grist) -> Array:
    """pH of the grist in distilled water, where its acid is used up. []

    >>> round(float(distilled_ph(grist_of([4.0, 1.0], [MALTS["pale"], MALTS["wheat"]]))), 2)
    5.73
    """
    return np.asarray(PIVOT_PH - grist.acidity / grist.buffer)
