"""Hold pH readings of hot and cooled samples to what is published of them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gylebook.errors import OutsideValidity
from gylebook.process.ph_meter import SHIFT_PER_K, meter_reading, ph_when_cooled

WAYS = ("cooled", "hot, corrected", "hot, uncorrected")


def test_a_hot_mash_reads_as_much_lower_as_is_published():
    level, scatter = SHIFT_PER_K

    # Briggs et al. 2004, second-hand: 0.35 lower at 65 °C; other published shifts are 0.2 to 0.3.
    fall = 5.5 - meter_reading(5.5, 65.0, "hot, corrected")
    assert 0.2 < fall < 0.35
    assert 45.0 * (level + scatter) == pytest.approx(0.35, abs=0.02)


def test_a_cooled_sample_reads_as_it_is():
    assert meter_reading(5.4, 22.0, "cooled") == 5.4


def test_a_meter_without_correction_reads_a_hot_mash_lower_still():
    # Nernst, 0.1984 mV for each kelvin and pH: 338.15/298.15 of the distance from pH 7.
    plain = meter_reading(5.5, 65.0, "hot, corrected")
    assert 7.0 - meter_reading(5.5, 65.0, "hot, uncorrected") == pytest.approx(
        (7.0 - plain) * 338.15 / 298.15
    )


@given(st.floats(4.0, 8.0), st.floats(10.0, 80.0), st.sampled_from(WAYS))
def test_a_reading_turned_round_is_the_mash_again(ph, sample_c, way):
    assert ph_when_cooled(meter_reading(ph, sample_c, way), sample_c, way) == pytest.approx(ph, abs=1e-12)


def test_a_sample_in_fahrenheit_is_recognised():
    with pytest.raises(OutsideValidity, match=r"sample_c is 149 °C.*it is 65\.0 °C"):
        meter_reading(5.4, 149.0, "hot, corrected")
