"""How long gravity must stand still, against the table and its own formula."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gylebook.errors import OutsideValidity
from gylebook.process import stability
from published_tables import published_rows

ROWS = published_rows("cellar_stability_window")


@pytest.mark.parametrize("tau", sorted({float(row["time_constant_days"]) for row in ROWS}))
def test_equal_readings_leave_as_much_possible_as_in_the_table(tau, check):
    for row in ROWS:
        if float(row["time_constant_days"]) != tau:
            continue
        sd, days = float(row["reading_sd_points"]), float(row["days_between_two_equal_readings"])
        fall = stability.largest_fall(np.array([0.0, days]), sd)
        of = {
            "unit": "points",
            "at": f"sd {sd:g}, τ {tau:g} d, {days:g} d",
            "source": "derived",
            "kind": "slip",
        }

        # Printed to 0.1 and 0.01 point.
        seen, follows = float(row["upper95_true_drop_points"]), float(row["upper95_points_still_to_come"])
        assert fall == pytest.approx(seen, abs=0.051)
        check("points still to come", stability.still_to_come(fall, days, tau), follows, within=0.0051, **of)


@pytest.mark.parametrize(("sd", "days"), [(0.2, 15), (0.3, 21), (0.5, 29), (1.0, 44)])
def test_a_finer_hydrometer_shortens_the_wait_for_brettanomyces(sd, days, check):
    # Worked out beside the table: a bound of 0.7 point at a time constant of 30 days.
    fall = stability.largest_fall(np.array([0.0, 1.0]), sd)

    of = {"unit": "d", "at": f"sd {sd:g}", "source": "derived", "kind": "slip"}
    check("days to stand still", stability.days_to_stand_still(fall, 30.0), days, within=0.5, **of)


def test_three_equal_days_say_nothing_of_what_takes_months(check):
    fall = stability.largest_fall(np.array([0.0, 3.0]), 0.5)
    of = {"unit": "points", "source": "derived", "kind": "slip"}

    ale, slow = (
        stability.still_to_come(fall, 3.0, stability.TAU_DAYS[o]) for o in ("ordinary", "Brettanomyces")
    )

    check("points after three equal days, ale", ale, 0.7, within=0.05, **of)
    check("points after three equal days, Brettanomyces", slow, 23.0, within=0.5, **of)


@given(st.floats(0.2, 2.0), st.floats(2.0, 90.0), st.floats(2.0, 90.0))
def test_after_the_days_asked_for_no_more_may_follow_than_is_allowed(sd, tau, span):
    fall = stability.largest_fall(np.array([0.0, span]), sd)

    days = stability.days_to_stand_still(fall, tau)

    assert stability.still_to_come(fall, days, tau) == pytest.approx(stability.ALLOWED_POINTS, rel=1e-9)


def test_more_readings_over_the_same_days_leave_less_unseen():
    two = stability.largest_fall(np.array([0.0, 10.0]), 0.5)
    five = stability.largest_fall(np.array([0.0, 0.1, 5.0, 9.9, 10.0]), 0.5)

    assert five < two
    # sd of a slope: s/√Σ(t - t̄)², here with four readings at the ends of 10 days and one between.
    days = np.array([0.0, 0.1, 5.0, 9.9, 10.0])
    assert five == pytest.approx(1.645 * 0.5 * 10.0 / np.sqrt(np.sum((days - days.mean()) ** 2)), rel=1e-12)


def test_in_a_cold_cellar_everything_takes_longer_and_in_a_warm_one_nothing_less():
    assert stability.time_constant("Brettanomyces", 10.0) == pytest.approx(150.0)
    assert stability.time_constant("Brettanomyces", 28.0) == 60.0
    assert stability.time_constant("ordinary", 20.0) == 3.0


def test_one_reading_shows_no_fall():
    for days in ([1.0], [2.0, 2.0]):
        with pytest.raises(ValueError, match="one after the other"):
            stability.largest_fall(np.array(days), 0.5)


def test_a_cellar_in_fahrenheit_is_refused_and_recognised():
    with pytest.raises(OutsideValidity, match=r"temp_c is 68 °C.*it is 20\.0 °C"):
        stability.time_constant("ordinary", 68.0)
