"""A wish file is read with its tables' and styles' figures, or refused with every fault."""

from __future__ import annotations

import pytest

from example_wishes import EXAMPLE, SHED, wish
from gylebook.errors import Refused
from gylebook.exchange.wish_file import read_wish, wish_schema
from gylebook.tasks.dividing import divided

TEXT = (EXAMPLE / "wish.toml").read_text(encoding="utf-8")


def read(*changes):
    text = TEXT
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    return read_wish(text, where="wish.toml")


def refused(*changes):
    with pytest.raises(Refused) as caught:
        read(*changes)
    return str(caught.value)


def test_a_style_gives_its_published_ranges_and_an_own_aim_goes_before():
    arbour = read(('style = "BJCP2021-18B"', 'style = "BJCP2021-18B"\nbitterness = ["45 IBU", "48 IBU"]'))

    aims = arbour.beers[0].aims
    assert aims["og"] == (1.045, 1.06)
    assert aims["ibu"] == (45.0, 48.0)
    assert arbour.beers[0].style == "BJCP2021-18B"


def test_a_style_is_found_by_name_and_a_name_of_two_guidelines_is_asked_about():
    assert read(('"BJCP2021-18B"', '"American Pale Ale"')).beers[0].style == "BJCP2021-18B"
    assert "stands in two guidelines" in refused(('"BJCP2021-18B"', '"Oatmeal Stout"'))


def test_an_unknown_style_is_answered_with_those_that_may_be_meant():
    told = refused(('"BJCP2021-18B"', '"American Pail Ale"'))

    assert "wish.toml" in told
    assert "American Pale Ale (BJCP2021-18B)" in told


def test_one_aim_alone_may_be_missed_by_a_little_either_way():
    (beer,) = wish(one='gravity = ["12.5 °P"]\nalcohol = ["5 %"]').beers

    low, high = beer.aims["og"]
    assert (low + high) / 2.0 == pytest.approx(1.0505, abs=1e-4)  # 12.5 in the table of Plato
    assert beer.aims["abv"] == pytest.approx((4.7, 5.3))


def test_each_beer_has_a_way_for_each_yeast_that_it_may_get():
    asked = read()

    kinds = {beer.key: [way.yeast.kind for way in beer.ways] for beer in asked.beers}
    assert kinds["arbour"] == ["American ale, clean", "English ale, fruity"]
    assert kinds["hedge"] == ["Saison, non-diastatic"]
    assert {way.key for beer in asked.beers for way in beer.ways} == {"arbour", "shade", "hedge"}


def test_teas_and_sugar_are_patterns_and_no_part_of_the_wort():
    asked = read()

    assert asked.base.hop_teas == asked.base.grain_teas == asked.base.additions == ()
    assert asked.hop_tea.mass_kg == pytest.approx(0.06)
    assert asked.sugar.fermentable == 1.0
    assert [one.most for one in asked.colour_grains] == [0.10, 0.04]
    assert asked.ageing.attenuation == pytest.approx(0.92)


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (('fermenter = "tall"', 'fermenter = "wide"'), "already holds"),
        (('style = "BJCP2021-13C"', ""), "neither a style nor an aim"),
        (('["20 IBU", "32 IBU"]', '["32 IBU", "20 IBU"]'), "the first is above the second"),
        (('yeasts = ["Saison, non-diastatic"]', 'yeasts = ["Kölsch"]'), "at hand are"),
        (('kind = "dunk rinse"', 'kind = "extract only"'), "is mashed here"),
        (('share = "20 %"', 'mass = "2 kg"'), "wanted in shares"),
        (('may = ["dilution", "sugar"', 'may = ["magic", "sugar"'), "may"),
        (('portion = "arbour"', 'portion = "harbour"'), "the beers are"),
        (('grain = "chocolate malt"', 'grain = "chocolate mallet"'), "Did you mean “chocolate malt”"),
    ],
)
def test_what_cannot_be_meant_is_refused_with_its_place(change, told):
    assert told in refused(change)


def test_a_fermenter_that_the_brewery_lacks_is_refused_before_any_search():
    with pytest.raises(Refused, match="there is no fermenter “tub”"):
        divided(read(('fermenter = "tall"', 'fermenter = "tub"')), SHED)


def test_the_schema_describes_every_key():
    schema = wish_schema()

    assert "beers" in schema["properties"]
    assert all("description" in part for part in schema["$defs"]["BeerTable"]["properties"].values())


@pytest.mark.parametrize(
    ("asked", "told"),
    [
        ("souring", "later = "),
        ("dry hop", 'use = "dry"'),
        ("fruit", "[[additions]]"),
        ("oak chips", "[[additions]]"),
        ("boil a part apart", 'wort = "2 L"'),
        ("Brettanomyces", "“long ageing”"),
        ("hop teas", "did you mean “hop tea”"),
    ],
)
def test_what_a_beer_is_not_given_by_leave_is_answered_with_how_it_is_given(asked, told):
    assert told in refused(('may = ["dilution", "sugar", "hop tea", "long ageing"]', f'may = ["{asked}"]'))


def test_what_a_souring_refusal_tells_to_write_is_read():
    later = 'later = { kind = "Lactobacillus plantarum", after = "2 d", months = 1 }'
    told = refused(('may = ["dilution", "sugar", "hop tea", "long ageing"]', 'may = ["souring"]'))

    assert later in told
    soured = read(('may = ["dilution", "sugar", "hop tea", "long ageing"]', later))
    assert soured.beers[2].ways[0].later.kind.startswith("Lactobacillus")


def test_shares_that_add_to_no_whole_and_a_seventh_beer_are_refused():
    seven = "".join(
        f'[beers.b{n}]\nname = "b{n}"\nfermenter = "f{n}"\ngravity = ["1.050"]\n'
        'package = { kind = "keg" }\n'
        for n in range(5)
    )

    assert "add to 120 %" in refused(('share = "20 %"', 'share = "40 %"'))
    assert "8 beers" in refused(("[beers.arbour]", f"{seven}[beers.arbour]"))
