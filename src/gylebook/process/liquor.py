"""Dilute a brewing liquor with purer water, tell its residual alkalinity and what its ions usually are.

In:  a `Solution`, the share a membrane lets pass, the level an ion is to have.
Out: what a membrane makes of the tap; the share of purer water that brings an ion down; residual alkalinity.

Idea: ions, alkalinity and total carbonate are what stays when waters meet, so liquors blend by volume
(`matter.solution.mixed`); a pH does not, and is worked out only where it is asked for.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

import numpy as np

from gylebook.figures.draws import Array, Value
from gylebook.matter.bounds import PER_CENT, Range
from gylebook.matter.solution import Solution, mixed

PASSED = (0.04, 0.015)
"""Share of every ion that a reverse-osmosis membrane lets pass, level and scatter.  Common practice, 2 to 7
%."""

CALCIUM_DIVISOR, MAGNESIUM_DIVISOR = 3.5, 7.0  # Kolbach (1953), of wort at knock-out

_SHARE = Range("share", "", 0.0, 1.0, "a share of the liquor", (PER_CENT,), 3)
_PASSED = Range("passed", "", 0.0, 1.0, "what a membrane lets pass", (PER_CENT,), 3)


def reverse_osmosis(tap: Solution, passed: Value = PASSED[0]) -> Solution:
    """What a membrane makes of the tap: the share `passed`, 0 to 1, of each ion and of all carbonate.

    Dissolved CO2 passes whole, so the true pH is lower, which does not matter to a mash.  Raises
    `OutsideValidity`.
    """
    return mixed([(_PASSED.check(passed), tap)])


def diluted(tap: Solution, share: Value, purer: Solution) -> Solution:
    """The tap with a share of it, 0 to 1, replaced by purer water.  Raises `OutsideValidity`."""
    share = _SHARE.check(share)
    return mixed([(1.0 - share, tap), (share, purer)])


def dilution_to(target: Value, tap: Value, purer: Value) -> Array:
    """Share of purer water that brings one ion, or the alkalinity, down to a target, (c - t)/(c - r). []

    Nothing where the tap has no more than the target; infinite where purer water has no less than it.
    All three in one unit.

    >>> round(float(dilution_to(52.0, 100.0, 4.0)), 3)
    0.5
    """
    fall = np.asarray(tap, dtype=np.float64) - purer
    wanted = np.asarray(tap, dtype=np.float64) - target
    possible = (fall >= wanted) & (fall > 0.0)
    share = np.where(possible, wanted / np.where(possible, fall, 1.0), np.inf)
    return np.where(wanted > 0.0, share, 0.0)


def residual_alkalinity(liquor: Solution) -> Array:
    """Residual alkalinity, Alk - Ca/3.5 - Mg/7 with all three in mEq/L. [mEq/L]

    Told to explain a liquor, never to predict a mash: it was found on wort at knock-out, where 3.57 mEq/L
    raise the pH by 0.3.  Source: P. Kolbach, Monatsschrift für Brauerei 6, 49 (1953), from memory.
    """
    calcium, magnesium = 2.0 * liquor.calcium, 2.0 * liquor.magnesium
    return np.asarray(liquor.alkalinity - calcium / CALCIUM_DIVISOR - magnesium / MAGNESIUM_DIVISOR)


class Guide(NamedTuple):
    """What an ion of a brewing liquor usually is, and beyond which it is tasted or unfit. [mg/L]"""

    least: float
    most: float
    beyond: float


# Custom of the trade (Palmer and Kaminski, Water, 2013; Briggs et al. 2004, both from memory); drinking water
# by WHO: nitrate 50 as NO3 (confirmed), sulphate, chloride 250 and sodium 200 by taste (from memory).
GUIDES: Mapping[str, Guide] = MappingProxyType(
    {
        "calcium": Guide(50.0, 150.0, 250.0),
        "magnesium": Guide(0.0, 30.0, 50.0),
        "sodium": Guide(0.0, 100.0, 200.0),
        "chloride": Guide(0.0, 150.0, 250.0),
        "sulphate": Guide(0.0, 250.0, 400.0),
        "nitrate": Guide(0.0, 25.0, 50.0),
    }
)
