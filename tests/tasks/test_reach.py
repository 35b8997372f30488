"""All that a brewery can reach, as a face is told of it."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from command_line import EXAMPLE, cli, refusal
from gylebook.errors import Refused
from gylebook.faces import reach_words
from gylebook.faces.pictures.reach import reach_picture
from gylebook.faces.pictures.themes import WEB
from gylebook.faces.words import US
from gylebook.tasks.files import load_brewery, load_plan
from gylebook.tasks.reach import look_for_reach, strongest_of
from pair_of_pots import asked, big_shed

SHED = EXAMPLE / "brewery.toml"


@pytest.fixture(scope="module")
def view():
    return look_for_reach(load_brewery(SHED), load_plan(EXAMPLE / "plan.toml"), draws=400)


def test_every_way_of_the_gear_has_its_curve_of_sixty_gravities(view):
    assert [curve.way for curve in view.curves] == [
        *("full volume", "dunk rinse", "poured rinse", "two mashes", "fed during the boil"),
        "liquor in the fermenters",
    ]
    assert {len(curve.points) for curve in view.curves} == {60}


def test_every_point_that_can_be_made_says_what_stops_it(view):
    made = [point for curve in view.curves for point in curve.points if point.volume_l is not None]

    assert len(made) > 250
    assert all(point.limit and point.vessel for point in made)


def test_even_odds_reach_further(view):
    for curve in view.curves:
        for point in curve.points:
            if point.volume_l is not None and point.even_l is not None:
                assert point.even_l > point.volume_l


def test_the_strongest_wort_of_a_volume_lies_on_one_of_the_curves(view):
    found = strongest_of(view.curves, 30.0)
    curve = next(curve for curve in view.curves if curve.way == found.way)
    able = [point.sg for point in curve.points if point.volume_l is not None and point.volume_l >= 30.0]

    assert found.sg == max(able)
    assert strongest_of(view.curves, 500.0).sg is None


def test_what_one_change_would_buy_is_told_from_most_to_least(view):
    told = [reach_words.gain_sentence(gain) for gain in view.gains]

    assert view.best == "dunk rinse"
    assert told[0].startswith("A kettle of 62 L adds ")
    assert [gain.after_l for gain in view.gains] == sorted((g.after_l for g in view.gains), reverse=True)
    assert any(sentence.startswith("Boiling 15 min longer costs ") for sentence in told)


def test_a_pot_to_rinse_in_is_told_where_there_is_none_and_all_is_mashed_at_once():
    # Common practice, no source: with a kettle of 60 L and a pot of 38 L it is some 9 L at 1.057.
    one_pot = replace(big_shed(), rinse=None)
    view = look_for_reach(one_pot, asked("full volume"), at_sg=1.057, by="full volume", draws=400)
    told = {gain.change: gain for gain in view.gains}
    pot, boil = told["a second vessel"], told["longer boil"]

    assert view.gains_of == "full volume"
    assert (pot.amount, pot.after_l - pot.before_l) == (36.0, pytest.approx(8.5, abs=1.5))
    assert boil.after_l - boil.before_l == pytest.approx(-0.8, abs=0.3)
    topped = told["liquor in the fermenters"]
    assert 1.0 < topped.after_l - topped.before_l < 3.0


def test_more_room_is_never_told_as_a_loss():
    shed, plan = load_brewery(SHED), load_plan(EXAMPLE / "plan.toml")
    for sg in (1.071, 1.090):
        for gain in look_for_reach(shed, plan, at_sg=sg, draws=400).gains:
            if gain.change in ("larger kettle", "larger second vessel", "stronger hoist"):
                assert gain.after_l > gain.before_l


def test_gains_are_asked_of_a_way_that_there_is():
    with pytest.raises(Refused, match="here it is full volume"):
        look_for_reach(load_brewery(SHED), at_sg=1.050, by="fly rinse", draws=300)


def test_the_picture_names_every_way_and_holds_no_style(view):
    drawn = reach_picture(view, theme=WEB)

    assert "style=" not in drawn
    for curve in view.curves:
        assert reach_words.way_name(curve.way) in drawn
    assert drawn.count("<path") >= 1 + len(view.curves)
    assert "every limit kept 90 in 100" in drawn


def test_volumes_of_the_table_are_round_in_the_unit_that_is_read(view):
    in_gallons = [volume / 3.785411784 for volume in reach_words.round_volumes(view, US)]

    assert all(abs(volume - round(volume)) < 1e-9 for volume in in_gallons)
    assert all(volume % 10.0 == 0.0 for volume in reach_words.round_volumes(view))


def test_a_plan_without_grain_has_no_such_edge():
    plan = load_plan(EXAMPLE / "plan.toml")
    with pytest.raises(Refused, match="extract only"):
        look_for_reach(load_brewery(SHED), replace(plan, grist=()))


def test_the_command_line_tells_it_without_a_plan(tmp_path):
    told = cli("reach", "-b", SHED, "--draws", "300", "--at", "1.060", "--picture", tmp_path / "reach.svg")

    assert told.code == 0
    assert re.search(r"1\.0\d\d +\d+\.\d L +foam room in the kettle", told.out)
    assert "What one change would buy at 1.060" in told.out
    assert (tmp_path / "reach.svg").read_text(encoding="utf-8").startswith("<svg")


def test_it_answers_other_programs():
    answer = cli("reach", EXAMPLE / "plan.toml", "--draws", "300", "--json").json

    assert answer["asked"] == 0.9
    assert {"way", "points"} == set(answer["curves"][0])
    assert answer["curves"][0]["points"][0]["limit"] == "mash brim"


@pytest.mark.parametrize(
    ("options", "told"),
    [((), "name a plan"), (("-b", SHED, "--odds", "20 %"), "50 %"), (("-b", SHED, "--at", "1.4"), "gravity")],
)
def test_what_cannot_be_asked_is_refused(options, told):
    assert told in refusal("reach", *options)
