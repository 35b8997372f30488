"""Find how much starter wort each open starter needs.

In:  a plan that is otherwise solved, a brewery, latents.
Out: the plan with the litres of each starter.

Idea: the middle of what is given should be the middle of what is needed; how surely that is enough is then
a limit like any other.  A starter never gets less than half a litre nor more than a big flask holds.
"""

from __future__ import annotations

import numpy as np

from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.decide.openings import with_starter
from gylebook.figures.draws import Array
from gylebook.gyle.forecast import Model
from gylebook.gyle.pitch import pitches

LEAST_L, MOST_L = 0.5, 8.0


def fill_starters(plan: Plan, brewery: Brewery, latents: Array, open_starters: tuple[str, ...]) -> Plan:
    """The plan with every open starter given its litres; one that no portion names gets the least."""
    if not open_starters:
        return plan
    from scipy.optimize import brentq

    for key in open_starters:
        plan = with_starter(plan, key, LEAST_L)
    model = Model(plan, brewery)
    portions = model.course(latents).portions
    figures = model.draw(latents)
    named = {p.yeast.starter for p in plan.portions}
    for key in (key for key in open_starters if key in named):

        def short_of(volume_l: float, key: str = key, base: Plan = plan) -> float:
            trial = with_starter(base, key, volume_l)
            mine = [p for p in pitches(trial, figures, portions) if p.starter == key]
            return float(np.median(sum(p.given for p in mine)) / np.median(sum(p.needed for p in mine))) - 1.0

        if short_of(LEAST_L) >= 0.0:
            continue
        enough = short_of(MOST_L) >= 0.0
        volume = brentq(short_of, LEAST_L, MOST_L, xtol=1e-3) if enough else MOST_L
        plan = with_starter(plan, key, float(volume))
    return plan
