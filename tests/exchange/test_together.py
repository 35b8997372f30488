"""Plan and brewery must speak of the same things."""

from __future__ import annotations

from dataclasses import replace

import pytest

from exchange.example_files import FIXED, FOLDERS, changed, text_of
from gylebook.brewery.plan import Blend, Liquor
from gylebook.brewery.water import Dose, IonAim, ReportLine, Water
from gylebook.errors import Refused
from gylebook.exchange.brewery_file import read_brewery
from gylebook.exchange.plan_file import read_plan
from gylebook.exchange.together import check_together

PLAN = read_plan(text_of(FIXED / "plan.toml"), where="plan.toml")
SHED = read_brewery(text_of(FIXED / "brewery.toml"), where="brewery.toml")


def refused(plan=PLAN, brewery=SHED):
    with pytest.raises(Refused, match=r"there|nothing|already|rinse|packed|report") as caught:
        check_together(plan, brewery, plan_where="plan.toml")
    return str(caught.value)


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
def test_the_files_that_ship_belong_together(folder):
    plan = read_plan((folder / "plan.toml").read_bytes(), where="plan.toml")
    brewery = read_brewery((folder / "brewery.toml").read_bytes(), where="brewery.toml")
    check_together(plan, brewery)


def test_two_portions_do_not_share_a_fermenter():
    text = changed(text_of(FIXED / "plan.toml"), ('fermenter = "squat"', 'fermenter = "tall"'))

    told = refused(read_plan(text, where="plan.toml"))

    assert "plan.toml, portions.bottles.fermenter: “tall” already holds “keg”" in told
    assert "still free: “squat”, “spare”." in told


def test_a_fermenter_that_nobody_owns_is_answered_with_those_there_are():
    first = replace(PLAN.portions[0], fermenter="tal")

    told = refused(replace(PLAN, portions=(first, *PLAN.portions[1:])))

    assert (
        "there is no fermenter “tal”; did you mean “tall”? Known: “tall”, “squat”, “glass”, “spare”." in told
    )


def test_a_dunk_rinse_needs_a_second_vessel():
    assert "the brewery has no rinse vessel" in refused(brewery=replace(SHED, rinse=None))

    check_together(
        replace(PLAN, process=replace(PLAN.process, kind="full volume")), replace(SHED, rinse=None)
    )


@pytest.mark.parametrize("tun", [None, "kettle"])
def test_a_fly_rinse_needs_a_vessel_to_mash_in(tun):
    running = replace(PLAN, process=replace(PLAN.process, kind="fly rinse", drain="tun"))

    told = refused(running, replace(SHED, tun=tun))

    assert told == (
        "plan.toml, process.kind: a fly rinse needs a vessel to mash in besides the kettle; "
        "name it as tun in the brewery file, or choose another process."
    )
    check_together(running, replace(SHED, tun="second pot"))


def test_a_kettle_needs_heat():
    assert "nothing heats the kettle “kettle”" in refused(
        brewery=replace(SHED, heat_sources=SHED.heat_sources[1:])
    )


def test_a_remedy_that_forgets_its_starter_is_refused():
    assert "portions.keg.yeast.starter: there is no starter “cool”" in refused(replace(PLAN, starters=()))


def test_a_blend_pours_no_portion_that_a_remedy_took_away():
    half = Blend(key="half", name="Half", parts=(("loft", 0.5),), package=PLAN.portions[0].package)

    told = refused(replace(PLAN, blends=(half,)))

    assert "plan.toml, blends.half.parts.loft: there is no portion “loft”" in told


def test_a_remedy_that_packs_before_the_second_organism_is_refused():
    long = PLAN.portions[2]
    hasty = replace(long, package=replace(PLAN.portions[1].package, after_days=14.0))

    told = refused(replace(PLAN, portions=(*PLAN.portions[:2], hasty)))

    assert "plan.toml, portions.long.package.after: packed after 14 d, but Brettanomyces secondary" in told


MAINS = Water(key="mains", name="Mains", report=(ReportLine(what="alkalinity", value=3.6, unit="mEq/L"),))


def test_a_water_that_the_brewery_does_not_draw_is_answered_with_those_it_does():
    plan = replace(PLAN, liquor=Liquor(waters=(("mains", 0.5), ("wel", 0.5))))
    shed = replace(SHED, waters={"mains": MAINS, "well": replace(MAINS, key="well")}, water="mains")

    told = refused(plan, shed)

    assert told == (
        "plan.toml, liquor.waters.wel: there is no water “wel”; did you mean “well”? Known: “mains”, “well”."
    )


def test_a_water_is_not_diluted_with_itself():
    soft = Water(key="soft", name="Soft", membrane_of="mains")
    shed = replace(SHED, waters={"mains": MAINS, "soft": soft}, water="mains")
    wanted = Liquor(ions=(IonAim(ion="alkalinity", mg_per_l=60.0),), diluted_with="mains")

    told = refused(replace(PLAN, liquor=wanted), shed)

    assert told == (
        "plan.toml, liquor.diluted_with: “mains”, which is the water drawn already; name a purer one: "
        "“soft”; or say in waters which water is drawn."
    )
    check_together(replace(PLAN, liquor=replace(wanted, diluted_with="soft")), shed)
    # A hard well may be diluted with the mains, though these are drawn where nothing is said.
    well = replace(shed, waters={**shed.waters, "well": replace(MAINS, key="well")})
    check_together(replace(PLAN, liquor=replace(wanted, waters=(("well", 1.0),))), well)


def test_nothing_is_wanted_of_a_water_that_nobody_has_told_of():
    calcium = (IonAim(ion="calcium", mg_per_l=80.0),)
    gypsum = Dose(of="gypsum", kind="salt", into="mash", amount=8.0)
    liquor = Liquor(ions=calcium, rinse_ions=calcium, rinse_alkalinity=0.5, doses=(gypsum,))
    plan = replace(PLAN, aims=replace(PLAN.aims, mash_ph=5.4), liquor=liquor)

    told = refused(plan)

    places = ["aims.mash_ph", "liquor.ions", "liquor.rinse_ions", "liquor.rinse_alkalinity", "doses"]
    assert [line.split(": ")[0] for line in told.split("\n")] == [f"plan.toml, {place}" for place in places]
    assert "add its report to the brewery file: [waters.mains.report]" in told
    check_together(plan, replace(SHED, waters={"mains": MAINS}, water="mains"))


def test_everything_that_does_not_belong_is_told_at_once():
    told = refused(replace(PLAN, starters=()), replace(SHED, rinse=None))

    assert len(told.split("\n")) == 2
