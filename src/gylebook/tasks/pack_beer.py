"""Take from a brew what its portion is as it is to be packed: litres, gravity, what may still ferment.

In:  a brew's standing, a portion's key, what the brewer read at packing.
Out: `Readied`: the beer in draws, as it is and as it will be once gravity has stood still.

Idea: nothing is packed by a gravity that nobody read.  Points still to come are counted from the last
reading on, so that what ferments before the bottles are closed only errs on the side of safety.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from gylebook.errors import Problem, Refused
from gylebook.figures.draws import Array
from gylebook.gyle.packing import FURTHEST, BeerToPack, points_left
from gylebook.matter.extract import sg_from_plato
from gylebook.matter.water import pressure_at_altitude
from gylebook.process.stability import ALLOWED_POINTS
from gylebook.tasks.brews import Standing
from gylebook.tasks.cellar import pitched_at, refuse_unknown_portion
from gylebook.tasks.ferment_state import ferment_view, hours_until_near
from gylebook.tasks.ferment_views import FermentView
from gylebook.tasks.fermenting import FermentOutlook, follow
from gylebook.tasks.moments import hours_between, moment_of

AGED_H = 60.0 * 24.0  # from here on beer has lost gas through lid and lock
AT_ONCE_DAYS = 0.5  # a wait that is none
KPA_PER_BAR = 100.0
LEAST_PLATO = 0.1


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Readied:
    """A portion ready to be judged; `held` says that gravity stood still for as long as is asked."""

    beer: BeerToPack
    foretold: Array
    waited: BeerToPack | None
    view: FermentView
    held: bool


def ready(standing: Standing, key: str, at: str, litres: float | None, warmest_c: float | None) -> Readied:
    """The beer of a portion at that moment.

    Raises Refused where there is no such portion, where it is not known when it was pitched, or where no
    gravity of it was read.
    """
    outlook = standing.outlook
    refuse_unknown_portion(outlook, key)
    pitched = pitched_at(standing, key)
    if pitched is None:
        raise Refused((Problem("pitched", "when is not known", "say first when the yeast went in"),))
    found = follow(outlook, key, pitched)
    if not found.followed:
        accepted = "read its gravity first: without one nobody knows what is left to ferment"
        raise Refused((Problem("gravity", "none of this portion was read while it fermented", accepted),))
    view = ferment_view(found)
    held = view.standing.unseen_points is not None and view.standing.wait_days < AT_ONCE_DAYS
    held = held and view.verdict in ("as good as finished", "on its way", "slow")
    beer = _beer(standing, found, view, held, at, litres, warmest_c)
    waited = None
    if not held and view.verdict != "stuck":
        waited = replace(
            beer,
            left_points=points_left(
                np.zeros_like(beer.apparent),
                beer.apparent,
                beer.original,
                view.standing.organism,
                unseen=ALLOWED_POINTS,
                held=True,
                seed=outlook.seed,
            ),
        )
    return Readied(beer=beer, foretold=_foretold(standing, key), waited=waited, view=view, held=held)


def _beer(
    standing: Standing,
    found: FermentOutlook,
    view: FermentView,
    held: bool,
    at: str,
    litres: float | None,
    warmest_c: float | None,
) -> BeerToPack:
    outlook, curve = standing.outlook, found.curve
    rows = curve.end.shape
    now = curve.at(np.array([found.last_h]))[0]
    organism = view.standing.organism
    original = np.maximum(np.broadcast_to(curve.original, rows), LEAST_PLATO)
    ends = np.minimum(curve.end, curve.expected_end)
    by_curve = _points(now) - _points(ends)
    foretold = np.resize(_foretold(standing, found.key), rows)
    later = found.fermentation.portion.later
    old = hours_between(found.pitched, moment_of(at, "at")) >= AGED_H
    return BeerToPack(
        litres=foretold if litres is None else np.full(rows, litres),
        original=original,
        apparent=now,
        left_points=points_left(
            by_curve,
            now,
            original,
            organism,
            unseen=view.standing.unseen_points,
            held=held,
            seed=outlook.seed,
        ),
        warmest_c=_warmest(found) if warmest_c is None else warmest_c,
        aged=old or (later is not None and later.months >= 2.0),
        alive=organism in FURTHEST,
        measured=litres is not None,
        barometer_bar=float(pressure_at_altitude(outlook.brewery.altitude_m)) / KPA_PER_BAR,
        seed=outlook.seed,
    )


def _foretold(standing: Standing, key: str) -> Array:
    """Beer of this portion that is packed by itself, as forecast. [L]"""
    (part,) = [part for part in standing.outlook.course.portions if part.portion.key == key]
    return np.atleast_1d(np.asarray(part.packaged_l, dtype=float))


def _warmest(found: FermentOutlook) -> float:
    """The warmest that the beer was from the end of its gas to the last reading. [°C]"""
    warmth = found.fermentation.warmth
    ended = min(float(np.median(hours_until_near(found.curve))), found.last_h)
    since = (warmth.hours >= ended) & (warmth.hours <= found.last_h)
    seen = [*warmth.temp_c[since], *warmth.at(np.array([ended, found.last_h]))]
    return float(np.clip(max(seen), -2.0, 45.0))


def _points(plato: Array) -> Array:
    """Points over water."""
    points: Array = 1000.0 * (sg_from_plato(plato) - 1.0)
    return points
