"""Amounts are shown in the units asked for, times as typed, amounts as they are weighed."""

from __future__ import annotations

import re

import pytest

from command_line import EXAMPLE, FEW, cli

PLAN = EXAMPLE / "plan.toml"
# What a fine scale or a syringe shows is in grams and millilitres in any house.
DOSED = re.compile(r"\d (g|mL) .*(gypsum|calcium chloride|acid|sulphite)")


def test_us_units_are_gallons_pounds_and_fahrenheit():
    told = cli("solve", PLAN, "--units", "us").out
    for unit in ("gal", "lb", "°F"):
        assert re.search(rf"\d {unit}", told), unit
    assert not re.search(r"\d (L|kg|°C)(?![/\w])", told)


def test_us_units_go_through_the_whole_forecast_and_the_order():
    for told in (
        cli("forecast", PLAN, "--units", "us", "-r", EXAMPLE / "readings.toml", *FEW).out,
        cli("ways", PLAN, "--units", "us", *FEW).out,
        cli("beers", PLAN, "--units", "us", "--glass", "2 in", *FEW).out,
        cli("order", PLAN, "--units", "us", *FEW).out,
        cli("limits", PLAN, "--units", "us", *FEW).out,
    ):
        assert re.search(r"\d gal", told)
        told = "\n".join(line for line in told.splitlines() if not DOSED.search(line))
        assert not re.search(r"\d (L|mL|kg|g|cm|°C)(?!\w)", told)


def test_a_table_fits_a_terminal_of_eighty_columns():
    told = cli("solve", PLAN, "--units", "us", *FEW).out
    row = next(line for line in told.splitlines() if line.startswith("Hedge amber"))
    assert row.rstrip().endswith("in 1,000")
    assert "60 % of it or more" in told


def test_the_same_amount_is_told_in_both_systems():
    metric, us = (cli("solve", PLAN, "--units", units).out for units in ("metric", "us"))
    litres = float(re.search(r"Mash liquor\s+([\d.]+) L", metric)[1])
    gallons = float(re.search(r"Mash liquor\s+([\d.]+) gal", us)[1])
    # 1 US gal is 3.785411784 L exactly; both are rounded to what a brewer can measure.
    assert gallons * 3.785411784 == pytest.approx(litres, abs=0.25)


def test_the_order_counts_backwards_from_pitching():
    told = cli("order", PLAN, *FEW).out
    assert "Pitch the yeast" in told
    assert not re.search(r"^ *\d\d:\d\d  Mash in", told, re.M)


def test_the_order_stands_on_the_clock_where_pitching_has_a_time():
    told = cli("order", PLAN, "--pitch-at", "18:30", *FEW).out
    assert re.search(r"^ *18:30  Pitch the yeast", told, re.M)
    clocks = re.findall(r"^ *(\d\d):(\d\d)  ", told, re.M)
    minutes = [60 * int(h) + int(m) for h, m in clocks]
    assert minutes == sorted(minutes)
    assert re.search(r"^2 days before, 18:30  Make the starter", told, re.M)


def test_a_day_that_ends_after_midnight_begins_the_day_before():
    told = cli("order", PLAN, "--pitch-at", "02:00", *FEW).out
    assert re.search(r"^.*02:00  Pitch the yeast", told, re.M)
    assert re.search(r"day before, 2\d:\d\d  Mash", told), told


@pytest.mark.parametrize("time", ["25:00", "18:60", "half past six", "18", "-1:30", "", "18:3 0", "1²:30"])
def test_a_time_that_is_none_is_refused(time):
    answer = cli("order", PLAN, f"--pitch-at={time}", *FEW)
    assert answer.code == 2
    assert "write it like 18:30" in answer.err


def test_steps_of_the_order_in_json_have_times_amounts_and_cautions():
    steps = cli("order", PLAN, "--json", *FEW).json["steps"]
    starts = [step["start_min"] for step in steps]
    assert starts == sorted(starts)
    assert next(step for step in steps if step["key"] == "pitch")["start_min"] == 0
    assert all(step["minutes"] >= 0 for step in steps)
    assert any("scald" in caution for step in steps for caution in step["cautions"])
