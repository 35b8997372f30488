"""Count the yeast of every portion, from pack, slurry or a shared starter of any kind."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from example_gyles import brewed, brewery, latents, middling, pinned, plan, portion, yeast
from gylebook.brewery.ingredients import Starter, Yeast
from gylebook.brewery.plan import Plan, Portion
from gylebook.gyle.forecast import Model
from gylebook.gyle.limits import ENOUGH_YEAST, limits
from gylebook.gyle.pitch import (
    Pitch,
    dried_extract_kg,
    pitches,
    suspension_kg_per_l,
    suspension_l,
    viable_cells,
)
from published_tables import published_rows

SHED = brewery()
PACK = {"form": "liquid", "packs": 1.0, "cells_billion": 100.0, "age_days": 0.0}


def flask(**other: object) -> Starter:
    usual: dict[str, object] = {"key": "flask", "kind": "stirred", "volume_l": 2.0}
    return Starter(**{**usual, **other})


def drinking(*rates: float, of: Starter, packs: float = 1.0) -> Plan:
    """Portions of one wort that drink from one flask, at these pitching rates."""
    keys = ("one", "two", "three")
    return plan(
        portions=tuple(
            portion(
                key,
                1.0 / len(rates),
                yeast=yeast(
                    **{**PACK, "packs": packs / len(rates)},
                    starter=of.key,
                    pitch_million_per_ml_plato=rate,
                ),
            )
            for key, rate in zip(keys, rates, strict=False)
        ),
        starters=(of,),
    )


def pitched(a_plan: Plan) -> tuple[Pitch, ...]:
    """At the middle of all figures."""
    model = Model(a_plan, SHED)
    rows = middling(model)
    return pitches(a_plan, model.draw(rows), model.course(rows).portions)


def cells(of: Starter, packs: float = 1.0) -> float:
    """What the flask holds in the end. [billion]"""
    return float(np.max(np.asarray(sum(p.given for p in pitched(drinking(0.75, 1.5, of=of, packs=packs))))))


@pytest.mark.parametrize("row", published_rows("beer_starter_still")[:4], ids=lambda r: r["starter_L_at_9P"])
def test_a_still_starter_grows_what_was_published(row, check):
    litres, expected = float(row["starter_L_at_9P"]), float(row["total_billion_published"])

    found = cells(flask(kind="still", volume_l=litres))

    # Within 3 %, as the curve was fitted.
    check(
        "cells in a still starter of the plan",
        found,
        expected,
        rel=0.03,
        unit="billion",
        at=f"{litres:g} L",
        source="white-zainasheff-2010",
    )


def test_two_steps_grow_more_cells_than_one_and_stirring_more_than_standing():
    # 50 billion, to 1 L, to 3 L: a worked case has 103 and 253 still, 180 and 571 stirred.
    still, stirred = (
        [cells(flask(kind=kind, volume_l=v, first_steps_l=s), 0.5) for v, s in ((1.0, ()), (3.0, (1.0,)))]
        for kind in ("still", "stirred")
    )

    assert still == pytest.approx([103.0, 253.0], rel=0.02)
    assert stirred == pytest.approx([180.0, 571.0], rel=0.01)
    # All the wort at once is pitched too thinly to grow as far.
    assert cells(flask(kind="still", volume_l=4.0), 0.5) < still[1]


def test_a_shaken_starter_lies_between():
    still, shaken, stirred = (cells(flask(kind=kind)) for kind in ("still", "shaken", "stirred"))

    assert still < shaken < stirred


def test_a_flask_of_kind_none_only_pools_the_packs():
    assert cells(flask(kind="none", volume_l=None), packs=3.0) == pytest.approx(300.0)


def test_a_starter_is_shared_by_need_and_the_shares_add_up(check):
    rows = published_rows("beer_pitch_sharing")
    portions = tuple(
        portion(key, None, volume_l=float(r["volume_L"]), yeast=yeast(**PACK, starter="flask"))
        for key, r in zip(("one", "two", "three"), rows, strict=True)
    )
    gyle = plan(portions=portions, starters=(flask(),))
    model = Model(gyle, SHED)
    course = model.course(middling(model))
    # The worked case has a strength of each portion's own: put in by its rate, as the wort is one here.
    strengths = [float(np.max(np.asarray(p.pitched.plato))) for p in course.portions]
    litres = [float(np.max(np.asarray(p.pitched.volume_l))) for p in course.portions]
    rated = tuple(
        replace(
            p,
            yeast=replace(
                p.yeast,
                pitch_million_per_ml_plato=float(r["rate_million_per_mL_per_P"])
                * float(r["OE_P"])
                / strength
                * float(r["volume_L"])
                / volume,
            ),
        )
        for p, r, strength, volume in zip(portions, rows, strengths, litres, strict=True)
    )

    found = pitched(replace(gyle, portions=rated))

    for one, r in zip(found, rows, strict=True):
        of = {"at": r["fermenter"], "source": "derived", "kind": "slip"}
        check("cells a portion needs", one.needed, float(r["needed_billion"]), rel=1e-6, unit="billion", **of)
        check("share of a starter", one.share, float(r["share_of_starter"]), within=6e-5, **of)
    assert sum(float(np.max(one.share)) for one in found) == pytest.approx(1.0)


def test_a_wrong_count_moves_all_pitches_together():
    gyle = drinking(0.75, 1.0, 1.5, of=flask())
    course, figures = brewed(gyle, SHED)
    found = pitches(gyle, figures, course.portions)
    met = [np.log(p.given / p.needed) for p in found]

    # Uncounted, a starter is known to 40 % at best.
    assert 0.25 < np.std(met[0]) < 0.6
    for other in met[1:]:
        np.testing.assert_allclose(other, met[0], rtol=1e-9, atol=1e-12)


def test_a_settled_starter_is_shared_as_slurry_and_loses_a_twentieth():
    whole, settled = flask(), flask(cold_crash=True, slurry_l=0.15)

    assert cells(settled) == pytest.approx(0.95 * cells(whole))
    assert suspension_l(whole) == 2.0
    assert suspension_l(settled) == 0.15
    # Slurry is thicker than beer, and both are heavier than water.
    assert 1.0 < suspension_kg_per_l(whole) < suspension_kg_per_l(settled) < 1.1


def test_all_steps_of_a_starter_are_shared_out_and_weighed_for():
    stepped = flask(volume_l=3.0, first_steps_l=(0.5, 1.0))

    assert suspension_l(stepped) == pytest.approx(4.5)
    # About 100 g of dried extract a litre (common practice); 9 °P ask for 98.
    assert dried_extract_kg(stepped) == pytest.approx(0.098 * 4.5, rel=0.01)
    assert suspension_l(flask(kind="none")) is None
    assert suspension_l(flask(volume_l=None)) is None


def test_a_starter_of_no_volume_yet_is_sent_back_to_the_solver():
    with pytest.raises(ValueError, match="volume of starter flask is left open"):
        pitched(drinking(0.75, of=flask(volume_l=None)))


@pytest.mark.parametrize(
    ("of", "alive"),
    [
        # A liquid pack loses a fifth in a month (common practice), slurry at 1 °C 7 % in six days (McCaig and
        # Bendiak, 1985: 8 % by the fit), dry yeast at 20 °C a fifth in a year (makers).
        ({"form": "liquid", "age_days": 30.0}, 0.80),
        ({"form": "slurry", "age_days": 6.0, "stored_c": 1.0}, 0.92),
        ({"form": "dry", "age_days": 365.0, "stored_c": 20.0}, 0.80),
        ({"form": "dry", "age_days": 365.0, "stored_c": 4.0}, 0.96),
    ],
)
def test_age_takes_its_part_by_the_kind_of_yeast(of, alive):
    assert viable_cells(yeast(packs=2.0, cells_billion=150.0, **of)) == pytest.approx(300.0 * alive, rel=0.01)


def odds_of(pack: Yeast) -> tuple[float, float]:
    """Odds of enough yeast in portion one, by the limit and by hand."""
    gyle = plan(portions=(portion("one", yeast=pack), portion("two")))
    model = Model(gyle, SHED)
    rows = latents(model)
    figures, course = model.draw(rows), model.course(rows)
    found = pitches(gyle, figures, course.portions)[0]
    (limit,) = [
        x for x in limits(gyle, SHED, figures, course) if x.name == "yeast count" and x.portion == "one"
    ]
    return limit.odds_kept, float(np.mean(found.given >= ENOUGH_YEAST * found.needed))


def test_the_odds_of_enough_yeast_rise_with_the_packs():
    few, some, many = (odds_of(yeast(packs=1.0, cells_billion=c)) for c in (40.0, 85.0, 300.0))

    assert few[0] < 0.05 < 0.2 < some[0] < 0.98 < many[0]
    for limit, by_hand in (few, some, many):
        assert limit == by_hand


def test_what_is_poured_into_a_portion_before_the_yeast_counts_in_its_need():
    def needed(of: Portion) -> float:
        return float(np.max(np.asarray(pitched(plan(portions=(of, portion("two"))))[0].needed)))

    plain, thinned = needed(portion("one")), needed(portion("one", top_up_l=5.0))

    # The extract is the same, and a rate is by volume and strength: by extract, nearly.
    assert thinned == pytest.approx(plain, rel=0.03)


def test_every_portion_has_its_own_figure_of_cells():
    gyle = plan(portions=(portion("one", 0.4), portion("two", 0.4), portion("three", 0.1)))
    shed = pinned(SHED, portion__two__cells=0.5)
    model = Model(gyle, shed)
    rows = middling(model)

    one, two, three = pitches(gyle, model.draw(rows), model.course(rows).portions)

    assert float(np.max(two.given)) == pytest.approx(0.5 * float(np.max(one.given)))
    assert float(np.max(three.given)) == pytest.approx(float(np.max(one.given)))
    assert [one.starter, float(one.share)] == [None, 1.0]
