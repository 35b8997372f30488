"""Drain and rinse the grain as a balance of water and extract.

In:  what stands in the mash or hangs in the bag, the rinse water, how well it mixes, what stays behind.
Out: `Runoff`: water and extract that ran off and that stayed; wet masses and the level of a second vessel.

Idea: the grain keeps a *volume* of wort (r litres at 20 °C per kg), so its mass depends on the strength left
in it; run-off is whatever was there less what stays, hence mass balances by construction.  A brewer's
"absorption" is not r: dissolved extract swells the liquid by some 0.48 L per kg of grain; both are named.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from gylebook.figures.draws import Array
from gylebook.matter.bounds import PER_CENT, Range
from gylebook.matter.extract import density_from_plato
from gylebook.matter.water import DENSITY_AT_20, water_density

EXTRACT_L_PER_KG = 0.617  # apparent volume of dissolved extract, 0.615 to 0.619 for 5 to 25 °P, ± 0.003
INSOLUBLE_L_PER_KG = 0.70  # displacement of the dry matter that does not dissolve
LIFTED_KG_PER_KG = 2.1  # wet bag at the moment of lifting, 1.8 to 2.5 kg per kg grain

_BALANCE = "the rinse balance"
_RETAINED = Range("retained_l_per_kg", "L/kg", 0.0, 4.0, "the balance of a drained bag")
_APPARENT = Range("apparent_l_per_kg", "L/kg", -0.8, 4.0, "the balance of a drained bag")
_MIXING = Range("mixing", "", 0.0, 1.0, "the definition of mixing", (PER_CENT,), 2)
_BYPASS = Range("bypass", "", 0.0, 1.0, "the definition of bypass", (PER_CENT,), 2)
_RINSE = Range("rinse_kg", "kg", 0.0, 1e6, _BALANCE)
_THETA = Range("theta", "kg/kg", 0.0, 20.0, "the model of cells in series")


class Runoff(NamedTuple):
    """Water and extract on both sides of a draining. [kg]"""

    runoff_water_kg: Array
    runoff_extract_kg: Array
    bag_water_kg: Array
    bag_extract_kg: Array


def wort_held_kg(retained_l_per_kg: Array | float, grain_kg: Array | float, plato: Array | float) -> Array:
    """Wort really held by drained grain, R = r m ρ(x). [kg]

    `retained_l_per_kg` is litres at 20 °C per kg of grain as it is, 0 to 4; `plato` the strength held. [°P]
    """
    return 0.001 * _RETAINED.check(retained_l_per_kg) * grain_kg * density_from_plato(plato)


def drain(water_kg: Array | float, extract_kg: Array | float, retained_l: Array | float) -> Runoff:
    """Let the mash run off its grain. [kg]

    `water_kg` counts the grain's own moisture; `retained_l` is r·m [L at 20 °C].  Run-off and bag are equally
    strong.  Grain that could hold more than there is holds all of it.
    """
    liquid_kg = water_kg + extract_kg
    strength = extract_kg / liquid_kg
    return _part(water_kg, extract_kg, strength, retained_l)


def dunk_rinse(
    held_water_kg: Array | float,
    held_extract_kg: Array | float,
    rinse_kg: Array | float,
    mixing: Array | float,
    retained_l: Array | float,
) -> Runoff:
    r"""Hang the bag in fresh water, stir, and lift it out again. [kg]

    .. math:: x_j = \frac{R_j x_{j-1}}{R_j + W_j},\quad x_b = \mu x_j + (1 - \mu) x_{j-1},\quad
              R_{j+1} = r m \rho(x_b),\quad E_\mathrm{out} = R_j x_{j-1} - R_{j+1} x_b

    Parameters
    ----------
    held_water_kg, held_extract_kg
        In the bag before, together :math:`R_j`. [kg]
    rinse_kg
        Fresh water :math:`W_j`, 0 or more. [kg]
    mixing
        :math:`\mu`, 1 when stirred to one strength, about 0.92 stirred open, 0.75 only moved. [0..1]
    retained_l
        r·m after this draining, less when squeezed. [L at 20 °C]

    Notes
    -----
    Exact balances.  One dunk with perfect mixing leaves the share R/(R + W).
    """
    rinse_kg, mixing = _RINSE.check(rinse_kg), _MIXING.check(mixing)
    held_kg = held_water_kg + held_extract_kg
    before = held_extract_kg / held_kg
    mixed = held_extract_kg / (held_kg + rinse_kg)
    left = before + mixing * (mixed - before)
    return _part(held_water_kg + rinse_kg, held_extract_kg, left, retained_l)


def washed_share(cells: int, theta: Array | float) -> Array:
    r"""Share of its strength left in a bed washed through by θ times the wort it held. [0..1]

    .. math:: f = \frac1N \sum_{i=1}^{N} \sum_{k<i} \frac{(N\theta)^k e^{-N\theta}}{k!}
              = \frac{e^{-N\theta}}{N} \sum_{k=0}^{N-1} (N - k) \frac{(N\theta)^k}{k!}

    Parameters
    ----------
    cells
        Stirred cells in series :math:`N`, 1 to 50: 1 for a hanging bag, about 5 for a mash tun.
    theta
        Wash water over wort held, by mass, 0 to 20. [kg/kg]
    """
    if not 1 <= cells <= 50:
        raise ValueError(f"cells is {cells}; a bed is taken as 1 to 50 stirred cells")
    dose = cells * _THETA.check(theta)
    total: Array | float = 1.0
    for k in range(cells - 1, 0, -1):  # Horner: each term is the one before it times dose/k, weight N - k
        total = (cells - k) / (cells - k + 1.0) * dose / k * total + 1.0
    share: Array = np.exp(-dose) * total
    return share


def wash_rinse(
    held_water_kg: Array | float,
    held_extract_kg: Array | float,
    rinse_kg: Array | float,
    cells: int,
    bypass: Array | float,
    retained_l: Array | float,
) -> Runoff:
    r"""Pour or sprinkle water through the grain while it drains. [kg]

    .. math:: \theta = (1 - \beta) W / R_j,\quad x_b = f(N, \theta)\,x_{j-1},\quad R_{j+1} = r m \rho(x_b)

    Parameters
    ----------
    held_water_kg, held_extract_kg
        In the grain before, together :math:`R_j`. [kg]
    rinse_kg
        Water :math:`W`, 0 or more. [kg]
    cells, bypass
        :math:`N` and the share :math:`\beta` of the water that finds its way past the wort: poured over a
        hanging bag 1 and 0.4, over a level bed 2 and 0.3, a mash tun in 45 to 60 min 5 and 0.08. [0..1]
    retained_l
        r·m after draining. [L at 20 °C]

    Notes
    -----
    f is the share of held *strength*; taken as a share of held extract it would cost 0.3 to 0.5 points of
    lauter efficiency.  Bypass and cells are judgement.
    """
    rinse_kg, bypass = _RINSE.check(rinse_kg), _BYPASS.check(bypass)
    held_kg = held_water_kg + held_extract_kg
    left = washed_share(cells, (1.0 - bypass) * rinse_kg / held_kg) * held_extract_kg / held_kg
    return _part(held_water_kg + rinse_kg, held_extract_kg, left, retained_l)


def _part(
    water_kg: Array | float, extract_kg: Array | float, strength: Array | float, retained_l: Array | float
) -> Runoff:
    """Leave `retained_l` of wort of that strength behind; all else runs off, and none of it below zero."""
    held_kg = 0.001 * retained_l * density_from_plato(100.0 * strength)
    held_kg = np.minimum(held_kg, water_kg + extract_kg)
    bag_extract = np.minimum(held_kg * strength, extract_kg)
    bag_water = np.minimum(held_kg - bag_extract, water_kg)
    return Runoff(water_kg - bag_water, extract_kg - bag_extract, bag_water, bag_extract)


def apparent_absorption(
    retained_l_per_kg: Array | float, extract_per_grain: Array | float, moisture: Array | float
) -> Array:
    """A brewer's "absorption", water in less wort out: a = r - v E/m - w. [L at 20 °C per kg grain]

    `extract_per_grain` is E/m [kg/kg], all that was dissolved; v 0.617 L/kg; `moisture` w [kg/kg].

    >>> round(float(apparent_absorption(1.08, 0.71, 0.045)), 2)
    0.6
    """
    return _RETAINED.check(retained_l_per_kg) - EXTRACT_L_PER_KG * extract_per_grain - moisture


def retained_from_absorption(
    apparent_l_per_kg: Array | float, extract_per_grain: Array | float, moisture: Array | float
) -> Array:
    """Wort really held from a brewer's "absorption": r = a + v E/m + w. [L at 20 °C per kg grain]"""
    return _APPARENT.check(apparent_l_per_kg) + EXTRACT_L_PER_KG * extract_per_grain + moisture


