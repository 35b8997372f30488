"""Heat and wet the grist, and say how strong the mash liquid becomes.

In:  masses of grain and water, temperatures, moisture, extract potential, conversion.
Out: strike or mash temperature, extract in solution, strength, hot level, attenuation limit.

Idea: extract is counted as the laboratory counts it.  Water bound in hydrolysis belongs to the extract and
is not taken from the water, so strength is E / (E + W + m·w) everywhere and no other term is needed.
What the bag keeps and what is rinsed out of it is in `process.rinse`.
"""

from __future__ import annotations

import numpy as np

from gylebook.figures.draws import Array
from gylebook.matter.bounds import FAHRENHEIT, PER_CENT, Range
from gylebook.matter.water import water_density

WATER_KJ_PER_KG_K = 4.19  # mean of liquid water, 20 to 80 °C; the strike balance was drawn up with it
_BALANCE = "the strike balance"
_MOISTURE = Range(
    "moisture",
    "kg/kg",
    0.0,
    0.20,
    "the Brewing Room Book 1984/85 (0 to 8 %, raw grain by extension)",
    (PER_CENT,),
    3,
)
_MASH = Range("mash_c", "°C", 30.0, 80.0, _BALANCE, (FAHRENHEIT,))
_GRAIN = Range("grain_c", "°C", -10.0, 45.0, _BALANCE, (FAHRENHEIT,))
_STRIKE = Range("strike_c", "°C", 30.0, 100.0, _BALANCE, (FAHRENHEIT,))
_EXTRACT_DRY = Range("extract_dry", "kg/kg", 0.0, 1.06, "a laboratory mash", (PER_CENT,), 3)
_CONVERSION = Range("conversion", "", 0.0, 1.0, "the definition of conversion", (PER_CENT,), 3)
_PLATO = Range("plato", "°P", 0.0, 40.0, "the strength of a mash")
_REST = Range("temp_c", "°C", 45.0, 80.0, "the wetting model", (FAHRENHEIT,))
_TRIAL = Range(
    "mash_c",
    "°C",
    50.0,
    80.0,
    "the mash trial behind the limit (65 to 80 °C, cooler by judgement)",
    (FAHRENHEIT,),
)
_MINUTES = Range("minutes", "min", 15.0, 240.0, "the correction for the length of the rest")
_LIMIT_AT_65_C = 93.4 / (1.0 + np.exp((65.0 - 75.87) / 5.458))


def grain_heat_capacity(moisture: Array | float) -> Array:
    r"""Specific heat of malt or raw grain. [kJ/kg K]

    .. math:: c = 4.19\,(0.38\,(1 - w) + w)

    Parameters
    ----------
    moisture
        Water :math:`w`, 0 to 0.20. [kg/kg]

    Notes
    -----
    Spread 5 %.  Source: Brewing Room Book 1984/85, 0.38 to 0.42 of water's for 0 to 8 % moisture.
    """
    return WATER_KJ_PER_KG_K * (0.38 + 0.62 * _MOISTURE.check(moisture))


def hydration_heat(moisture: Array | float) -> Array:
    r"""Heat set free when dry grain takes up water. [kJ/kg of grain]

    .. math:: q_h = 39.8\,e^{-14.3\,w}

    Parameters
    ----------
    moisture
        Water :math:`w`, 0 to 0.20. [kg/kg]

    Notes
    -----
    Fitted to three corrections of the Brewing Room Book 1984/85 (3, 1.5 and 1 °C at 0, 4 and 8 %), read at
    its example of 2.68 kg of water per kg; that reading is an assumption.  Spread 7 kJ/kg.
    """
    released: Array = 39.8 * np.exp(-14.3 * _MOISTURE.check(moisture))
    return released


