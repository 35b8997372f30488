"""What goes into a fermenter goes in before the beer is packed; hops left open need a bitterness."""

from __future__ import annotations

import pytest

from exchange.example_files import FIXED, changed, refusal, text_of
from gylebook.exchange.plan_file import read_plan

PLAN = text_of(FIXED / "plan.toml")
DRY = """[[hops]]
variety = "Saaz"
use = "dry"
portion = "{portion}"
mass = "30 g"
time = "{time}"

[chill]"""
STAYS = 'package = { kind = "stays" }'


def read(*changes):
    return read_plan(changed(PLAN, *changes), where="plan.toml")


def refused(*changes):
    return refusal(read_plan, changed(PLAN, *changes), "plan.toml")


@pytest.mark.parametrize("kind", ["bottles", "keg"])
def test_nothing_is_packed_before_its_second_organism_goes_in(kind):
    told = refused((STAYS, f'package = {{ kind = "{kind}", after = "2 weeks" }}'))

    assert told == (
        "plan.toml line 86, portions.long.package.after: packed after 14 d, but Brettanomyces secondary goes "
        "in after 21 d; pack it 21 d after pitching or later, add that sooner, or let it stay: "
        'kind = "stays".'
    )


@pytest.mark.parametrize("package", ['"bottles", after = "3 weeks"', '"bottles"', '"stays", after = "14 d"'])
def test_a_second_organism_may_go_in_on_the_day_of_packing_and_into_what_stays(package):
    assert read((STAYS, f"package = {{ kind = {package} }}")).portions[2].later.after_days == 21


def test_a_part_of_a_blend_may_be_packed_with_it():
    blend = (
        '[blends.winter]\nname = "Winter"\nparts = { keg = "60 %", long = "40 %" }\n'
        'package = { kind = "bottles", after = "14 d" }\n\n[portions.keg]'
    )

    assert read(("[portions.keg]", blend)).blends[0].package.after_days == 14


def test_dry_hops_lie_in_the_beer_no_longer_than_it_is_there():
    told = refused(("[chill]", DRY.format(portion="keg", time="30 d")))

    assert told == (
        "plan.toml line 61, hops[3].time: 30 d of dry hops in “keg”, which is packed after 24 d; "
        "they lie there for 24 d at most; or pack it later, package.after."
    )


@pytest.mark.parametrize(("portion", "time"), [("keg", "24 d"), ("keg", "576 h"), ("long", "80 d")])
def test_dry_hops_may_lie_until_packing(portion, time):
    assert read(("[chill]", DRY.format(portion=portion, time=time))).hops[2].portion == portion


def test_an_aim_of_no_bitterness_settles_no_hops():
    told = refused(('"28 IBU"', '"0 IBU"'))

    assert told == (
        "plan.toml line 8, aims.bitterness: 0 IBU, and no mass of Perle, Saaz; "
        'aim for more than 0 IBU, give such hops a mass = "30 g", or leave them out.'
    )


def test_hops_that_are_weighed_may_stand_under_an_aim_of_none():
    weighed = [(f'bitterness_share = "{share} %"', 'mass = "5 g"') for share in (80, 20)]

    assert read(('"28 IBU"', '"0 IBU"'), *weighed).aims.bitterness_ibu == 0
