"""Boil water off the wort.

In:  net heat into the kettle and what leaves it other than as steam, or a known rate; time.
Out: litres an hour, kilograms evaporated, minutes to a wanted strength.

Idea: power sets a rolling boil, not the batch, so the rate is litres an hour and never per cent.  Extract
stays: only water leaves, by mass.
"""

from __future__ import annotations

import numpy as np

from gylebook.figures.draws import Array
from gylebook.matter.bounds import FAHRENHEIT, Range
from gylebook.matter.water import DENSITY_AT_20, latent_heat

_KG_PER_L = 0.001 * DENSITY_AT_20
_NET = Range("net_kw", "kW", 0.0, 1000.0, "the boil-off balance")
_BOIL = Range("boil_c", "°C", 80.0, 105.0, "the boil-off balance", (FAHRENHEIT,))
_MINUTES = Range("minutes", "min", 0.0, 1440.0, "a boil within one day")
_PLATO = Range("plato", "°P", 0.01, 60.0, "a wort that is boiled down")


def boil_off_rate(
    net_kw: Array | float, other_losses_kw: Array | float, boil_c: Array | float = 100.0
) -> Array:
    r"""Water boiled off in an hour. [L at 20 °C per h]

    .. math:: 3600\,(P - Q) / (h_{fg}\,\rho_{20})

    Parameters
    ----------
    net_kw
        Heat that reaches the wort :math:`P`, 0 or more. [kW]
    other_losses_kw
        Through wall, splash and radiation :math:`Q`, 0.6 ± 0.2 for a bare kettle of 60 L. [kW]
    boil_c
        Boiling temperature, 80 to 105. [°C]

    Notes
    -----
    1 kW boils 1.60 L an hour.  Nothing boils where the losses exceed the heat.
    """
    spare_kw = np.maximum(_NET.check(net_kw) - other_losses_kw, 0.0)
    return spare_kw * 3600.0 / (latent_heat(_BOIL.check(boil_c)) * _KG_PER_L)


def evaporated_kg(rate_l_per_h: Array | float, minutes: Array | float) -> Array:
    """Water gone after `minutes` at a rate in litres at 20 °C an hour. [kg]"""
    return rate_l_per_h * _MINUTES.check(minutes) * (_KG_PER_L / 60.0)


def minutes_to_strength(
    water_kg: Array | float, extract_kg: Array | float, plato: Array | float, rate_l_per_h: Array | float
) -> Array:
    """Boil that brings the wort to a strength, t = (M - E/x)/rate. [min]

    `plato` above 0 to 60 °P.  Below zero where the wort is stronger already; without any boil-off it is
    infinite, unless the wort is there.
    """
    surplus_kg = water_kg + extract_kg - 100.0 * extract_kg / _PLATO.check(plato)
    with np.errstate(divide="ignore", invalid="ignore"):
        hours = np.divide(surplus_kg, rate_l_per_h * _KG_PER_L)
    minutes: Array = 60.0 * np.where(surplus_kg == 0.0, 0.0, hours)
    return minutes