def strike_temperature(
    mash_c: Array | float,
    grain_kg: Array | float,
    grain_c: Array | float,
    moisture: Array | float,
    water_kg: Array | float,
    vessel_kj_per_k: Array | float,
    vessel_c: Array | float | None,
    loss_kj: Array | float,
) -> Array:
    r"""Temperature of the liquor that brings the mash to `mash_c`. [°C]

    .. math:: W c_w (T_s - T_m) = m c_g (T_m - T_g) - m q_h + C_v (T_m - T_v) + Q

    Parameters
    ----------
    mash_c, grain_c
        Wanted mash and the grain before it, :math:`T_m` 30 to 80, :math:`T_g` -10 to 45. [°C]
    grain_kg, water_kg
        Grain as it is :math:`m` and liquor :math:`W`, both above zero. [kg]
    moisture
        Of the grain, 0 to 0.20. [kg/kg]
    vessel_kj_per_k, vessel_c
        Heat capacity of the vessel :math:`C_v` [kJ/K] and its temperature :math:`T_v` [°C] before the
        liquor; None for a vessel in which the liquor was heated, so that it starts with the liquor.
    loss_kj
        Heat lost while mashing in :math:`Q`. [kJ]

    Notes
    -----
    Good to about 0.6 °C in a brewery without history.  An enthalpy balance; constants as in
    `grain_heat_capacity` and `hydration_heat`.
    """
    mash_c, grain_c = _MASH.check(mash_c), _GRAIN.check(grain_c)
    per_kg = grain_heat_capacity(moisture) * (mash_c - grain_c) - hydration_heat(moisture)
    need = grain_kg * per_kg + loss_kj
    if vessel_c is None:
        return mash_c + need / (WATER_KJ_PER_KG_K * water_kg + vessel_kj_per_k)
    return mash_c + (need + vessel_kj_per_k * (mash_c - vessel_c)) / (WATER_KJ_PER_KG_K * water_kg)


def mash_temperature(
    strike_c: Array | float,
    grain_kg: Array | float,
    grain_c: Array | float,
    moisture: Array | float,
    water_kg: Array | float,
    vessel_kj_per_k: Array | float,
    vessel_c: Array | float | None,
    loss_kj: Array | float,
) -> Array:
    """Temperature of the mash made with liquor at `strike_c`, the inverse of `strike_temperature`. [°C]

    Parameters as there; `strike_c` 30 to 100. [°C]
    """
    strike_c, grain_c = _STRIKE.check(strike_c), _GRAIN.check(grain_c)
    water_heat = WATER_KJ_PER_KG_K * water_kg
    grain_heat = grain_kg * grain_heat_capacity(moisture)
    start_c = strike_c if vessel_c is None else vessel_c
    heat = water_heat * strike_c + vessel_kj_per_k * start_c + grain_heat * grain_c
    gain = grain_kg * hydration_heat(moisture) - loss_kj
    return (heat + gain) / (water_heat + vessel_kj_per_k + grain_heat)


def extract_in_mash(
    grain_kg: Array | float, moisture: Array | float, extract_dry: Array | float, conversion: Array | float
) -> Array:
    """Extract dissolved in the mash, E = m (1 - w) e c. [kg]

    `extract_dry` is the fine-grind potential on dry matter, 0 to 1.06 [kg/kg] (sucrose inverts to 1.05);
    `conversion` the share of it in solution, 0 to 1; `moisture` 0 to 0.20 [kg/kg].
    """
    dissolved = _EXTRACT_DRY.check(extract_dry) * _CONVERSION.check(conversion)
    return grain_kg * (1.0 - _MOISTURE.check(moisture)) * dissolved


def mash_strength(
    extract_kg: Array | float, water_kg: Array | float, grain_moisture_kg: Array | float
) -> Array:
    """Strength of the mash liquid, P = 100 E / (E + W + m w). [°P]

    The convention of the laboratory mash (EBC 4.5.1, ASBC Malt-4).

    >>> round(float(mash_strength(7.1052, 32.5, 0.45)), 2)
    17.74
    """
    return np.asarray(100.0 * extract_kg / (extract_kg + water_kg + grain_moisture_kg))


