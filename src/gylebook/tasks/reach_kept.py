"""Look at the reach of a brewery as its text stands in a book, worked out once for each text and gravity.

In:  the text of a brewery, perhaps that of a plan for the rest of the beer; odds; a gravity.
Out: `ReachView`; `point_at`, the edge of one way at any gravity.

Idea: texts in a book never change, so what was found for them holds for good.  The curves are the costly
part and do not depend on the gravity that is looked at.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from gylebook.brewery.plan import Plan
from gylebook.exchange.brewery_file import read_brewery
from gylebook.exchange.plan_file import read_plan
from gylebook.exchange.tables import SHIPPED, Tables
from gylebook.exchange.together import check_together
from gylebook.tasks.reach import (
    DRAWS,
    SEED,
    CurveView,
    EdgePoint,
    Edges,
    ReachView,
    find_edges,
    gravity_within,
    reach_at,
)

KEPT_EDGES, KEPT_VIEWS = 12, 200  # half a megabyte of draws each; a view is small
TELLING_SG = 4  # decimals of a gravity that tell two of them apart


def reach_of(
    brewery_text: str,
    plan_text: str | None = None,
    tables: Tables = SHIPPED,
    *,
    odds: float | None = None,
    at_sg: float | None = None,
    by: str = "",
) -> ReachView:
    """What a brewery can reach, with the plan's grist, rests and boil, else those of a plain pale beer.

    Raises Refused where plan, odds, gravity or way are none for it.
    """
    at = gravity_within(None if plan_text is None else _read(plan_text, tables), at_sg)
    return _viewed(brewery_text, plan_text, tables, odds, round(at, TELLING_SG), by)


def point_at(curve: CurveView, sg: float) -> EdgePoint:
    """The edge at a gravity between those that were looked at: the nearest of them, its volumes led on."""
    nearest = min(curve.points, key=lambda point: abs(point.sg - sg))
    beyond = [point for point in curve.points if (point.sg - sg) * (nearest.sg - sg) < 0.0]
    other = min(beyond, key=lambda point: abs(point.sg - sg), default=nearest)
    if nearest.volume_l is None or other.volume_l is None or other is nearest:
        return replace(nearest, sg=sg)
    part = (sg - nearest.sg) / (other.sg - nearest.sg)

    def between(near: float | None, far: float | None) -> float | None:
        return near if near is None or far is None else near + part * (far - near)

    return replace(
        nearest,
        sg=sg,
        volume_l=between(nearest.volume_l, other.volume_l),
        even_l=between(nearest.even_l, other.even_l),
        mash_l=between(nearest.mash_l, other.mash_l),
        wort_sg=between(nearest.wort_sg, other.wort_sg),
        liquor_l=between(nearest.liquor_l, other.liquor_l),
    )


def points_at(view: ReachView, sg: float) -> tuple[tuple[CurveView, EdgePoint], ...]:
    """Every way with its edge at a gravity, the one that makes most first."""
    found = [(curve, point_at(curve, sg)) for curve in view.curves]
    return tuple(sorted(found, key=lambda pair: -(pair[1].volume_l or 0.0)))


@lru_cache(maxsize=KEPT_VIEWS)
def _viewed(
    brewery: str, plan: str | None, tables: Tables, odds: float | None, at_sg: float, by: str
) -> ReachView:
    return reach_at(_edges(brewery, plan, tables, odds), at_sg, by)


@lru_cache(maxsize=KEPT_EDGES)
def _edges(brewery_text: str, plan_text: str | None, tables: Tables, odds: float | None) -> Edges:
    brewery = read_brewery(brewery_text, where="brewery")
    plan = None if plan_text is None else _read(plan_text, tables)
    if plan is not None:
        check_together(plan, brewery)
    return find_edges(brewery, plan, odds=odds, draws=DRAWS, seed=SEED)


@lru_cache(maxsize=KEPT_EDGES)
def _read(plan_text: str, tables: Tables) -> Plan:
    return read_plan(plan_text, where="plan", tables=tables)
