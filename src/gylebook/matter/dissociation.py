"""Tell how readily acids and pairs of ions fall apart at a temperature, and how ions hinder each other.

In:  temperature 0 to 80 [°C], ionic strength [mol/L].
Out: `Constants`, each at no ionic strength [mol/L or its powers]; γ of one charge [-].

Idea: one table of log10 K(T) a source; every constant is dissociation for an acid, association for a pair.
What they do together in a water is solved in `equilibria`.

Sources: carbonic acid, calcite and its pairs, L. N. Plummer and E. Busenberg, Geochim. Cosmochim. Acta 46,
1011 (1982), measured from 0 to 90 °C; water, H. S. Harned and W. J. Hamer, J. Am. Chem. Soc. 55, 2194 (1933),
from memory, to 60 °C; lactic acid, A. W. Martin and H. V. Tartar, J. Am. Chem. Soc. 59, 2672 (1937), to
50 °C; phosphoric acid, R. G. Bates, J. Res. NBS 47, 127 (1951), and R. G. Bates and S. F. Acree, J. Res. NBS
30, 129 (1943), the latter from memory, to 60 °C, its third step and every other pair from the data of a
program for aqueous chemistry (phreeqc.dat); citric acid, a fit to R. G. Bates and G. D. Pinching, J. Am.
Chem. Soc. 71, 1274 (1949), to 50 °C, printed with two signs wrong.  Beyond their ends all are drawn on.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import numpy as np

from gylebook.figures.draws import Array
from gylebook.matter.bounds import FAHRENHEIT, Range
from gylebook.matter.horner import polynomial
from gylebook.matter.water import water_density

_TEMPERATURE = Range("temp_c", "°C", 0.0, 80.0, "the constants of dissociation known here", (FAHRENHEIT,))
_STRENGTH = Range("ionic_strength", "mol/L", 0.0, 0.2, "the equation of Davies, good to 0.1,")

_LN10 = float(np.log(10.0))
_PER_KCAL = 4184.0 / (_LN10 * 8.31446)  # enthalpy [kcal/mol] over R ln 10 [K]
_ROOM = 298.15

# Association, log10 K at 25 °C and its enthalpy [kcal/mol], from phreeqc.dat; the last three
# let a proton go.
_VAN_T_HOFF = {
    "calcium_sulphate": (2.25, 1.325),
    "magnesium_sulphate": (2.37, 4.550),
    "sodium_sulphate": (0.70, 1.120),
    "sodium_bicarbonate": (-0.25, -1.0),
    "sodium_carbonate": (1.27, 8.91),
    "calcium_phosphate1": (1.408, 3.4),
    "magnesium_phosphate1": (1.513, 3.4),
    "calcium_phosphate2": (2.739, 3.3),
    "magnesium_phosphate2": (2.87, 3.3),
    "alkali_phosphate2": (0.29, 0.0),
    "calcium_phosphate3": (6.459, 3.10),
    "magnesium_phosphate3": (6.589, 3.10),
    "phosphoric3": (-12.346, 3.530),
    "calcium_hydroxide": (-12.78, 0.0),
    "magnesium_hydroxide": (-11.44, 15.952),
}


class Constants(NamedTuple):
    """Equilibrium constants at one temperature, or one for each draw. [mol/L or its powers]"""

    henry: Array
    """CO2 in water under 1 atm. [mol/(L atm)]"""
    calcite: Array
    """Solubility product."""
    water: Array
    carbonic1: Array
    carbonic2: Array
    hydrogen_sulphate: Array
    phosphoric1: Array
    phosphoric2: Array
    phosphoric3: Array
    lactic: Array
    citric1: Array
    citric2: Array
    citric3: Array
    calcium_bicarbonate: Array
    calcium_carbonate: Array
    magnesium_bicarbonate: Array
    magnesium_carbonate: Array
    sodium_bicarbonate: Array
    sodium_carbonate: Array
    calcium_sulphate: Array
    magnesium_sulphate: Array
    sodium_sulphate: Array
    potassium_sulphate: Array
    calcium_phosphate1: Array
    magnesium_phosphate1: Array
    calcium_phosphate2: Array
    magnesium_phosphate2: Array
    alkali_phosphate2: Array
    calcium_phosphate3: Array
    magnesium_phosphate3: Array
    calcium_hydroxide: Array
    magnesium_hydroxide: Array


def log_constants(temp_c: Array | float) -> dict[str, Array]:
    """log10 of each of the `Constants`, temp_c 0 to 80 [°C].  Raises `OutsideValidity`.

    >>> round(float(log_constants(25.0)["carbonic1"]), 3)
    -6.352
    """
    kelvin = _TEMPERATURE.check(temp_c) + 273.15
    log_t, ln_t, inverse = np.log10(kelvin), np.log(kelvin), 1.0 / kelvin
    plummer = {
        "henry": (108.3865, 0.01985076, -6919.53, -40.45154, 669365.0),
        "carbonic1": (-356.3094, -0.06091964, 21834.37, 126.8339, -1684915.0),
        "carbonic2": (-107.8871, -0.03252849, 5151.79, 38.92561, -563713.9),
        "calcite": (-171.9065, -0.077993, 2839.319, 71.595, 0.0),
        "calcium_bicarbonate": (1209.120, 0.31294, -34765.05, -478.782, 0.0),
        "calcium_carbonate": (-1228.732, -0.299444, 35512.75, 485.818, 0.0),
        # These from phreeqc.dat, in the same form.
        "magnesium_bicarbonate": (-59.215, 0.0, 2537.455, 20.92298, 0.0),
        "magnesium_carbonate": (0.9910, 0.00667, 0.0, 0.0, 0.0),
        "potassium_sulphate": (3.106, 0.0, -673.6, 0.0, 0.0),
        "hydrogen_sulphate": (56.889, -0.006473, -2307.9, -19.8858, 0.0),
    }
    citric = {
        "citric1": (-646.52280, 14264.1855, 115.34510, -0.2204),
        "citric2": (-52.19970, -1842.97387, 11.19421, -0.05487),
        "citric3": (-129.89305, -394.04129, 25.36088, -0.09394),
    }
    logs = {
        name: a + b * kelvin + c * inverse + d * log_t + e * inverse * inverse
        for name, (a, b, c, d, e) in plummer.items()
    }
    logs |= {
        name: (a + b * inverse + c * ln_t + d * kelvin) * (1.0 / _LN10)
        for name, (a, b, c, d) in citric.items()
    }
    warmer = _PER_KCAL * (1.0 / _ROOM - inverse)
    logs |= {name: log_25 + enthalpy * warmer for name, (log_25, enthalpy) in _VAN_T_HOFF.items()}
    logs["water"] = 6.0875 - 4470.99 * inverse - 0.017060 * kelvin
    logs["phosphoric1"] = 4.5535 - 799.31 * inverse - 0.013486 * kelvin
    logs["phosphoric2"] = 5.3541 - 1979.5 * inverse - 0.01984 * kelvin
    logs["lactic"] = -3.857 - 5e-5 * (kelvin - 295.65) ** 2
    return logs


def constants(temp_c: Array | float) -> Constants:
    """Every constant at temp_c, 0 to 80 [°C]: 10 to the power of `log_constants`.

    Raises `OutsideValidity`.
    """
    if np.ndim(temp_c) == 0:
        return _constants_at(float(temp_c))
    return Constants(**{name: np.exp(_LN10 * log) for name, log in log_constants(temp_c).items()})


@lru_cache(maxsize=64)
def _constants_at(temp_c: float) -> Constants:
    """The constants at one temperature; a brew knows few, and asks for each many times."""
    return Constants(**{name: np.exp(_LN10 * log) for name, log in log_constants(temp_c).items()})


def debye_huckel(temp_c: Array | float) -> Array:
    """Slope A of −log10 γ with √I at no ionic strength, temp_c 0 to 80 [°C]. [√(L/mol)]

    1.8248e6 √ρ (ε T)^(−3/2), ρ in g/mL, ε = 87.740 − 0.40008 t + 9.398e-4 t² − 1.410e-6 t³ (C. G. Malmberg
    and A. A. Maryott, J. Res. NBS 56, 1, 1956, from memory).  Raises `OutsideValidity`.
    >>> round(float(debye_huckel(25.0)), 3)
    0.511
    """
    t = _TEMPERATURE.check(temp_c)
    permittivity = polynomial(t, (-1.410e-6, 9.398e-4, -0.40008, 87.740))
    slope: Array = 1.8248e6 * np.sqrt(0.001 * water_density(t)) * (permittivity * (t + 273.15)) ** -1.5
    return slope


def activity_coefficient(ionic_strength: Array | float, temp_c: Array | float) -> Array:
    """Activity of a singly charged ion over its concentration, γ; of a charge z it is γ^(z²). [-]

    log10 γ = −A [√I/(1 + √I) − 0.3 I], I = ionic_strength 0 to 0.2 [mol/L], good to about 0.1; A of
    `debye_huckel`, temp_c 0 to 80 [°C].  Raises `OutsideValidity`.

    Source: C. W. Davies, Ion Association (1962), from memory.
    >>> round(float(activity_coefficient(0.01, 25.0)), 3)
    0.902
    """
    return davies(_STRENGTH.check(ionic_strength), -_LN10 * debye_huckel(temp_c))


def davies(strength: Array, slope: Array) -> Array:
    """γ of one charge from I [mol/L] and slope −A ln 10, or 1/γ with +A ln 10, all unchecked. [-]"""
    root = np.sqrt(strength)
    gamma: Array = np.exp(slope * (root / (1.0 + root) - 0.3 * strength))
    return gamma
