"""Colour of light that came through a liquid, against an independent library of colour science."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from colour_library import colour_science, xyz_by_astm_e308
from gylebook.errors import OutsideValidity
from gylebook.matter.cie import D65, OBSERVER, WAVELENGTH_NM
from gylebook.matter.spectrum import (
    linear_srgb_from_xyz,
    srgb_from_linear,
    srgb_from_transmission,
    xyz_from_transmission,
)


def amber_glass(thickness: float, wavelength_nm=WAVELENGTH_NM):
    """Transmission of a smooth absorber, steeper in the blue, as every brown liquid is."""
    return 10.0 ** (-thickness * np.exp(-(wavelength_nm - 430.0) / 80.0))


def test_the_eye_and_the_daylight_are_those_of_the_cie(check):
    observer = colour_science().MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    daylight = colour_science().SDS_ILLUMINANTS["D65"]

    # Rounding: the observer is kept to six decimals, D65 to the four that it has.
    standard = observer[WAVELENGTH_NM]
    check("2° observer, by 5 nm", OBSERVER.T, standard, within=5.1e-7, source="cie-018")
    check("daylight D65, by 5 nm", D65, daylight[WAVELENGTH_NM], within=5e-5, source="cie-018")


def test_nobody_can_repaint_the_daylight():
    for table in (WAVELENGTH_NM, OBSERVER, D65):
        with pytest.raises(ValueError, match="read-only"):
            table[0] = 0.0


def test_nothing_in_the_way_leaves_the_white_of_daylight(check):
    xyz = xyz_from_transmission(np.ones(81))

    # The white point of D65 as the CIE and IEC 61966-2-1 print it; 1e-4 is what the ends beyond 380-780 nm
    # are worth, and 4e-4 is a tenth of a step of an 8-bit channel.
    seen, source = srgb_from_transmission(np.ones(81)), "iec-61966-2-1"
    check("white of daylight in XYZ", xyz, (0.95047, 1.0, 1.08883), within=1e-4, source=source)
    check("white of daylight on a screen", seen, 1.0, within=4e-4, source=source)


@pytest.mark.parametrize("thickness", [0.05, 0.3, 1.0, 3.0, 8.0])
def test_light_through_amber_glass_is_summed_as_astm_e308_does_at_1_nm(thickness, check):
    fine = np.arange(360.0, 831.0)

    xyz = xyz_by_astm_e308(amber_glass(thickness, fine), fine)

    # 1e-4 of white: 5 nm instead of 1 nm, and no light below 380 or above 780 nm.
    what, found = "light through amber glass in XYZ", xyz_from_transmission(amber_glass(thickness))
    check(what, found, xyz, within=1e-4, at=f"thickness {thickness:g}", source="cie-018")


def test_a_screen_is_given_what_colour_science_gives_it(check):
    xyz = np.random.default_rng(1).uniform(0.0, 1.0, (200, 3))
    expected = colour_science().XYZ_to_sRGB(xyz)
    shown = np.all((expected >= 0.0) & (expected <= 1.0), axis=1)
    assert shown.sum() > 10

    # 1e-6: both use the four-figure matrix of the standard and its rounded threshold.
    got = srgb_from_linear(linear_srgb_from_xyz(xyz))
    what, source = "colour on a screen from XYZ", "iec-61966-2-1"
    check(what, got[shown], expected[shown], within=1e-6, source=source)


def test_what_a_screen_cannot_show_is_clipped_channel_by_channel():
    srgb = srgb_from_linear(np.array([-0.02, 1.3, 1.0]))

    # 1e-15: 1.055 less 0.055 is one but for rounding.
    np.testing.assert_allclose(srgb, (0.0, 1.0, 1.0), rtol=0.0, atol=1e-15)


@given(st.floats(0.0, 5.0), st.floats(0.01, 2.0))
def test_thicker_glass_is_never_brighter(thickness, more):
    thin, thick = xyz_from_transmission(np.stack([amber_glass(thickness), amber_glass(thickness + more)]))

    assert np.all(thick < thin)


def test_many_spectra_take_the_same_path_as_one():
    spectra = np.stack([amber_glass(t) for t in (0.1, 1.0, 2.0)])

    together = srgb_from_transmission(spectra)

    np.testing.assert_allclose(together, [srgb_from_transmission(one) for one in spectra], rtol=1e-12)


def test_transmission_in_per_cent_is_recognised():
    with pytest.raises(OutsideValidity, match=r"transmission is 50 .*0 to 1 .*per cent, it is 0\.500"):
        srgb_from_transmission(np.full(81, 50.0))
