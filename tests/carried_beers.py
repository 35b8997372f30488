"""Carry beers between two breweries for tests: the shed that a plan comes from, and a hall that is poorer."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from example_gyles import brewery, grain, hop, plan
from gylebook.brewery.gear import Bag, Chiller, Fermenter
from gylebook.brewery.plan import Aims, Liquor, Plan
from gylebook.brewery.site import Brewery, HouseFigure
from gylebook.gyle.forecast import Model
from gylebook.gyle.names import Named
from gylebook.tasks.adapt import Adapted, adapt, brewed_of
from gylebook.tasks.outlook import look_ahead

DRAWS = 400
SHED = brewery()
# Another house: it boils harder, loses more after the boil, its grain gives less and its tap is colder.
HALL = replace(
    brewery(
        chiller=Chiller(kind="counterflow", area_m2=0.3, tap_c=9.0),
        bag=Bag(mass_kg=0.5),
        fermenters={
            key: Fermenter(key=key, name=key, capacity_l=litres)
            for key, litres in {"oak": 40.0, "ash": 28.0, "elm": 28.0}.items()
        },
        altitude_m=900.0,
        house={
            "boil_off_l_per_h": HouseFigure(level=7.0, scatter=0.4),
            "retained_l_per_kg": HouseFigure(level=1.3, scatter=0.1),
        },
    ),
    name="hall",
)
AIMS = Aims(volume_l=30.0, plato=12.5, bitterness_ibu=25.0)
SHARES = (grain(mass_kg=None, share=0.9), grain("amber", None, share=0.1, kind="caramel"))
HOPS = (hop(mass_kg=None, bitterness_share=0.8), hop("late", None, minutes=10.0, bitterness_share=0.2))


def wanted(**other: Any) -> Plan:
    """A plan of which everything is open that can be."""
    usual: dict[str, Any] = {"aims": AIMS, "liquor": Liquor(), "grist": SHARES, "hops": HOPS}
    kind = other.pop("kind", "dunk rinse")
    return plan(kind, **{**usual, **other})


def carried(a_plan: Plan, onto: Brewery = HALL, at: Brewery = SHED, **wish: Any) -> Adapted:
    return adapt(brewed_of(look_ahead(a_plan, at, draws=DRAWS)), onto, draws=DRAWS, **wish)


def back(there: Adapted, to: Brewery = SHED, **wish: Any) -> Adapted:
    return adapt(brewed_of(there.outlook), to, draws=DRAWS, **wish)


def forward(adapted: Adapted) -> Named:
    """What the forward run makes of the adapted plan, run anew."""
    found = adapted.outlook
    return Model(found.plan, found.brewery).forecast(found.prior)


def middle(numbers: Named, name: str) -> float:
    return float(np.median(numbers[name]))


def at_odds(numbers: Named, a_plan: Plan) -> float:
    return float(np.quantile(numbers["fermenters.volume_l"], 1.0 - a_plan.aims.odds))


def amounts(a_plan: Plan) -> list[float]:
    """Every amount of a solved plan."""
    liquor = a_plan.liquor
    return [
        *(g.mass_kg or 0.0 for g in a_plan.grist),
        liquor.mash_l or 0.0,
        liquor.rinse_l or 0.0,
        liquor.kettle_l,
        *(h.mass_kg or 0.0 for h in a_plan.hops),
        *(a.mass_kg for a in a_plan.additions),
        *(s.volume_l or 0.0 for s in a_plan.starters),
        *(p.yeast.packs for p in a_plan.portions),
        *(p.top_up_l for p in a_plan.portions),
    ]
