"""Plans begun at a point of the edge: what they are solved to, on gear of every usual shape."""

from __future__ import annotations

import pytest

from gylebook.exchange.tables import SHIPPED
from gylebook.tasks.drafts import look_at_draft
from gylebook.tasks.first_run import BEERS, SHAPES, texts_of
from gylebook.tasks.reach_ground import Ground
from gylebook.tasks.reach_kept import points_at, reach_of
from gylebook.tasks.reach_plan import PLANNED_WAYS, Wanted, text_at
from gylebook.tasks.run_view import run_view

SG = 1.055


def ground(shape: str) -> Ground:
    """A brewery of this shape with its usual values, for a plain pale beer."""
    typed = {**SHAPES[shape].filled("metric"), "shape": shape, "kind": "pale ale"}
    text, _ = texts_of(SHAPES[shape], BEERS["pale ale"], typed)
    return Ground(
        brewery="b", brewery_text=text, plan="", plan_text=None, breweries=("b",), plans=(), tables=SHIPPED
    )


@pytest.mark.parametrize("shape", list(SHAPES))
def test_a_plain_beer_at_the_edge_is_solved_and_keeps_every_limit_by_every_way(shape):
    on = ground(shape)
    view = reach_of(on.brewery_text, at_sg=SG)
    able = [(c, p) for c, p in points_at(view, SG) if p.volume_l is not None and c.way in PLANNED_WAYS]

    assert able
    for curve, point in able:
        text = text_at(on, view, Wanted(name="There", way=curve.way, sg=SG), point)
        outlook = look_at_draft(text, on.brewery_text, draws=400)
        run = run_view(outlook)
        assert outlook.numbers["og"].median == pytest.approx(SG, abs=4e-4)
        sure = next(aim for aim in run.aims if aim.name == "volume")
        assert sure.odds == pytest.approx(0.9, abs=0.02)
        assert {limit.name for limit in run.limits if limit.odds_kept < 0.86} == set()


def test_less_than_the_most_is_brewed_with_less_of_everything():
    on = ground("bag")
    view = reach_of(on.brewery_text, at_sg=SG)
    point = next(p for c, p in points_at(view, SG) if c.way == "poured rinse")
    whole, half = (
        look_at_draft(
            text_at(
                on, view, Wanted(name="x", way="poured rinse", sg=SG, volume_l=part * point.volume_l), point
            ),
            on.brewery_text,
            draws=400,
        ).plan
        for part in (0.9, 0.45)
    )

    assert half.liquor.mash_l == pytest.approx(0.5 * whole.liquor.mash_l, abs=0.1)
    assert sum(g.mass_kg for g in half.grist) < 0.6 * sum(g.mass_kg for g in whole.grist)
