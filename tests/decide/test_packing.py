"""Bottles are refused above the accepted odds, and what is told instead does what it says."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gylebook.brewery.packages import BottleKind, Keg, Lot
from gylebook.decide.packing import PackingAsked, pack, rounded_down
from gylebook.gyle.packing import BeerToPack
from gylebook.matter.extract import plato_from_sg


def kind(name: str, limit: float) -> BottleKind:
    return BottleKind(key=name, name=name, size_l=0.5, limit_bar=limit, head_space=0.04)


THIN, SOUND, HEAVY = kind("thin", 3.5), kind("sound", 4.5), kind("heavy", 6.0)
KINDS = [HEAVY, THIN, SOUND]


def beer(points: float = 0.0, rows: int = 2000) -> BeerToPack:
    return BeerToPack(
        litres=np.full(rows, 19.0),
        original=np.full(rows, float(plato_from_sg(1.050))),
        apparent=np.full(rows, float(plato_from_sg(1.012))),
        left_points=np.full(rows, points),
        warmest_c=20.0,
        aged=False,
        alive=False,
        measured=True,
        barometer_bar=1.0,
        seed=3,
    )


def asked(*lots: Lot, **more) -> PackingAsked:
    given = {"volumes": 2.3, "sugar": "sucrose", "way": "in bulk", "store_c": 20.0, "scale_g": 1.0, **more}
    return PackingAsked(lots=lots, kegs=given.pop("kegs", ()), **given)


def all_of(bottle: BottleKind) -> Lot:
    return Lot(kind=bottle, size_l=0.5, count=None)


def test_a_usual_beer_in_sound_bottles_is_not_refused():
    found = pack(beer(), asked(all_of(SOUND)), KINDS)

    assert not found.refused(1e-3)
    assert found.ways_out == ()
    assert 90 < found.bulk < 125  # 19 L at 2.3 volumes
    assert found.bulk == int(found.bulk)


@pytest.mark.parametrize("volumes", [2.8, 3.1])
def test_every_way_out_leads_where_it_says(volumes):
    wanted = asked(all_of(THIN), volumes=volumes)
    found = pack(beer(), wanted, KINDS)
    ways = {way.deed: way for way in found.ways_out}

    assert found.refused(1e-3)
    less = replace(wanted, volumes=ways["less sugar"].amount)
    assert pack(beer(), less, KINDS).odds == ways["less sugar"].odds <= 1e-3
    assert pack(beer(), replace(less, volumes=less.volumes + 0.1), KINDS).odds > 1e-3
    (stronger,) = [one for one in KINDS if one.name == ways["stronger bottles"].kind]
    assert pack(beer(), replace(wanted, lots=(all_of(stronger),)), KINDS).odds <= 1e-3
    if "cooler store" in ways:
        cooler = replace(wanted, store_c=ways["cooler store"].amount)
        assert pack(beer(), cooler, KINDS).odds == ways["cooler store"].odds <= 1e-3
    assert "keg" in ways


def test_beer_that_has_not_finished_is_refused_and_waiting_is_told():
    wanted = asked(all_of(HEAVY))
    found = pack(beer(8.0), wanted, KINDS, finished=False, wait_days=9.0, waited=beer())
    ways = {way.deed: way for way in found.ways_out}

    assert found.odds > 0.5
    assert found.bulk == 0.0
    assert ways["wait"].amount == 9.0
    assert ways["wait"].odds < 1e-3
    assert "less sugar" not in ways  # there is none to leave out
    assert "cooler store" not in ways  # cold only makes it wait


def test_the_weakest_kind_of_a_mixed_lot_decides():
    mixed = asked(Lot(kind=HEAVY, size_l=0.75, count=6), Lot(kind=THIN, size_l=0.33, count=12), volumes=2.9)
    found = pack(beer(), mixed, KINDS)
    heavy, thin = found.lots

    assert heavy.odds <= 1e-3 < thin.odds <= found.odds


def test_lower_accepted_odds_refuse_more():
    found = pack(beer(), asked(all_of(SOUND), volumes=2.6), KINDS)

    assert found.odds > 1e-4
    assert found.refused(1e-4)


def test_a_scale_never_adds_sugar():
    fine, coarse = (pack(beer(), asked(all_of(SOUND), scale_g=step), KINDS) for step in (0.01, 10.0))
    each = pack(beer(), asked(all_of(SOUND), scale_g=0.5, way="bottle by bottle"), KINDS)

    assert coarse.bulk <= fine.bulk < coarse.bulk + 10.0
    assert each.lots[0].each % 0.5 == 0.0
    assert each.lots[0].each <= fine.lots[0].each


def test_a_keg_primed_by_itself_takes_none_of_the_bottles_sugar():
    bottles = Lot(kind=SOUND, size_l=0.5, count=10)
    primed = pack(beer(), asked(bottles, kegs=(Keg(holds_l=19.0),), prime_kegs=True), KINDS)
    gassed = pack(beer(), asked(bottles, kegs=(Keg(holds_l=19.0),)), KINDS)

    assert primed.bulk == gassed.bulk
    assert primed.kegs[0].sugar > 1.2 * primed.dose.per_l * primed.kegs[0].filled.litres
    assert gassed.kegs[0].sugar == 0.0
    assert gassed.kegs[0].high_bar > 0.5


@given(st.floats(0.0, 1e4), st.sampled_from([0.01, 0.1, 0.5, 1.0, 5.0]))
def test_rounding_down_never_passes_the_amount(amount, step):
    shown = rounded_down(amount, step)

    assert 0.0 <= shown <= amount + 1e-5 * step + 1e-9
    assert amount - shown < step * 1.001
