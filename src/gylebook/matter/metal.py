"""Tell what a vessel's wall takes up in heat and how it grows.

In:  the material by name, temperature [°C].
Out: specific heat [kJ/(kg K)], volume of the vessel relative to 20 °C [-].

Idea: a vessel's marks are made cold.  Hot wort has grown, and so has the kettle: what is read on the marks is
wort's expansion divided by the vessel's.  Masses, thicknesses and shapes belong to `brewery`.
"""

from __future__ import annotations

from typing import Literal

from gylebook.figures.draws import Array
from gylebook.matter.bounds import FAHRENHEIT, Range

Metal = Literal["stainless", "aluminium", "copper", "glass", "plastic"]

# Handbook values at room temperature, from memory: 18/8 steel, pure aluminium and copper, soda-lime glass
# (its expansion as ISO 1768 has it for hydrometers), polyethylene (whose expansion varies by a third).
_SPECIFIC_HEAT: dict[Metal, float] = {
    "stainless": 0.50,
    "aluminium": 0.90,
    "copper": 0.385,
    "glass": 0.84,
    "plastic": 1.9,
}
_CUBIC_EXPANSION: dict[Metal, float] = {
    "stainless": 48e-6,
    "aluminium": 69e-6,
    "copper": 50e-6,
    "glass": 25e-6,
    "plastic": 450e-6,
}
_VESSEL = Range("temp_c", "°C", -10.0, 120.0, "a constant expansion of the vessel", (FAHRENHEIT,))


def metal_specific_heat(metal: Metal) -> float:
    """Specific heat of a vessel's material, good to about 3 %. [kJ/(kg K)]"""
    return _SPECIFIC_HEAT[metal]


def vessel_expansion(metal: Metal, temp_c: Array | float) -> Array:
    """Volume that a vessel holds to a mark at temp_c −10 to 120 [°C], over that at 20 °C. [-]

    1 + β (t − 20), β the cubic expansion.  Raises `OutsideValidity`.
    >>> round(float(vessel_expansion("stainless", 100.0)), 5)
    1.00384
    """
    t = _VESSEL.check(temp_c)
    return 1.0 + _CUBIC_EXPANSION[metal] * (t - 20.0)
