"""A portion is followed from files and from a book, in words, in JSON and as a picture."""

from __future__ import annotations

import re
from datetime import datetime, timedelta

import pytest

from command_line import FEW, cli, refusal

PITCHED = datetime(2026, 11, 20, 18)
HEALTHY = [(24, "1.048"), (60, "1.036"), (84, "1.0265"), (120, "1.017"), (168, "1.0135"), (216, "1.013")]
STOPPED = [(24, "1.048"), (60, "1.036"), (84, "1.0285"), (120, "1.024"), (168, "1.0235"), (216, "1.0235")]


def reading(hours, value, instrument="hydrometer", quantity="gravity", key="keg", more=""):
    at = (PITCHED + timedelta(hours=hours)).isoformat()
    return (
        f'\n[[reading]]\nstep = "portion.{key} ferment"\nquantity = "{quantity}"\nvalue = "{value}"\n'
        f'instrument = "{instrument}"\nat = "{at}"\n{more}'
    )


@pytest.fixture
def followed(shed):
    """Adds readings of a fermentation to the example's day and follows the portion."""

    def follow(pairs, *args, more=""):
        path = shed / "readings.toml"
        text = path.read_text(encoding="utf-8")
        path.write_text(text + "".join(reading(h, v) for h, v in pairs) + more, encoding="utf-8")
        return cli(
            "ferment", shed / "plan.toml", "-r", path, "--portion", "keg", "--pitched", PITCHED.isoformat(),
            *FEW, *args,
        )  # fmt: skip

    return follow


def test_a_healthy_portion_is_told_with_odds_end_day_and_wait(followed):
    answer = followed(HEALTHY)

    assert (answer.code, answer.err) == (0, "")
    told = " ".join(answer.out.split())
    assert "Gate amber is as good as finished (9" in told or "in all 200 draws" in told
    assert re.search(r"end, given the readings +1\.01\d", told)
    assert re.search(r"points of its end +2026-11-2\d", told)
    assert re.search(r"Read again \d.* after the last reading|Take one more reading", told)


def test_a_stuck_portion_ends_with_another_code(followed):
    answer = followed(STOPPED)

    assert answer.code == 1
    assert "▲ Gate amber seems stuck" in answer.out


def test_json_has_the_odds_the_end_the_band_and_the_wait(followed):
    told = followed(HEALTHY, "--json").json

    assert told["verdict"] == "as good as finished"
    assert sum(told["odds"].values()) == pytest.approx(1.0)
    assert told["end"]["low"] < told["end"]["median"] < told["end"]["high"]
    assert told["near_end_at"] == sorted(told["near_end_at"])
    assert {"organism", "wait_days", "left_points", "unseen_points"} <= set(told["standing"])
    assert len(told["taken"]) == len(HEALTHY)
    assert told["band"][0]["hours"] == 0.0


def test_both_instruments_a_warmth_and_a_gassy_sample_are_read(followed):
    more = (
        reading(169, "7.2 °Bx", "refractometer")
        + reading(12, "17.5 °C", "thermometer", "temperature")
        + reading(100, "1.024", more="gassy = true\n")
    )

    told = followed(HEALTHY, "--json", more=more).json

    assert len(told["taken"]) == len(HEALTHY) + 2
    assert {taken["kind"] for taken in told["taken"]} == {"hydrometer", "refractometer"}


def test_a_picture_is_written_where_it_is_asked_for(followed, shed):
    answer = followed(HEALTHY, "--picture", shed / "curve.svg")

    assert f"written: {shed / 'curve.svg'}" in answer.out
    assert (shed / "curve.svg").read_text(encoding="utf-8").startswith("<svg")


def test_without_any_reading_the_plan_is_followed_as_it_foretells(shed):
    answer = cli("ferment", shed / "plan.toml", "--portion", "long", "--pitched", "2026-11-20T18:00", *FEW)

    assert answer.code == 0
    assert "Where it ends is still what the plan and the day foretold" in " ".join(answer.out.split())
    assert "Brettanomyces asks for equal readings over" in " ".join(answer.out.split())


