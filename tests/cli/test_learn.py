"""A book is learned from on the command line, and what was learned goes where the next plan finds it."""

from __future__ import annotations

import numpy as np
import pytest

from command_line import cli, refusal
from gylebook.exchange.brewery_file import read_brewery
from gylebook.record.store import open_book
from simulated_houses import EXAMPLE, days, house_of, write_book


@pytest.fixture(scope="module")
def taught(tmp_path_factory):
    """A book of six brews; copied from by nobody, so that tests must leave it alone."""
    place = str(tmp_path_factory.mktemp("book") / "taught.gyle")
    rng = np.random.default_rng(3)
    write_book(place, house_of(days(1), rng), days(6), rng)
    return place


def test_it_tells_before_and_after_how_many_brews_and_what_to_read(taught):
    answer = cli("learn", "--book", taught)

    assert answer.code == 0
    assert answer.err == ""  # progress is for a terminal
    assert "The shed behind the orchard: 6 brews, 48 readings" in answer.out
    assert "published" in answer.out
    assert "next brew" in answer.out
    assert "Boil-off [L/h]" in answer.out
    assert "What to read at the next brew" in answer.out
    assert "Known no better than published: Left in the kettle" in answer.out


def test_json_has_everything_that_the_words_say(taught):
    answer = cli("learn", "--book", taught, "--backtest", "--json").json

    boil = next(level for level in answer["levels"] if level["name"] == "boil_off_l_per_h")
    assert boil["brews"] == 6
    assert boil["level"]["low"] < boil["next_brew"]["level"] < boil["level"]["high"]
    assert boil["spread_gone"] == pytest.approx(0.5, abs=0.4)
    assert answer["trusted"] is True
    assert answer["backtest"]["readings"] == 48
    assert len(answer["backtest"]["brews"]) == 6
    assert 0.0 <= answer["backtest"]["inside_learned"] <= 1.0


def test_the_backtest_puts_both_forecasts_side_by_side(taught):
    out = cli("learn", "--book", taught, "--backtest").out

    assert "Every brew foreseen from those before it: published → learned" in out
    assert "volume at preboil" in out
    assert "efficiency, grain to kettle" in out
    assert "Of 48 readings" in out


def test_the_backtest_can_be_drawn(taught, tmp_path):
    path = tmp_path / "foreseen.svg"

    answer = cli("learn", "--book", taught, "--picture", path)

    assert f"drawn: {path}" in answer.out
    assert "The shed behind the orchard: foreseen" in path.read_text(encoding="utf-8")


def test_amounts_are_told_in_the_brewer_s_units(taught):
    out = cli("learn", "--book", taught, "--units", "us", "--backtest").out

    assert "Boil-off [gal/h]" in out
    assert " gal" in out
    assert "°F" in out


def test_the_plan_that_comes_next_sets_the_size_that_is_told(taught, tmp_path):
    small = tmp_path / "small.toml"
    text = (EXAMPLE / "plan.toml").read_text(encoding="utf-8")
    assert 'fermenters = "34 L"' in text
    small.write_text(text.replace('fermenters = "34 L"', 'fermenters = "8 L"'), encoding="utf-8")

    own, other = (
        {level["name"]: level for level in cli("learn", "--book", taught, "--json", *args).json["levels"]}
        for args in ((), ("--next", small))
    )

    assert other["conversion"]["next_brew"] != own["conversion"]["next_brew"]
    assert other["conversion"]["next_brew"]["scatter"] > 0.0


def test_a_brewery_file_is_written_once_and_read_by_a_forecast(taught, tmp_path):
    path = tmp_path / "brewery.toml"

    first = cli("learn", "--book", taught, "--write", path)

    assert first.code == 0
    assert f"written: {path}" in first.out
    brewery = read_brewery(path.read_bytes(), where="written")
    assert "conversion" in brewery.house
    assert "learned from 6 brews" in path.read_text(encoding="utf-8")
    forecast = cli("forecast", EXAMPLE / "plan.toml", "--brewery", path, "--draws", 200)
    assert forecast.code in (0, 1)
    assert "is there already" in refusal("learn", "--book", taught, "--write", path)


def test_it_is_kept_in_a_book_of_either_kind(book):
    rng = np.random.default_rng(3)
    house = house_of(days(1), rng)
    write_book(book, house, days(2), rng, new=False)

    answer = cli("learn", "--book", book, "--keep")

    assert answer.code == 0
    assert "kept: The shed behind the orchard, version 2" in answer.out
    with open_book(book, read_only=True) as opened:
        assert "[house.conversion]" in opened.brewery("The shed behind the orchard").text


def test_an_empty_book_says_what_to_do(book):
    assert "gylebook brew start" in refusal("learn", "--book", book)
