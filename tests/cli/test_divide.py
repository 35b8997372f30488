"""Dividing, becoming, buying and filling are told in words and in JSON, and what cannot be is refused."""

from __future__ import annotations

import pytest

from command_line import EXAMPLE as AMBER
from command_line import FEW, cli, refusal
from example_wishes import EXAMPLE
from gylebook.tasks.files import load_brewery, load_plan
from gylebook.tasks.outlook import look_ahead

WISH, SHED = EXAMPLE / "wish.toml", EXAMPLE / "brewery.toml"
CONFLICT = 'style = "BJCP2021-13C"', 'bitterness = ["5 IBU", "8 IBU"]\nmay = []'
BITTER = 'style = "BJCP2021-18B"', 'bitterness = ["70 IBU", "75 IBU"]\nmay = []'


@pytest.fixture(scope="module")
def divided():
    return cli("divide", WISH, *FEW)


def test_a_wish_is_answered_with_several_worts_and_what_each_beer_gets(divided):
    assert divided.code == 0
    assert "every beer lies within all that was asked" in divided.out
    for told in ("Arbour pale", "Shade porter", "Hedge saison", "Of its own", "\n2. ", "Mind", "was boiled"):
        assert told in divided.out


def test_the_chosen_solution_is_a_plan_that_is_read_and_solved(tmp_path):
    out = tmp_path / "plan.toml"

    answer = cli("divide", WISH, *FEW, "--choose", "2", "--out", out, "--json")

    solution = answer.json["solutions"][1]
    outlook = look_ahead(load_plan(out), load_brewery(SHED), draws=400)
    assert solution["number"] == 2
    for beer in solution["beers"]:
        again = outlook.numbers[f"portion.{beer['key']}.og"]
        assert again.median == pytest.approx(beer["og"]["median"], abs=0.002)  # of 200 and 400 draws
    # Another time it is not written over.
    assert "is there already" in refusal("divide", WISH, *FEW, "--out", out)


def test_beers_that_no_wort_serves_end_with_one_and_are_told_apart(tmp_path):
    text = WISH.read_text(encoding="utf-8").replace(*CONFLICT).replace(*BITTER)
    text = text.replace('may = ["dilution", "sugar", "hop tea", "long ageing"]', "may = []")
    (tmp_path / "wish.toml").write_text(text, encoding="utf-8")

    answer = cli("divide", tmp_path / "wish.toml", "-b", SHED, *FEW, "--json")

    assert answer.code == 1
    told = [one["in_words"] for one in answer.json["conflicts"] if one["matter"] == "bitterness"]
    assert any("Shade porter wants a bitterness of at most 8 IBU" in one for one in told)
    assert any("Arbour pale" in one and "a tea of" in one for one in told)


def test_a_solution_that_is_not_there_is_refused():
    assert "there are solutions 1 to" in refusal("divide", WISH, *FEW, "--choose", "9", "--out", "any.toml")


def test_futures_and_seeds_that_cannot_be_drawn_are_refused():
    assert "take 200 to 100,000" in refusal("divide", WISH, "--draws", "3")
    assert "seed: -1" in refusal("divide", WISH, "--seed", "-1")


@pytest.mark.parametrize(
    ("figure", "told"),
    [
        ("boil_off_l_per_h", "has no logarithm"),
        ('"tea.iso_kept"', "is not a share"),
        ("made_up", "no figure"),
    ],
)
def test_house_figures_that_cannot_be_are_refused(tmp_path, figure, told):
    shed = tmp_path / "brewery.toml"
    own = f'[house.{figure}]\nlevel = "{1.8 if "iso" in figure else -4}"\nscatter = "0.1"\n'
    shed.write_text(f"{SHED.read_text(encoding='utf-8')}\n{own}", encoding="utf-8")

    assert told in refusal("divide", WISH, "-b", shed)
    if "iso" not in figure:  # vessels are filled without teas
        assert told in refusal("fillings", shed, "--bottle", "0.5 L")


def test_us_units_reach_every_amount():
    told = cli("divide", WISH, *FEW, "--units", "us").out

    assert all(unit in told for unit in (" gal", " lb", " SRM"))
    assert not any(unit in told for unit in (" kg", " L "))


def test_becomes_lists_styles_with_what_they_take():
    answer = cli("becomes", AMBER / "plan.toml", *FEW, "--most", "5", "--json").json["becomes"]

    assert len(answer) == 5
    assert answer[0]["within"]
    assert answer[0]["made"]["yeast"]
    told = cli("becomes", AMBER / "plan.toml", *FEW, "--most", "3").out
    assert "Numbers alone are compared" in told


def test_styles_are_listed_by_a_part_of_their_name():
    found = cli("styles", "imperial porter", "--json").json["styles"]

    assert [row["code"] for row in found] == ["BA2017-037"]
    assert "1.080–1.100" in cli("styles", "imperial porter").out
    assert "no style is called" in refusal("styles", "nonsense")


def test_a_larder_answers_with_packs_cost_and_leftovers(tmp_path):
    out = tmp_path / "plan.toml"
    cli("divide", WISH, *FEW, "--out", out)

    options = ("-b", SHED, "-c", EXAMPLE / "larder.toml", *FEW)
    answer = cli("larder", out, *options, "--json").json
    told = cli("larder", out, *options).out

    assert answer["cost"] == pytest.approx(sum(one["cost"] for one in answer["purchases"]))
    assert all(one["packs"] == int(one["packs"]) for one in answer["purchases"])
    assert answer["missing"] == []
    assert all(word in told for word in ("EUR", "left over"))


def test_fillings_are_proposed_and_nothing_to_fill_is_refused():
    answer = cli("fillings", SHED, "--keg", "9.5 L", "--bottle", "0.5 L", "--litres", "34 L", "--json").json

    assert answer["sets"]
    assert all(one["orphan_l"] == 0.0 for one in answer["sets"])
    assert "nothing left over" in cli("fillings", SHED, "--bottle", "0.5 L").out
    assert "neither kegs nor bottles" in refusal("fillings", SHED)
    assert "0.1 to 2000 L" in refusal("fillings", SHED, "--bottle", "0 L")
