"""Say what one change of gear or habit would buy at the edge.

In:  a plan, a brewery, a way, one gravity, latents.
Out: `Gain`s: each a change with the largest volume before and after it.

Idea: the same edge, asked again for the changed brewery or plan; nothing is assumed of what binds.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from gylebook.brewery.gear import Vessel
from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.decide.frontier import frontier
from gylebook.decide.frontier_rows import Way
from gylebook.figures.draws import Array
from gylebook.gyle.house import heat_source_of

LARGER = 1.25  # times what is there
LONGER_BOIL_MIN = 15.0
LIQUOR_L = 3.0
HOIST_MORE_KG = 20.0
SECOND_POT = 0.6  # of the kettle, where there is none
TELLING = 0.1  # L, below which a change changes nothing
ONLY_ROOM = ("larger kettle", "larger second vessel", "larger fermenters", "stronger hoist")

Change = Literal[
    "larger kettle",
    "larger second vessel",
    "a second vessel",
    "larger fermenters",
    "stronger hoist",
    "more power",
    "pressed bag",
    "longer boil",
    "liquor in the fermenters",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Gain:
    """A change, what the thing changed then is (in base units of `dimension`), and the edge before and after.

    `way` is the one that the edge is of then; `after_l` is not a number where nothing could be made.
    """

    change: Change
    of: str
    amount: float
    dimension: str
    way: Way
    before_l: float
    after_l: float

    @property
    def gained_l(self) -> float:
        """Litres more, or less."""
        return self.after_l - self.before_l


def gains(plan: Plan, brewery: Brewery, way: Way, plato: float, latents: Array) -> tuple[Gain, ...]:
    """Every change that moves the edge of this way at this gravity [°P], the greatest gain first."""
    at = np.array([plato])
    before = float(frontier(plan, brewery, way, at, latents).volume_l[0])
    if not np.isfinite(before):
        return ()
    out = [
        Gain(
            change=change,
            of=of,
            amount=amount,
            dimension=dimension,
            way=then,
            before_l=before,
            after_l=float(frontier(changed, gear, then, at, latents).volume_l[0]),
        )
        for change, of, amount, dimension, then, changed, gear in _changes(plan, brewery, way)
    ]
    poured = Gain(
        change="liquor in the fermenters",
        of="",
        amount=LIQUOR_L,
        dimension="volume",
        way=way,
        before_l=before,
        after_l=_poured(plan, brewery, way, plato, before, latents),
    )
    told = [gain for gain in (*out, poured) if abs(gain.gained_l) > TELLING]
    # Vessels are taken equally full, which a larger one may shift to its loss; but nobody need fill it.
    told = [gain for gain in told if gain.change not in ONLY_ROOM or gain.gained_l > 0.0]
    return tuple(sorted(told, key=lambda gain: -gain.gained_l))


def _poured(plan: Plan, brewery: Brewery, way: Way, plato: float, before_l: float, latents: Array) -> float:
    """The edge with liquor in the fermenters: a little less of a wort that is so much stronger.

    The strength wanted depends on the volume that it then gives, so it is asked for twice.
    """
    made = before_l
    for _ in range(2):
        strong = plato * (1.0 + LIQUOR_L / made)
        made = float(frontier(plan, brewery, way, np.array([strong]), latents).volume_l[0])
    return made + LIQUOR_L


Changed = tuple[Change, str, float, str, Way, Plan, Brewery]


def _changes(plan: Plan, brewery: Brewery, way: Way) -> Iterator[Changed]:
    kettle = brewery.vessels[brewery.kettle]
    size = float(round(LARGER * kettle.capacity_l))
    larger = _with_vessel(brewery, brewery.kettle, replace(kettle, capacity_l=size))
    yield "larger kettle", kettle.name, size, "volume", way, plan, larger
    if brewery.rinse is not None and way != "full volume":
        pot = brewery.vessels[brewery.rinse]
        size = float(round(LARGER * pot.capacity_l))
        yield (
            *("larger second vessel", pot.name, size, "volume", way, plan),
            _with_vessel(brewery, brewery.rinse, replace(pot, capacity_l=size)),
        )
    if brewery.rinse is None and way in ("full volume", "poured rinse"):
        yield _with_second_pot(plan, brewery, kettle)
    roomy = {k: replace(f, capacity_l=f.capacity_l * LARGER) for k, f in brewery.fermenters.items()}
    total = sum(f.capacity_l for f in roomy.values())
    yield "larger fermenters", "", total, "volume", way, plan, replace(brewery, fermenters=roomy)
    if plan.process.drain != "tun":
        hoist = (brewery.bag.hoist_kg or 0.0) + HOIST_MORE_KG
        gear = replace(brewery, bag=replace(brewery.bag, hoist_kg=hoist))
        yield "stronger hoist", "", hoist, "mass", way, plan, gear
    if plan.process.drain in ("hung", "briefly hung"):
        pressed = replace(plan, process=replace(plan.process, drain="pressed"))
        yield "pressed bag", "", 0.0, "", way, pressed, brewery
    fire = heat_source_of(brewery, brewery.kettle)
    power = LARGER * fire.power_kw
    fires = tuple(replace(s, power_kw=power) if s.key == fire.key else s for s in brewery.heat_sources)
    yield "more power", fire.name, power, "power", way, plan, replace(brewery, heat_sources=fires)
    longer = replace(plan, boil_minutes=plan.boil_minutes + LONGER_BOIL_MIN)
    yield "longer boil", "", LONGER_BOIL_MIN, "duration", way, longer, brewery


def _with_second_pot(plan: Plan, brewery: Brewery, kettle: Vessel) -> Changed:
    """A pot to rinse the bag in, heated by what heats the kettle."""
    size = float(round(SECOND_POT * kettle.capacity_l))
    pot = Vessel(key="second vessel", name="second vessel", capacity_l=size, mass_kg=0.12 * size)
    gear = replace(brewery, vessels={**brewery.vessels, pot.key: pot}, rinse=pot.key)
    return "a second vessel", pot.name, size, "volume", "dunk rinse", plan, gear


def _with_vessel(brewery: Brewery, key: str, vessel: Vessel) -> Brewery:
    return replace(brewery, vessels={**brewery.vessels, key: vessel})
