"""Run a plan on a brewery from the strike to the package.

In:  a plan whose amounts are all given, a brewery, and joint draws of its figures.
Out: `Course`: the state of wort and beer after every step, in every vessel and portion.

Idea: one pure function.  Nothing in it is random, rounds, or reads a clock, a file or a global; solving,
conditioning and remedies all ask this same function.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.figures.draws import Array, Value
from gylebook.gyle.blends import BlendCourse, run_blends
from gylebook.gyle.kettle import KettleCourse, run_kettle
from gylebook.gyle.ledger import Entry
from gylebook.gyle.mash import WATER_20, MashCourse, first_rest_c, mash_minutes, run_mash
from gylebook.gyle.portions import PortionCourse, run_portions
from gylebook.gyle.wort import Wort
from gylebook.process.mash import attenuation_for_rest, attenuation_limit

# What bought malt extract lets yeast take, apparent; a judgement within the trade's range.
LIMIT_OF_EXTRACT = 0.80
# Points of apparent attenuation lost for each per cent of the grist; common practice.
CARAMEL_COSTS, ROAST_COSTS = 0.30, 0.35


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Course:
    """The forecast of a plan: every state along the way, as joint draws."""

    mash: MashCourse | None
    kettle: KettleCourse
    portions: tuple[PortionCourse, ...]
    blends: tuple[BlendCourse, ...]
    undivided_kg: Value
    limit: Value  # what the mash lets yeast take, apparent [fraction]
    ledger: tuple[Entry, ...]  # the accounts of all steps, in order


def run(plan: Plan, brewery: Brewery, figures: Mapping[str, Array]) -> Course:
    """Course of a plan on a brewery under joint draws of its figures.

    Raises ValueError where an amount is left open: `decide.solve` closes it first.
    """
    if plan.grist:
        mash = run_mash(plan, brewery, figures)
        wort = mash.wort
        limit = attenuation_limit(np.clip(mash.mash_c, 50.0, 80.0))
        limit = limit + _limit_of_grist(plan) + figures["attenuation.limit_shift"]
    else:
        mash = None
        shift = figures["attenuation.limit_shift"]
        wort = Wort(
            water_kg=np.full_like(shift, (plan.liquor.mash_l or 0.0) * WATER_20),
            extract_kg=np.zeros_like(shift),
        )
        limit = LIMIT_OF_EXTRACT + shift
    kettle = run_kettle(plan, brewery, figures, wort)
    limit = np.clip(limit, 0.2, 0.95)
    portions, undivided, divided = run_portions(plan, brewery, figures, kettle.wort, limit)
    ledger = (*(mash.ledger if mash else ()), *kettle.ledger, *divided)
    return Course(
        mash=mash,
        kettle=kettle,
        portions=portions,
        blends=run_blends(plan, portions),
        undivided_kg=undivided,
        limit=limit,
        ledger=ledger,
    )


def _limit_of_grist(plan: Plan) -> float:
    """What the length of the mash, caramel and roasted grain add to the attenuation limit. [fraction]"""
    total = sum(grain.mass_kg or 0.0 for grain in plan.grist)
    costs = {"caramel": CARAMEL_COSTS, "roast": ROAST_COSTS}
    lost = sum((grain.mass_kg or 0.0) * costs.get(grain.kind, 0.0) for grain in plan.grist) / total
    minutes = min(max(mash_minutes(plan), 15.0), 240.0)
    return float(attenuation_for_rest(minutes, min(max(first_rest_c(plan), 50.0), 80.0))) - lost
