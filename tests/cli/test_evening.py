"""An evening with water is guided on the command line, and its readings go where the next plan finds them."""

from __future__ import annotations

import numpy as np
import pytest

from command_line import EXAMPLE, cli, refusal
from gylebook.exchange.brewery_file import read_brewery
from simulated_houses import days, house_of, write_book

BREWERY, READINGS = EXAMPLE / "brewery.toml", EXAMPLE / "evening.toml"


def one_reading(folder, step, quantity, value, instrument):
    """A readings file with one reading in it."""
    path = folder / "evening.toml"
    path.write_text(
        f'[[reading]]\nstep = "{step}"\nquantity = "{quantity}"\n'
        f'value = "{value}"\ninstrument = "{instrument}"\n',
        encoding="utf-8",
    )
    return path


def test_it_tells_what_to_do_what_to_write_down_and_what_can_hurt():
    answer = cli("evening", BREWERY)

    assert (answer.code, answer.err) == (0, "")
    told = " ".join(answer.out.split())
    assert "The shed behind the orchard: an evening with water" in told
    assert "12.48 kg cold water" in told
    assert "Write as “evening heat”: time (clock), expected 4" in told
    assert "residual-current breaker" in told
    assert "1. time at “evening beside” (clock): Net heat of the plate by" in told


def test_other_water_and_another_boil_may_be_asked_for():
    told = cli("evening", BREWERY, "--litres", "20 L", "--boil", "1 h").out

    assert "9.98 kg cold water" in told
    assert "Boil it, lid off, 60 min" in told


def test_american_amounts_are_shown_where_asked_for():
    told = cli("evening", BREWERY, "--litres", "5 gal", "--units", "us").out

    assert "20 lb 13.2 oz cold water" in told
    assert "2.50 gal cold water" in told
    assert " kg" not in told
    assert "°C" not in told


def test_readings_give_before_that_evening_and_the_next_brew():
    answer = cli("evening", BREWERY, "-r", READINGS)

    assert answer.code == 0
    assert "before   that evening" in answer.out
    assert "Left in the kettle [L]           1.20 ± 0.12" in answer.out
    assert answer.out.count("agrees") == 17
    assert "gone: of the scatter before, for the next brew" in answer.out


def test_json_has_the_steps_the_figures_and_how_the_readings_agree():
    answer = cli("evening", BREWERY, "-r", READINGS, "--json").json

    plate = next(f for f in answer["figures"] if f["name"] == "heat.plate.net_share")
    # The readings were taken of a plate that brings 58 % into the water.
    assert plate["tonight"]["level"] == pytest.approx(0.58, abs=2.0 * plate["tonight"]["scatter"])
    assert plate["tonight"]["level"] < plate["next_brew"]["level"] < plate["before"]["level"]
    assert plate["next_brew"]["scatter"] > plate["tonight"]["scatter"]
    assert len(answer["readings"]["misfits"]) == 17
    assert answer["order"]["steps"][2]["reading"][1]["step"] == "evening heat"
    assert "residual-current" in answer["order"]["steps"][2]["cautions"][0]
    assert answer["written"] is None


def test_the_file_it_writes_is_what_the_next_plan_starts_from(tmp_path):
    out = tmp_path / "brewery.toml"
    answer = cli("evening", BREWERY, "-r", READINGS, "--write", out, "--json").json
    text = out.read_text(encoding="utf-8")
    house = read_brewery(text, where="brewery").house

    assert text.startswith(BREWERY.read_text(encoding="utf-8").rstrip("\n"))
    assert "# from a calibration evening" in text
    for figure in answer["figures"]:
        assert house[figure["name"]].level == pytest.approx(figure["next_brew"]["level"], rel=1e-3)
    before, after = (
        cli("forecast", EXAMPLE / "plan.toml", "-b", path, "--json").json["kettle.boil_off_l_per_h"]
        for path in (BREWERY, out)
    )
    assert after["sd"] < 0.85 * before["sd"]
    assert after["median"] < before["median"]


