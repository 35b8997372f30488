"""Foretell the colour of wort and beer, and show it.

In:  malt by mass and colour, wort volume, hours of boil, depth of the glass.
Out: malt colour units, SRM, SRM litres (colour times volume), transmission and sRGB of the beer.

Idea: absorbance adds.  A published relation turns the grist into colour once; from there on the state is
SRM litres, which are divided, diluted and blended as masses are.  The relation is never asked again about a
diluted wort: 20 SRM with as much water are 10, where the relation would say 12.4.  Malt colours are those of
the spectrophotometer.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from gylebook.figures.draws import Array
from gylebook.matter.bounds import Range, Slip
from gylebook.matter.cie import WAVELENGTH_NM
from gylebook.matter.spectrum import srgb_from_transmission

EBC_PER_SRM = 25.0 / 12.7  # absorbance at 430 nm through 1 cm, times 25 and times 12.7
KEPT_IN_FERMENTATION = 0.92  # ± 0.05
BOIL_EBC_PER_HOUR = 1.5  # ± 1.0, at 12 °P
TEA_YIELD = 0.7  # ± 0.2

_L_KG_PER_GAL_LB = 3.785411784 / 0.45359237  # MCU are counted in pounds and US gallons
_CONGRESS_L_PER_KG = 8.5  # wort of the laboratory mash, 50 g of malt made up to 450 g
_LEAST_SD_SRM = 0.8

_SRM = Range("srm", "SRM", 0.0, 1000.0, "the colour of beer, wort and grain tea")
_MALT_SRM = Range("malt_srm", "SRM", 0.2, 1270.0, "the colour of malts (colourless sugar adds none)")
_LOVIBOND = Range("lovibond", "°L", 0.0, 940.0, "the colour of malts")
_LINEAR = Range("mcu", "MCU", 0.0, 10.5, "the linear rule")
_MOREY = Range("mcu", "MCU", 0.0, (50.0 / 1.4922) ** (1.0 / 0.6859), "Morey's relation (below 50 SRM)")
_MOSHER = Range("mcu", "MCU", 7.0, np.inf, "Mosher (1994)")
_DANIELS = Range("mcu", "MCU", 11.0, np.inf, "Daniels (1996)")
_HOURS = Range("hours", "h", 0.0, 12.0, "a boil", (Slip("minutes", lambda minutes: minutes / 60.0),))
_PATH = Range("path_cm", "cm", 0.0, 50.0, "a glass", (Slip("mm", lambda mm: mm / 10.0),))
_NM = Range("wavelength_nm", "nm", 380.0, 780.0, "the average spectrum of beer")


def ebc_from_srm(srm: Array | float) -> Array | float:
    """The same colour on the EBC scale, 25 A instead of 12.7 A. [EBC]

    A is the absorbance of the clear liquid at 430 nm through 1 cm (ASBC Beer-10, EBC 9.6).
    """
    return EBC_PER_SRM * srm


def srm_from_ebc(ebc: Array | float) -> Array | float:
    """The same colour on the SRM scale, 12.7 A instead of 25 A. [SRM]"""
    return ebc / EBC_PER_SRM


def srm_from_lovibond(lovibond: Array | float) -> Array:
    """Colour of a malt's laboratory wort, 1.3546 L - 0.76; `lovibond` L 0 to 940. [SRM]

    From memory; a rounded form was seen.  Below 0.6 °L it would be negative: no malt is so pale.  Raises
    `OutsideValidity`.
    """
    return 1.3546 * _LOVIBOND.check(lovibond) - 0.76


def lovibond_from_srm(malt_srm: Array | float) -> Array:
    """A malt's colour on the visual scale, (SRM + 0.76) / 1.3546; `malt_srm` 0.2 to 1270. [°L]

    The inverse of `srm_from_lovibond`.  Raises `OutsideValidity`.
    """
    return (_MALT_SRM.check(malt_srm) + 0.76) / 1.3546


def malt_colour_units(
    grain_kg: Sequence[Array | float], lovibond: Sequence[Array | float], volume_l: Array | float
) -> Array:
    r"""Colour that the grist would give if all of it reached the wort. [MCU = lb °L per US gallon]

    .. math:: M = 8.3454 \sum m_i C_i / V

    Parameters
    ----------
    grain_kg, lovibond
        Mass :math:`m` [kg] and colour :math:`C`, 0 to 940 [°L], of each grain.
    volume_l
        Wort at 20 °C once it is boiled :math:`V`, before anything dilutes it. [L]

    Notes
    -----
    Nearly the sum of laboratory worts: one kilogram of malt gives 8.5 L of them.  Raises `OutsideValidity`.

    >>> round(float(malt_colour_units([4.0, 0.25], [2.0, 60.0], 20.0)), 2)
    9.6
    """
    coloured: Array = np.zeros(())
    for kg, colour in zip(grain_kg, lovibond, strict=True):
        coloured = coloured + kg * _LOVIBOND.check(colour)
    units: Array = _L_KG_PER_GAL_LB * coloured / volume_l
    return units


def srm_linear(mcu: Array | float) -> Array:
    """Colour of a pale beer, SRM = MCU; `mcu` 0 to 10.5. [SRM]

    The plain sum of absorbances.  Source: D. A. Morey, "Beer's Law", letter in BrewingTechniques.
    """
    return _LINEAR.check(mcu)


def srm_morey(mcu: Array | float) -> Array:
    """Colour of the beer of a grist, 1.4922 MCU^0.6859; `mcu` 0 to 167, which is 50 SRM. [SRM]

    Fitted to two other formulas, not to beers, and not reproducible to its last digits (1.65 MCU^0.667 was
    found).  Source: D. A. Morey, "Beer's Law", letter in BrewingTechniques.  Raises `OutsideValidity`.
    """
    srm: Array = 1.4922 * _MOREY.check(mcu) ** 0.6859
    return srm


def srm_mosher1994(mcu: Array | float) -> Array:
    """Colour of the beer of a grist, 0.3 MCU + 4.7; `mcu` from 7. [SRM]

    From memory: R. Mosher, The Brewer's Companion, 1994.  Raises `OutsideValidity`.
    """
    return 0.3 * _MOSHER.check(mcu) + 4.7


def srm_daniels1996(mcu: Array | float) -> Array:
    """Colour of the beer of a grist, 0.2 MCU + 8.4; `mcu` from 11. [SRM]

    From memory: R. Daniels, Designing Great Beers, 1996.  Raises `OutsideValidity`.
    """
    return 0.2 * _DANIELS.check(mcu) + 8.4


def grist_colour(mcu: Array | float) -> Array:
    """Colour of the undiluted wort of a grist, by Morey but never more than its malt holds. [SRM]

    `mcu` 0 to 167 [MCU].  Below 3.58 MCU Morey gives more than the plain sum of absorbances; there the
    linear rule holds.  Asked once for each grist: what is added later is blended by `srm_of`.  How far it
    may be out: `grist_spread`.  Raises `OutsideValidity`.

    >>> round(float(grist_colour(20.0)), 2)
    11.65
    """
    return np.minimum(srm_morey(mcu), mcu)


def grist_spread(srm: Array | float) -> Array:
    """Standard deviation of a colour foretold from the grist. [SRM]

    15 % for pale and 20 % for dark beer, never less than 0.8 SRM.  Pale is taken to end at 10 SRM and dark to
    begin at 20, with a straight line between: judgement, as is the spread itself.
    """
    share = np.clip(0.10 + 0.005 * _SRM.check(srm), 0.15, 0.20)
    return np.maximum(share * srm, _LEAST_SD_SRM)


def srm_of(colour_srm_l: Array | float, volume_l: Array | float) -> Array | float:
    """Colour of wort or beer that holds so many SRM litres, by Beer's law. [SRM]

    SRM litres add when liquids are mixed and part as their masses do; water and colourless syrup bring none.
    That beer and wort obey the law: Viggiano, Rochester Institute of Technology, 2006.

    >>> round(srm_of(10.0 * 12.0 + 3.0 * 0.0, 13.0), 1)
    9.2
    """
    return colour_srm_l / volume_l


def boil_darkening(
    hours: Array | float,
    plato: Array | float,
    volume_l: Array | float,
    ebc_per_hour: Array | float = BOIL_EBC_PER_HOUR,
) -> Array:
    """Colour that a boil adds to a wort, beside what evaporation concentrates. [SRM L]

    Parameters
    ----------
    hours
        At the boil, 0 to 12. [h]
    plato, volume_l
        Of the boiling wort; the volume at 20 °C. [°P, L]
    ebc_per_hour
        What a pale wort of 12 °P gains, 1.5 ± 1.0 (from memory: 1 to 3), as strength. [EBC/h]

    Notes
    -----
    Straight in time, as the intermediates of browning grow (De Schutter et al., 2008, abstract).  A scorching
    element adds more, without bound.  No author says whether his relation speaks of wort or of beer, so that
    a usual boil may count twice: with this and `faded`, 12 °P boiled an hour moves by less than
    `grist_spread`.  Raises `OutsideValidity`.
    """
    gained: Array = ebc_per_hour / EBC_PER_SRM * _HOURS.check(hours) * plato / 12.0 * volume_l
    return gained


def faded(colour_srm_l: Array | float, kept: Array | float = KEPT_IN_FERMENTATION) -> Array | float:
    """Colour left after fermentation, `kept` 0.92 ± 0.05 of it. [SRM L]

    Lower pH, yeast and break take 5 to 15 % of a pale beer's colour; from memory.
    """
    return colour_srm_l * kept


def tea_colour(
    grain_kg: Array | float, lovibond: Array | float, colour_yield: Array | float = TEA_YIELD
) -> Array:
    """Colour in a tea of dark grain, 8.5 m C η. [SRM L]

    Mass m [kg] of a grain of colour C, 0 to 940 [°L]; η is 0.7 ± 0.2 of what the laboratory mash would draw,
    derived and common practice: measure the tea, diluted 1:20.  It adds to a wort's colour by `srm_of`,
    never through a grist relation.  Raises `OutsideValidity`.
    """
    return _CONGRESS_L_PER_KG * grain_kg * _LOVIBOND.check(lovibond) * colour_yield


def absorbance_delange2016(srm: Array | float, wavelength_nm: Array | float) -> Array:
    r"""Absorbance of the average beer through 1 cm. [-, decadic]

    .. math:: A = \frac{C}{12.7}\left[0.02465\,e^{-(\lambda-430)/17.591}
              + 0.97535\,e^{-(\lambda-430)/82.122}\right]

    Parameters
    ----------
    srm, wavelength_nm
        Colour :math:`C`, 0 to 1000 [SRM]; :math:`\lambda`, 380 to 780 [nm].  They broadcast.

    Notes
    -----
    Mean of 99 clear beers, a little redder than malt alone; one ale stood 4 CIELAB units off.  Raises
    `OutsideValidity`.  Source: A. J. deLange, "Color", in C. W. Bamforth (ed.), Brewing Materials and
    Processes, 2016, constants from memory.
    """
    beyond = _NM.check(wavelength_nm) - 430.0
    shape = 0.02465 * np.exp(beyond / -17.591) + 0.97535 * np.exp(beyond / -82.122)
    absorbance: Array = _SRM.check(srm) / 12.7 * shape
    return absorbance


_ONE_SRM = absorbance_delange2016(1.0, WAVELENGTH_NM)


def transmission(srm: Array | float, path_cm: Array | float = 5.0) -> Array:
    """Share of light that average beer lets through, at the 81 wavelengths of `cie.WAVELENGTH_NM`. [0..1]

    10^(-A d); `srm` 0 to 1000 [SRM], path d 0 to 50 [cm]; the wavelengths are a last axis of their own.
    Raises `OutsideValidity`.
    """
    depth = np.asarray(_SRM.check(srm) * _PATH.check(path_cm))
    let_through: Array = np.exp(-np.log(10.0) * depth[..., np.newaxis] * _ONE_SRM)
    return let_through


def beer_srgb(srm: Array | float, path_cm: Array | float = 5.0) -> Array:
    """Red, green and blue of average beer, each 0 to 1, on a last axis of their own. [-]

    Parameters
    ----------
    srm, path_cm
        Colour, 0 to 1000 [SRM], and depth of the glass, 0 to 50 [cm].

    Notes
    -----
    Approximate: daylight through clear beer on a white ground, without haze, foam or a room round it; no
    meaning may hang on it alone.  A colour costs 81 exponentials: ask for a few, not for every draw.
    """
    return srgb_from_transmission(transmission(srm, path_cm))
