"""A beer goes from any usual gear to any other as a parcel, and the plan that comes out makes it again."""

from __future__ import annotations

from itertools import product

import pytest

from gylebook.exchange.brewery_file import read_brewery
from gylebook.exchange.plan_file import read_plan
from gylebook.tasks.adapt import adapt
from gylebook.tasks.adapt_text import adapted_text
from gylebook.tasks.brews import make_book
from gylebook.tasks.first_run import BEERS, SHAPES, begin
from gylebook.tasks.outlook import look_ahead
from gylebook.tasks.parcels import packed, unpacked
from gylebook.tasks.plan_versions import look_at_plan

DRAWS = 300


@pytest.fixture(scope="module")
def begun(tmp_path_factory):
    """The usual gear of every shape, and a stout that was begun on it."""
    out = {}
    for shape in SHAPES:
        location = str(tmp_path_factory.mktemp(shape) / "book.gyle")
        make_book(location)
        found = begin(location, {**SHAPES[shape].filled("metric"), "shape": shape, "kind": list(BEERS)[2]})
        view = look_at_plan(location, found.plan)
        gear = read_brewery(view.breweries[0].text, where="brewery")
        out[shape] = gear, look_ahead(read_plan(view.own.text, where="plan"), gear, draws=DRAWS)
    return out


@pytest.mark.parametrize(("shape", "onto"), [*product(SHAPES, SHAPES)])
@pytest.mark.parametrize("times", [0.5, 2.0])
def test_a_beer_of_any_shape_is_the_same_on_any_other(begun, shape, onto, times):
    gear, before = begun[onto][0], begun[shape][1]

    text = adapted_text(adapt(unpacked(packed(before)).before, gear, times=times, draws=DRAWS))

    after = look_ahead(read_plan(text, where="plan"), gear, draws=DRAWS)
    # Weighed to a gram of grain and a tenth of a gram of hops.
    assert after.numbers["og"].median == pytest.approx(before.numbers["og"].median, abs=3e-4)
    assert after.numbers["ibu"].median == pytest.approx(before.numbers["ibu"].median, abs=0.3)