def insoluble_kg(grain_kg: Array | float, moisture: Array | float, extract_kg: Array | float) -> Array:
    """Dry matter that stays in the bag, S = m (1 - w) - E. [kg]"""
    return np.asarray(grain_kg * (1.0 - moisture) - extract_kg)


def wet_bag_kg(held_kg: Array | float, insoluble: Array | float) -> Array:
    """Mass of the drained bag, wort held and what never dissolved. [kg]"""
    return np.asarray(held_kg + insoluble)


def lift_kg(grain_kg: Array | float, lifted_kg_per_kg: Array | float = LIFTED_KG_PER_KG) -> Array:
    """Mass on the hoist at the moment of lifting, before it drains: 2.1 (1.8 to 2.5) kg per kg grain. [kg]

    An estimate that nobody has verified; the largest single reason to weigh a bag once.
    """
    return np.asarray(lifted_kg_per_kg * grain_kg)


def bag_level(
    rinse_kg: Array | float, temp_c: Array | float, retained_l: Array | float, insoluble: Array | float
) -> Array:
    """Hot level of the second vessel with the drained bag in its rinse water. [L at temp_c]

    V = W/ρ(T) + r m ρ(20)/ρ(T) + 0.70 S, S the insoluble dry matter [kg].
    """
    hot = water_density(temp_c)
    return (1000.0 * rinse_kg + retained_l * DENSITY_AT_20) / hot + INSOLUBLE_L_PER_KG * insoluble
