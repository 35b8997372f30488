"""Look at all that a brewery can reach: the most it makes at each gravity, by each way, and what stops it.

In:  a brewery, perhaps a plan for grist, rests, boil and drain.
Out: `ReachView`: a curve for each way, and what one change would buy; the strongest wort of a volume.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.decide.frontier import Frontier, frontier
from gylebook.decide.frontier_rows import Way
from gylebook.decide.gains import Change, gains
from gylebook.decide.openings import with_mixed_grist_weighed
from gylebook.decide.watered import Watered, watered
from gylebook.errors import Problem, Refused
from gylebook.figures.draws import Array, standard_normal_latents
from gylebook.figures.units import Dimension, read
from gylebook.gyle.house import figures_of
from gylebook.matter.extract import plato_from_sg, sg_from_plato
from gylebook.tasks.plain_plan import plain_plan

DRAWS, SEED = 1000, 1
GRAVITIES = 60
WEAKEST_SG, STRONGEST_SG = 1.030, 1.110
EVEN = 0.5
PLAIN_WAYS = ("full volume", "dunk rinse", "poured rinse", "fly rinse")  # those that one plan can say


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgePoint:
    """One gravity of a curve: the most at the asked odds, and at even ones; None where nothing can be made.

    `limit` and `vessel` name what stops it.  With liquor in the fermenters `liquor_l` of the volume is that,
    `wort_sg` the wort it is added to, and `by` the way that makes this wort.
    """

    sg: float
    volume_l: float | None
    even_l: float | None
    limit: str
    vessel: str
    mash_l: float | None = None
    wort_sg: float | None = None
    liquor_l: float | None = None
    by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CurveView:
    """The edge by one way: `way` is a `Way`, or "liquor in the fermenters"."""

    way: str
    points: tuple[EdgePoint, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StrongestView:
    """The strongest wort of one volume, and the way that makes it; None where none was looked at."""

    volume_l: float
    sg: float | None
    way: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GainView:
    """What one change would buy at one gravity; `after_l` None where nothing could be made."""

    change: Change
    of: str
    amount: float
    dimension: str
    before_l: float
    after_l: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ReachView:
    """The edge of what a brewery can make, kept with the `asked` odds.

    `best` is the way that makes most at `at_sg`, and `gains_of` the one for which gains are told.
    """

    brewery: str
    asked: float
    draws: int
    curves: tuple[CurveView, ...]
    at_sg: float
    best: str
    gains_of: str
    gains: tuple[GainView, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Edges:
    """All curves of a brewery, and what they were found from: enough to ask what a change would buy."""

    brewery: Brewery
    plan: Plan
    latents: Array
    found: tuple[Frontier, ...]
    curves: tuple[CurveView, ...]


def look_for_reach(
    brewery: Brewery,
    plan: Plan | None = None,
    *,
    at_sg: float | None = None,
    odds: float | None = None,
    by: str = "",
    draws: int = DRAWS,
    seed: int = SEED,
) -> ReachView:
    """All that can be reached.  `at_sg` is where gains are told; the plan's gravity, else 1.050.

    They are told of the way `by`, else of the one that makes most there.
    Raises Refused where plan, odds or way are none for it.
    """
    at = gravity_within(plan, at_sg)
    return reach_at(find_edges(brewery, plan, odds=odds, draws=draws, seed=seed), at, by)


def find_edges(
    brewery: Brewery,
    plan: Plan | None = None,
    *,
    odds: float | None = None,
    draws: int = DRAWS,
    seed: int = SEED,
) -> Edges:
    """The curve of every way.  Raises Refused where plan or odds are none for it."""
    asked = _asked(plan, odds)
    typed = plan if plan is not None else plain_plan(brewery)
    if not typed.grist:
        raise Refused((Problem("process.kind", "“extract only”", "the edge is that of a mash"),))
    typed = with_mixed_grist_weighed(replace(typed, aims=replace(typed.aims, odds=asked)))
    plato = np.asarray(plato_from_sg(np.linspace(WEAKEST_SG, STRONGEST_SG, GRAVITIES)), dtype=float)
    latents = latents_for(typed, brewery, draws, seed)
    ways = ways_of(brewery, typed)
    edges = [frontier(typed, brewery, way, plato, latents) for way in ways]
    even = [frontier(typed, brewery, way, plato, latents[::4], EVEN) for way in ways]
    plain = [edge for edge in edges if edge.way in PLAIN_WAYS]
    curves = (*(_curve(*pair) for pair in zip(edges, even, strict=True)), _thinned(watered(plain, brewery)))
    return Edges(brewery=brewery, plan=typed, latents=latents, found=tuple(edges), curves=curves)


def reach_at(edges: Edges, at_sg: float, by: str = "") -> ReachView:
    """The curves, and what one change would buy at a gravity.  Refused where `by` is none of its ways."""
    plato = float(plato_from_sg(at_sg))
    best = _best_at(edges.found, plato)
    ways = [edge.way for edge in edges.found if edge.way in PLAIN_WAYS]
    if by and by not in ways:
        raise Refused((Problem("by", f"“{by[:40]}”", f"here it is {', '.join(ways)}"),))
    of = next((way for way in ways if way == by), best)
    found = gains(edges.plan, edges.brewery, of, plato, edges.latents[::4]) if of else ()
    return ReachView(
        brewery=edges.brewery.name,
        asked=edges.plan.aims.odds,
        draws=len(edges.latents),
        curves=edges.curves,
        at_sg=at_sg,
        best=best or "",
        gains_of=of or "",
        gains=tuple(
            GainView(
                change=gain.change,
                of=gain.of,
                amount=gain.amount,
                dimension=gain.dimension,
                before_l=gain.before_l,
                after_l=gain.after_l if np.isfinite(gain.after_l) else None,
            )
            for gain in found
        ),
    )


def gravity_of(text: str) -> float:
    """A gravity as it is typed, 1.057 or 14 °P, as SG."""
    return float(sg_from_plato(read(text, Dimension.GRAVITY, where="gravity")))


def ways_of(brewery: Brewery, plan: Plan) -> tuple[Way, ...]:
    """Every way that this gear has."""
    if brewery.tun is not None and plan.process.drain == "tun":
        return ("fly rinse", "two mashes", "fed during the boil")
    dunk: tuple[Way, ...] = ("dunk rinse",) if brewery.rinse is not None else ()
    return ("full volume", *dunk, "poured rinse", "two mashes", "fed during the boil")


def latents_for(plan: Plan, brewery: Brewery, draws: int, seed: int) -> Array:
    """Draws for every figure that any way of the plan has."""
    most = max(
        len(figures_of(replace(plan, process=replace(plan.process, kind=kind)), brewery))  # type: ignore[arg-type]
        for kind in PLAIN_WAYS
    )
    return standard_normal_latents(draws, most, seed)


def _asked(plan: Plan | None, odds: float | None) -> float:
    asked = odds if odds is not None else plan.aims.odds if plan is not None else 0.9
    if not 0.5 <= asked <= 0.999:
        raise Refused((Problem("odds", f"{asked:g}", "they lie from 50 % to 99.9 %"),))
    return asked


def gravity_within(plan: Plan | None, at_sg: float | None) -> float:
    """The gravity that is asked about, else the plan's own.  Raises Refused where no curve has it."""
    if at_sg is None:
        known = plan.aims.plato if plan is not None else None
        at_sg = 1.050 if known is None else float(sg_from_plato(known))
    if not WEAKEST_SG <= at_sg <= STRONGEST_SG:
        raise Refused(
            (Problem("gravity", f"{at_sg:.3f}", f"it lies from {WEAKEST_SG:.3f} to {STRONGEST_SG:.3f}"),)
        )
    return at_sg


