"""Acidify the rinse liquor until little alkalinity is left in it.

In:  the liquor, an acid, the alkalinity to be left [mEq/L], temperature.
Out: mmol of acid for each litre, the pH it reads then, and the pH it climbs to once CO2 has left.

Idea: the same pH leaves very different alkalinity: a hard chalk water at pH 5.8 keeps 58 mg/L as CaCO3, a
soft one 3.  So the aim is what is left, and the pH is shown beside it, of a sample fresh from a closed
vessel.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from gylebook.figures.draws import Array, Value
from gylebook.matter.bounds import Range, Slip
from gylebook.matter.equilibria import speciate_open
from gylebook.matter.ions import CACO3_MASS
from gylebook.matter.solution import Solution
from gylebook.matter.titration import acid_to_reach, ph_with_alkalinity_left, with_acid

ALKALINITY_LEFT = 25.0 * 2.0 / CACO3_MASS
"""Alkalinity that rinse liquor may keep, 25 mg/L as CaCO3: what is left after the acid. [mEq/L]"""

_LEFT = Range(
    "alkalinity_left",
    "mEq/L",
    0.0,
    20.0,
    "a rinse liquor",
    (Slip("mg/L as CaCO3", lambda value: value * 2.0 / CACO3_MASS),),
    2,
)


class RinseAcid(NamedTuple):
    """Acid for the rinse liquor and what comes of it."""

    mmol_per_l: Array  # none where the liquor has no more alkalinity than may be left
    ph: Array  # stirred in and read before CO2 leaves
    liquor: Solution  # with the acid


def acid_for_rinse(
    liquor: Solution, kind: str, left: Value = ALKALINITY_LEFT, temp_c: float = 20.0
) -> RinseAcid:
    """Acid that leaves so much alkalinity in the liquor.

    Parameters
    ----------
    liquor
        Before the acid, total carbonate included.
    kind
        As in `matter.titration.with_acid`.
    left
        Alkalinity to be left, 0 to 20. [mEq/L]
    temp_c
        Of the liquor when it is read, 0 to 80. [°C]
    """
    left = np.minimum(_LEFT.check(left), liquor.alkalinity)
    ph = ph_with_alkalinity_left(liquor, left, temp_c)
    dose = np.maximum(acid_to_reach(liquor, ph, kind, temp_c), 0.0)
    return RinseAcid(dose, ph, with_acid(liquor, kind, dose))


def ph_once_flat(acidified: Solution, temp_c: float = 20.0) -> Array:
    """pH that an acidified liquor climbs to when it has stood open until its CO2 is that of the air. []"""
    return speciate_open(acidified, temp_c).ph