def test_a_file_that_states_what_is_learned_is_said_to_be_the_start(tmp_path):
    out = tmp_path / "brewery.toml"
    cli("evening", BREWERY, "-r", READINGS, "--write", out)
    told = " ".join(cli("evening", out, "-r", READINGS).out.split())

    assert "Before is what the brewery file states for: Boil-off, Left in the kettle" in told
    assert "start from the file as it was before them" in told


@pytest.fixture(scope="module")
def taught(tmp_path_factory):
    """A book of two brews."""
    place = str(tmp_path_factory.mktemp("book") / "taught.gyle")
    rng = np.random.default_rng(3)
    write_book(place, house_of(days(1), rng), days(2), rng)
    return place


def test_an_evening_is_learned_from_beside_the_brews_of_a_book(taught):
    without = cli("learn", "--book", taught, "--json").json
    answer = cli("learn", "--book", taught, "--evening", READINGS, "--json").json
    known = {level["name"]: level for level in answer["levels"]}

    assert "heat.plate.net_share" not in {level["name"] for level in without["levels"]}
    assert known["heat.plate.net_share"]["brews"] == 1
    assert known["boil_off_l_per_h"]["brews"] == 3
    assert known["kettle.left_l"]["spread_gone"] > 0.2
    assert (answer["brews"], answer["readings"], answer["evening"]) == (2, 16, 17)
    told = " ".join(cli("learn", "--book", taught, "--evening", READINGS, "--backtest").out.split())
    assert "2 brews, 16 readings, and 17 readings of an evening with water" in told
    assert "the evening with water counts as one" in told
    assert "Of 16 readings" in told  # an evening was no brew to be foreseen


@pytest.mark.parametrize(
    ("step", "quantity", "value", "instrument", "words"),
    [
        ("evening cool", "time", "20 min", "clock", "perhaps “evening"),
        ("preboil", "volume", "30 L", "dipstick", "the steps are evening first, evening full"),
        ("evening chill", "mass", "3 kg", "scale", "there it can be time"),
        ("evening heat", "time", "50 min", "scale", "this brewery reads a time on: clock"),
        ("evening heat", "time", "50 L", "clock", "“50 L” is understood as"),
        ("evening left", "mass", "-1 kg", "scale", "a mass is not below zero"),
    ],
)
def test_a_reading_that_cannot_be_is_refused_in_words(tmp_path, step, quantity, value, instrument, words):
    path = one_reading(tmp_path, step, quantity, value, instrument)
    told = " ".join(refusal("evening", BREWERY, "-r", path, "--draws", "400").split())

    assert words in told


def test_a_slip_of_the_pen_is_marked_and_never_written(tmp_path):
    path, out = one_reading(tmp_path, "evening drained", "mass", "900 kg", "scale"), tmp_path / "new.toml"

    assert "▲ check it" in cli("evening", BREWERY, "-r", path).out
    told = refusal("evening", BREWERY, "-r", path, "--write", out)
    assert "mass at evening drained, 900.00 kg: fits nothing else, so nothing was written" in told
    assert not out.exists()


@pytest.mark.parametrize(
    ("more", "words"),
    [
        (("--litres", "many"), "--litres"),
        (("--litres", "90 L"), "litres: 90 L; take 1 to 45 L"),
        (("--boil", "30 L"), "--boil"),
        (("--boil", "6 h"), "boil: 360 min; take 5 to 180 min"),
        (("--draws", "7"), "draws: 7"),
        (("--write", "new.toml"), "there is nothing to write"),
        (("-r", "nowhere.toml"), "nowhere.toml"),
    ],
)
def test_what_cannot_be_asked_for_is_refused_in_words(more, words):
    assert words in refusal("evening", BREWERY, *more)


def test_a_house_figure_that_cannot_be_is_refused(tmp_path):
    path = tmp_path / "brewery.toml"
    text = BREWERY.read_text(encoding="utf-8")
    path.write_text(text + '\n[house."kettle.left_l"]\nlevel = "-1 L"\nscatter = "0.1 L"\n', encoding="utf-8")

    assert "kettle.left_l" in refusal("evening", path)