def _curve(edge: Frontier, even: Frontier) -> CurveView:
    return CurveView(
        way=edge.way,
        points=tuple(
            EdgePoint(
                sg=float(sg_from_plato(plato)),
                volume_l=_number(edge.volume_l[row]),
                even_l=_number(even.volume_l[row]),
                limit=(edge.limits[row] or ("", ""))[0],
                vessel=(edge.limits[row] or ("", ""))[1],
                mash_l=_number(edge.mash_l[row]),
            )
            for row, plato in enumerate(edge.plato)
        ),
    )


def _thinned(edge: Watered) -> CurveView:
    return CurveView(
        way="liquor in the fermenters",
        points=tuple(
            EdgePoint(
                sg=float(sg_from_plato(plato)),
                volume_l=_number(edge.volume_l[row]),
                even_l=None,
                limit=(edge.limits[row] or ("", ""))[0],
                vessel=(edge.limits[row] or ("", ""))[1],
                wort_sg=float(sg_from_plato(edge.wort_plato[row]))
                if np.isfinite(edge.wort_plato[row])
                else None,
                liquor_l=_number(edge.liquor_l[row]),
                by=edge.ways[row] or "",
            )
            for row, plato in enumerate(edge.plato)
        ),
    )


def _best_at(edges: Sequence[Frontier], plato: float) -> Way | None:
    """The plain way that makes most at a gravity; None where none makes any."""
    made = [
        (float(np.interp(plato, edge.plato, np.nan_to_num(edge.volume_l))), -number, edge.way)
        for number, edge in enumerate(edges)
        if edge.way in PLAIN_WAYS
    ]
    litres, _, way = max(made)
    return way if litres > 0.0 else None


def strongest_of(curves: Sequence[CurveView], volume_l: float) -> StrongestView:
    """The strongest wort of which so much can be made, and by which way."""
    able = [
        (point.sg, -number, curve.way)
        for number, curve in enumerate(curves)
        for point in curve.points
        if point.volume_l is not None and point.volume_l >= volume_l
    ]
    if not able:
        return StrongestView(volume_l=volume_l, sg=None, way="")
    sg, _, way = max(able)
    return StrongestView(volume_l=volume_l, sg=sg, way=way)


def _number(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None
