"""Whatever shape and beer a first run starts from, its forecast keeps every limit as it stands."""

from __future__ import annotations

import re
from itertools import product

import pytest

from gylebook.errors import Refused
from gylebook.exchange.brewery_file import read_brewery
from gylebook.exchange.plan_file import read_plan
from gylebook.figures.units import Dimension, read
from gylebook.record.store import open_book
from gylebook.tasks.brews import make_book
from gylebook.tasks.first_run import BEERS, SHAPES, begin
from gylebook.tasks.outlook import look_ahead


@pytest.fixture
def book(tmp_path):
    location = str(tmp_path / "book.gyle")
    make_book(location)
    return location


def typed(shape="bag", kind="pale ale", system="metric", **changed):
    return {**SHAPES[shape].filled(system), "shape": shape, "kind": kind, "system": system, **changed}


def ahead(location, begun):
    with open_book(location) as book:
        plan = read_plan(book.plan(begun.plan).text, where="plan")
        brewery = read_brewery(book.brewery(begun.brewery).text, where="brewery")
    return look_ahead(plan, brewery, draws=1000)


def problems(location, given):
    with pytest.raises(Refused, match=r"\S") as refused:
        begin(location, given)
    return {problem.where: problem for problem in refused.value.problems}


@pytest.mark.parametrize(("shape", "kind", "system"), [*product(SHAPES, BEERS, ("metric", "us"))])
def test_every_shape_carries_every_beer_as_it_is_offered(book, shape, kind, system):
    outlook = ahead(book, begin(book, typed(shape, kind, system)))

    assert [limit.name for limit in outlook.limits if limit.odds_kept < outlook.plan.aims.odds] == []
    assert outlook.numbers["og"].median == pytest.approx(float(BEERS[kind].gravity), abs=0.001)


def test_a_beer_too_large_for_one_fermenter_is_divided(book):
    outlook = ahead(book, begin(book, typed("hoist")))

    assert [portion.fermenter for portion in outlook.plan.portions] == ["no 1", "no 2"]


def test_us_units_and_metric_ones_may_stand_side_by_side(book):
    outlook = ahead(book, begin(book, typed(kettle="13 gal", litres="20 L", tap="54 °F")))

    assert outlook.brewery.vessels["kettle"].capacity_l == pytest.approx(49.2, abs=0.05)  # 13 × 3.785 L
    assert outlook.plan.aims.volume_l == 20.0


@pytest.mark.parametrize("shape", ["bag", "extract"])
def test_the_plan_is_written_in_the_system_that_was_chosen(book, shape):
    begin(book, typed(shape, "stout", "us"))

    with open_book(book) as opened:
        text = opened.plans()[-1].text
    assert not re.search(r"\d (?:L|kg|g|°C)\"", text), text


@pytest.mark.parametrize("beer", BEERS.values(), ids=lambda beer: beer.key)
def test_both_texts_of_a_beer_are_the_same_warmth(beer):
    for metric, us in (beer.mash, beer.ferment_at):
        assert read(us, Dimension.TEMPERATURE) == pytest.approx(read(metric, Dimension.TEMPERATURE), abs=0.3)


def test_what_cannot_be_read_is_placed_by_field_and_nothing_is_kept(book):
    told = problems(book, typed(kettle="forty", tap="12", gravity="strong", fermenter=""))

    assert set(told) == {"kettle", "tap", "gravity", "fermenter"}
    assert "forty" in told["kettle"].understood
    with open_book(book) as opened:
        assert opened.breweries() == ()
        assert opened.plans() == ()


@pytest.mark.parametrize("count", ["none", "0", "21", "2.5", ""])
def test_fermenters_are_counted(book, count):
    assert set(problems(book, typed(fermenters=count))) == {"fermenters"}


def test_litres_without_a_unit_are_asked_about(book):
    assert set(problems(book, typed(litres="20"))) == {"litres"}


def test_a_name_that_is_taken_is_not_written_over(book):
    begin(book, typed())

    begin(book, typed())  # sent twice is kept once
    told = problems(book, typed(kettle="45 L", gravity="1.050"))

    assert set(told) == {"brewery", "beer"}
    with open_book(book) as opened:
        assert [kept.version for kept in opened.breweries()] == [1]


def test_what_is_left_empty_is_not_stated(book):
    outlook = ahead(book, begin(book, typed(across="", lift="", altitude="")))

    assert outlook.brewery.vessels["kettle"].diameter_cm is None
    assert outlook.brewery.bag.hoist_kg is None