def greatest_first_wort(
    grain_kg: Array | float, moisture: Array | float, extract_dry: Array | float, water_kg: Array | float
) -> Array:
    """Strength of the mash liquid were all the potential dissolved; a reading above it is in error. [°P]"""
    extract_kg = extract_in_mash(grain_kg, moisture, extract_dry, 1.0)
    return mash_strength(extract_kg, water_kg, grain_kg * moisture)


def conversion_from_first_wort(
    plato: Array | float,
    grain_kg: Array | float,
    moisture: Array | float,
    extract_dry: Array | float,
    water_kg: Array | float,
) -> Array:
    """Conversion that a reading of the stirred mash liquid implies, before any rinse. [share of potential]

    c = P / (100 - P) · (W + m w) / (m (1 - w) e), P 0 to 40 °P: `mash_strength` turned round.  Above one the
    reading or the potential is in error.
    """
    plato = _PLATO.check(plato)
    potential_kg = extract_in_mash(grain_kg, moisture, extract_dry, 1.0)
    return plato / (100.0 - plato) * (water_kg + grain_kg * moisture) / potential_kg


def mash_level(
    water_kg: Array | float,
    grain_kg: Array | float,
    temp_c: Array | float,
    displacement_l_per_kg: Array | float,
) -> Array:
    """Hot level of the mash, grain included and coil not. [L at temp_c]

    V = W/ρ(T) + d·m, d the displacement of dry grain, usually 0.67 ± 0.03 [L/kg].  Conversion changes the
    sum by less than 0.02 L/kg; air trapped before stirring adds up to 1 L.
    """
    return 1000.0 * water_kg / water_density(temp_c) + displacement_l_per_kg * grain_kg


def conversion_progress(minutes: Array | float, temp_c: Array | float, tau_min: Array | float) -> Array:
    r"""Share of the final conversion reached after a rest, set by the wetting of the grits. [0..1]

    .. math:: 1 - e^{-(t - 2)/\tau},\qquad \tau = \tau_{66}\,e^{(66 - T)/12}

    Parameters
    ----------
    minutes
        Time since mashing in :math:`t`; nothing happens in the first two. [min]
    temp_c
        Rest :math:`T`, 45 to 80. [°C]
    tau_min
        Time constant at 66 °C, about 12 ± 5 for a fine crush and 20 ± 8 for a coarse one. [min]

    Notes
    -----
    A modelling choice of common practice, not a published relation.
    """
    tau = tau_min * np.exp((66.0 - _REST.check(temp_c)) / 12.0)
    progress: Array = -np.expm1(-np.maximum(minutes - 2.0, 0.0) / tau)
    return progress


def attenuation_limit(mash_c: Array | float) -> Array:
    r"""Apparent attenuation that the wort of a one-hour rest allows. [fraction]

    .. math:: A = 0.934 / (1 + e^{(T - 75.87)/5.458})

    Parameters
    ----------
    mash_c
        Mean of the first 20 minutes :math:`T`, 50 to 80, when the β-amylase acts. [°C]

    Notes
    -----
    Fitted to one trial of four points (65, 70, 75, 80 °C: 82, 70, 50, 30 %; J. Chandrasekhar, as published
    on the web in 2014), residuals below half a point; spread between malts 3 to 4 points.  Below 65 °C the
    value at 65 °C holds, and below 61 °C it falls by a point a degree: judgement, as the logistic must not
    be carried downwards.
    """
    mash_c = _TRIAL.check(mash_c)
    logistic = 93.4 / (1.0 + np.exp((mash_c - 75.87) / 5.458))
    limit: Array = 0.01 * (np.minimum(logistic, _LIMIT_AT_65_C) - np.maximum(61.0 - mash_c, 0.0))
    return limit


def attenuation_for_rest(minutes: Array | float, mash_c: Array | float) -> Array:
    """What a rest of another length than an hour adds to `attenuation_limit`. [fraction]

    0.025 ln(t/60) ± 0.01 up to 67 °C, nothing above, t 15 to 240 min.  Common practice.
    """
    minutes, mash_c = _MINUTES.check(minutes), _TRIAL.check(mash_c)
    return np.where(mash_c <= 67.0, 0.025 * np.log(minutes / 60.0), 0.0)