def test_gravities_of_the_fermentation_leave_the_forecast_of_the_day_alone(followed, shed):
    plan, day = shed / "plan.toml", shed / "readings.toml"
    before = cli("forecast", plan, "-r", day, "--json", *FEW).json
    followed(HEALTHY)

    assert cli("forecast", plan, "-r", day, "--json", *FEW).json == before


def test_slips_are_refused_in_words(shed):
    plan = shed / "plan.toml"
    args = ("ferment", plan, "--portion")

    assert "the portions are keg, bottles, long" in refusal(
        *args, "kegs", "--pitched", "2026-11-20T18:00", *FEW
    )
    assert "say when the yeast went in" in refusal(*args, "keg", *FEW)
    assert "like 2026-11-20T18:00" in refusal(*args, "keg", "--pitched", "Friday", *FEW)
    path = shed / "readings.toml"
    path.write_text(reading(-5, "1.048"), encoding="utf-8")
    assert "days after pitching" in refusal(*args, "keg", "-r", path, "--pitched", "2026-11-20T18:00", *FEW)


def test_a_brew_in_a_book_is_followed_from_its_own_readings(book, shed):
    on = ("--book", book)
    cli("brew", "start", *on, "amber", shed / "plan.toml", *FEW, "--at", "2026-11-20T08:00+01:00")
    filled = cli("brew", "read", *on, "amber", "portion.keg", "15.5 L", "--at", "2026-11-20T18:00+01:00")
    assert filled.code in (0, 1)
    for hours, value in HEALTHY:
        at = f"{(PITCHED + timedelta(hours=hours)).isoformat()}+01:00"
        taken = cli("brew", "read", *on, "amber", "portion.keg ferment", value, "--at", at)
        assert taken.code in (0, 1), taken.err

    told = cli("brew", "ferment", *on, "amber", "--portion", "keg", "--json").json

    assert told["verdict"] == "as good as finished"
    assert told["pitched"].startswith("2026-11-20T18:00")
    assert len(told["taken"]) == len(HEALTHY)
    shown = cli("brew", "show", *on, "amber")
    assert "portion.keg ferment: gravity 1.048 on the hydrometer" in " ".join(shown.out.split())
    assert "refused" not in cli("brew", "remedies", *on, "amber").err


def test_a_corrected_gravity_keeps_the_moment_at_which_it_was_read(book, shed):
    on = ("--book", book)
    cli("brew", "start", *on, "amber", shed / "plan.toml", *FEW, "--at", "2026-11-20T08:00+01:00")
    at = "2026-11-21T18:00:00+01:00"
    first = cli("brew", "read", *on, "amber", "portion.keg ferment", "1.084", "--at", at)
    number = re.search(r"number (\d+)", first.out)[1]

    cli("brew", "read", *on, "amber", "portion.keg ferment", "1.048", "--corrects", number)

    told = cli(
        "brew", "ferment", *on, "amber", "--portion", "keg", "--pitched", "2026-11-20T18:00+01:00", "--json"
    ).json
    assert [(taken["at"], round(taken["hours"], 3)) for taken in told["taken"]] == [(at, 24.0)]
    assert 'gylebook brew ferment "amber" --portion keg' in first.out


def test_a_gassy_sample_is_kept_in_a_book_as_one(book, shed):
    on = ("--book", book)
    cli("brew", "start", *on, "amber", shed / "plan.toml", *FEW, "--at", "2026-11-20T08:00+01:00")

    taken = cli(
        "brew", "read", *on, "amber", "portion.keg ferment", "1.048", "--gassy",
        "--at", "2026-11-21T18:00+01:00",
    )  # fmt: skip

    assert taken.code in (0, 1)
    events = cli("brew", "show", *on, "amber", "--json").json["about"]["events"]
    assert events[-1]["body"]["gassy"] is True
