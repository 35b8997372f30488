"""A forecast in JSON has the promised keys, and the same seed gives the same bytes."""

from __future__ import annotations

import pytest

from command_line import EXAMPLE, FEW, PRACTICE, cli

PLAN = EXAMPLE / "plan.toml"
SUMMARY = {"median", "low", "high", "mean", "sd"}
HOT = (
    "mash.volume_l",
    "mash.strike_temperature_c",
    "kettle.preboil.volume_l",
    "kettle.preboil.gravity",
    "kettle.end.volume_l",
    "kettle.end.gravity",
    "fermenters.volume_l",
    "og",
)
EFFICIENCIES = ("conversion", "lauter", "kettle", "fermenter")
OF_A_PORTION = ("volume_l", "og", "fg", "abv", "ibu", "packaged_l")


@pytest.fixture(scope="module")
def answer():
    return cli("forecast", PLAN, "--json").json


def keys():
    yield from HOT
    yield from (f"efficiency.{kind}" for kind in EFFICIENCIES)
    for portion in ("keg", "bottles", "long"):
        yield from (f"portion.{portion}.{what}" for what in OF_A_PORTION)


@pytest.mark.parametrize("key", [*keys()])
def test_every_promised_number_comes_with_its_middle_and_its_range(answer, key):
    found = answer[key]
    assert set(found) == SUMMARY
    assert found["low"] <= found["median"] <= found["high"]
    assert found["low"] <= found["mean"] <= found["high"]
    assert found["sd"] > 0


def test_efficiencies_are_shares_and_each_step_costs_some(answer):
    middles = {kind: answer[f"efficiency.{kind}"]["median"] for kind in EFFICIENCIES}
    assert all(0 < share < 1 for share in middles.values())
    assert middles["kettle"] < min(middles["conversion"], middles["lauter"])
    assert middles["fermenter"] < middles["kettle"]


def test_every_limit_says_what_where_how_surely_and_by_how_much(answer):
    assert answer["limits"]
    for limit in answer["limits"]:
        assert set(limit) == {"name", "vessel", "odds_kept", "margin"}
        assert limit["name"]
        assert limit["vessel"]
        assert 0 <= limit["odds_kept"] <= 1
        assert set(limit["margin"]) == SUMMARY | {"unit"}
        assert limit["margin"]["unit"]


def test_the_answer_says_how_it_was_reached(answer):
    about = answer["about"]
    assert (about["draws"], about["seed"]) == (4000, 1)
    assert {aim["name"] for aim in about["aims"]} == {"volume", "gravity", "bitterness", "mash pH"}
    assert about["readings"] is None


def test_the_gyle_is_the_sum_of_its_portions(answer):
    # Means add up exactly, draw by draw; medians need not.
    parts = sum(answer[f"portion.{key}.volume_l"]["mean"] for key in ("keg", "bottles", "long"))
    assert parts == pytest.approx(answer["fermenters.volume_l"]["mean"], rel=1e-9)


def test_the_same_seed_gives_the_same_bytes():
    args = ("forecast", PLAN, "-r", EXAMPLE / "readings.toml", "--json", *FEW)
    first = cli(*args, "--seed", 7)
    assert first.out
    assert cli(*args, "--seed", 7) == first
    assert cli(*args, "--seed", 8).out != first.out


def test_as_many_futures_are_drawn_as_asked_for():
    few, many = (cli("forecast", PLAN, "--json", "--draws", n).json for n in (200, 2000))
    assert (few["about"]["draws"], many["about"]["draws"]) == (200, 2000)
    # The middle hardly depends on the number: the sd of a median of 200 is 9 % of the sd.
    og = many["og"]
    assert abs(few["og"]["median"] - og["median"]) < 0.3 * og["sd"]


def test_readings_are_taken_in_and_before_and_after_are_told():
    told = cli("forecast", PLAN, "-r", EXAMPLE / "readings.toml", "--json").json["about"]
    assert told["readings"]["method"] in ("importance", "tempered")
    assert len(told["readings"]["misfits"]) == 8
    change = told["changes"]["portion.keg.volume_l"]
    assert set(change) == {"before", "after"}
    assert set(change["before"]) == SUMMARY
    assert change["after"]["sd"] < change["before"]["sd"]


@pytest.mark.parametrize(
    "args",
    [
        ("forecast", PLAN),
        ("forecast", PLAN, "-r", EXAMPLE / "readings.toml"),
        ("forecast", PRACTICE / "plan.toml"),
        ("solve", PLAN),
        ("limits", PLAN),
        ("order", PLAN),
        ("remedies", PLAN),
        ("remedies", PLAN, "-r", EXAMPLE / "readings.toml"),
    ],
    ids=lambda args: " ".join(getattr(arg, "name", arg) for arg in args),
)
def test_every_answer_comes_in_words_and_in_json_with_the_same_code(args):
    in_words, in_json = cli(*args, *FEW), cli(*args, *FEW, "--json")
    assert in_words.out
    assert in_json.json
    assert in_words.code == in_json.code
    assert (in_words.err, in_json.err) == ("", "")
