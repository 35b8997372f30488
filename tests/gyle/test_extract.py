"""Brew with what did not come from the mash: malt extract ferments as malt, sugar by a share of its own."""

from __future__ import annotations

import csv
from dataclasses import replace
from importlib.resources import files

import numpy as np
import pytest

from example_gyles import brewery, middling, pinned, plan, portion, sugar, yeast
from gylebook.brewery.plan import MashStep, Plan
from gylebook.brewery.site import Brewery
from gylebook.gyle.forecast import Model
from published_tables import published_rows

SHED = brewery()


def numbers(a_plan: Plan, on: Brewery = SHED) -> dict[str, float]:
    model = Model(a_plan, on)
    found = model.forecast(middling(model))
    return {name: float(np.max(np.asarray(value))) for name, value in found.items()}


def extract_gyle(attenuation: float, *, malt: bool = True) -> Plan:
    dried = sugar("dried extract", 5.0, extract=0.96, fermentable=0.6, minutes=60.0, malt=malt)
    eager = yeast(attenuation=attenuation)
    return plan("extract only", additions=(dried,), portions=(portion("one", 1.0, yeast=eager),))


def test_in_a_gyle_of_malt_extract_alone_the_yeast_says_how_far_it_goes():
    sluggish, eager = (numbers(extract_gyle(a))["portion.one.fg"] for a in (0.68, 0.78))

    assert sluggish > eager + 0.003


def test_a_sugar_ferments_by_its_own_share_whatever_the_yeast():
    sluggish, eager = (numbers(extract_gyle(a, malt=False))["portion.one.fg"] for a in (0.68, 0.78))

    assert sluggish == pytest.approx(eager, abs=1e-9)


def test_yeast_that_could_go_on_stops_where_bought_extract_does():
    # Real 60 to 68 % of dried malt extract is fermented (trade practice): 75 to 84 % apparent.
    found = numbers(extract_gyle(0.95))
    fallen = (found["portion.one.og"] - found["portion.one.fg"]) / (found["portion.one.og"] - 1.0)

    assert 0.74 < fallen < 0.85


def test_malt_extract_beside_a_mash_leaves_its_attenuation_alone_and_sugar_raises_it():
    plain, malted, sugared = (
        numbers(plan(additions=extra))
        for extra in (
            (),
            (sugar("dried extract", 1.0, extract=0.96, malt=True),),
            (sugar("candy", 1.0),),
        )
    )

    def attenuation(found: dict[str, float]) -> float:
        return (found["portion.one.og"] - found["portion.one.fg"]) / (found["portion.one.og"] - 1.0)

    assert attenuation(malted) == pytest.approx(attenuation(plain), abs=0.004)  # SG is not quite °P
    assert attenuation(sugared) > attenuation(plain) + 0.03


@pytest.mark.parametrize("at", ["boil", "kettle end", "one"])
@pytest.mark.parametrize("malt", [True, False])
def test_efficiency_counts_the_grist_alone(at, malt):
    plain = numbers(plan())
    added = numbers(plan(additions=(sugar("extra", 2.0, at=at, malt=malt),)))

    assert added["og"] > plain["og"] + 0.010
    for which in ("conversion", "lauter", "kettle"):
        assert added[f"efficiency.{which}"] == pytest.approx(plain[f"efficiency.{which}"], rel=1e-12)
    # Two kilograms in the kettle make more wort, of which the same litres stay behind.
    assert added["efficiency.fermenter"] == pytest.approx(plain["efficiency.fermenter"], rel=0.01)
    shares = sum(added[f"efficiency.{lost}"] for lost in ("lost_undissolved", "lost_in_bag", "lost_after"))
    assert shares + added["efficiency.fermenter"] == pytest.approx(1.0)


def shipped_sugars() -> dict[str, dict[str, str]]:
    text = (files("gylebook.data") / "sugars.csv").read_text(encoding="utf-8")
    return {row["key"]: row for row in csv.DictReader(x for x in text.splitlines() if not x.startswith("#"))}


@pytest.mark.parametrize("row", published_rows("beer_sugars"), ids=lambda row: row["key"])
def test_shipped_sugars_hold_and_ferment_what_the_trade_finds(row):
    ours = shipped_sugars()[row["key"]]

    assert float(row["extract_low_pct"]) <= float(ours["extract_pct"]) <= float(row["extract_high_pct"])
    assert float(row["real_low_pct"]) <= float(ours["fermentable_pct"]) <= float(row["real_high_pct"])


@pytest.mark.parametrize(
    ("key", "apparent"),
    # Real share over 0.805: sugar alone ends far below water; lactose stays.
    [("table-sugar", 1.242), ("lactose", 0.0), ("honey", 1.18)],
)
def test_wort_of_one_shipped_sugar_ends_where_its_real_share_says(key, apparent):
    ours = shipped_sugars()[key]
    only = sugar(
        key,
        2.0,  # a stronger wash of sugar ends lighter than the scale goes
        extract=float(ours["extract_pct"]) / 100.0,
        fermentable=float(ours["fermentable_pct"]) / 100.0,
        minutes=60.0,
    )
    gyle = replace(extract_gyle(0.75), additions=(only,))

    found = numbers(gyle, pinned(SHED, alcohol__yield=1.0))

    fallen = (found["portion.one.og"] - found["portion.one.fg"]) / (found["portion.one.og"] - 1.0)
    # A hundredth for gravity points that are not quite degrees Plato.
    assert fallen == pytest.approx(apparent, abs=0.015)


def test_the_worked_mix_of_malt_extract_and_sugar_attenuates_as_reckoned(check):
    # 1.70 kg malt extract that ferments to 0.65 and 0.5 kg sucrose: 0.730 real, 90.6 % apparent.
    malt = sugar("malt", 1.70 * 2.0, extract=1.0, fermentable=0.65, minutes=60.0)
    candy = sugar("candy", 0.5 * 2.0, minutes=60.0)
    gyle = replace(extract_gyle(0.75), additions=(malt, candy))
    model = Model(gyle, SHED)
    course = model.course(middling(model)).portions[0]

    real = float(np.max(course.wort.fermentable_kg / course.wort.extract_kg))

    of = {"source": "derived", "kind": "slip"}
    check("real limit of a mix of malt extract and sugar", real, 0.730, within=5e-4, **of)
    check("apparent limit of the same", real / 0.805, 0.906, within=1e-3, **of)


def test_an_extract_beer_has_the_colour_of_its_extract():
    amber = sugar("amber extract", extract=0.95, fermentable=0.64, malt=True, colour_ebc=30.0, mass_kg=2.5)
    pale = replace(amber, colour_ebc=8.0)

    dark, light = (numbers(plan("extract only", additions=(one,)))["colour_srm"] for one in (amber, pale))

    assert dark > 2.0 * light > 0.0


def test_no_mash_stops_diastatic_yeast():
    # It makes its own glucoamylase and takes what the mash left, however hot that was; common practice.
    left = {}
    for diastatic in (False, True):
        keen = yeast(attenuation=0.93, diastatic=diastatic)
        hot = plan(
            mash=(MashStep(temperature_c=74.0, minutes=60.0),), portions=(portion("one", 1.0, yeast=keen),)
        )
        left[diastatic] = numbers(hot)["portion.one.fg"]
    assert left[True] < 1.006
    assert left[False] > 1.015
