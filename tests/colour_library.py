"""Lend the tests an independent library of colour science, quietly and without a trace.

At import it warns that it cannot draw here and changes how NumPy prints; both end with the import.
"""

from __future__ import annotations

import warnings
from types import ModuleType

import numpy as np

from gylebook.figures.draws import Array


def colour_science() -> ModuleType:
    """The library colour-science."""
    with warnings.catch_warnings(), np.printoptions():
        warnings.simplefilter("ignore")
        import colour
    return colour


def xyz_by_astm_e308(transmission: Array, wavelength_nm: Array) -> Array:
    """XYZ of daylight (D65) through a liquid for the 2° observer, Y = 1 with nothing in the way. [-]"""
    library = colour_science()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it tells which tables it had to align
        xyz = library.sd_to_XYZ(
            library.SpectralDistribution(transmission, wavelength_nm),
            library.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"],
            library.SDS_ILLUMINANTS["D65"],
            method="ASTM E308",
        )
    return np.asarray(xyz) / 100.0
