"""Find in what proportion the open hop additions stand to each other, and what each of them brings.

In:  a plan whose other amounts are given at least roughly, and a brewery.
Out: kilograms for each open addition, up to one common factor that the solver finds; the bitterness that
     each addition of a solved plan brings by itself.

Idea: what a gram of each addition brings is asked of the forward run itself, one addition at a time, on a
single middling draw; the shares of bitterness the brewer asked for then set the proportion.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.decide.openings import with_hops
from gylebook.errors import Problem, Refused
from gylebook.gyle.forecast import Model

TRIAL_KG = 0.02


def hop_pattern(plan: Plan, brewery: Brewery, open_hops: tuple[str, ...]) -> dict[str, float]:
    """Kilograms of each open addition that together bring about the aimed bitterness."""
    aimed = plan.aims.bitterness_ibu or 0.0
    shares = _shares(plan, open_hops)
    pattern, problems = {}, []
    for key, share in shares.items():
        brings = _brings(plan, brewery, key)
        if brings <= 0.0:
            variety = next(hop.variety for hop in plan.hops if hop.key == key)
            problems.append(
                Problem(
                    f"hops.{key}.mass",
                    f"{variety} has no mass and at its time it brings no bitterness",
                    'write its mass, like mass = "20 g"',
                )
            )
        else:
            pattern[key] = TRIAL_KG * share * aimed / brings
    if problems:
        raise Refused(problems)
    return pattern


def _shares(plan: Plan, open_hops: tuple[str, ...]) -> dict[str, float]:
    """Share of the open bitterness for each open addition; what nobody claimed is shared equally."""
    claimed = {h.key: h.bitterness_share for h in plan.hops if h.key in open_hops}
    stated = sum(share for share in claimed.values() if share is not None)
    unstated = sum(1 for share in claimed.values() if share is None)
    rest = max(1.0 - stated, 0.0) / unstated if unstated else 0.0
    shares = {key: rest if share is None else share for key, share in claimed.items()}
    whole = sum(shares.values())
    return {key: share / whole for key, share in shares.items()}


def bitterness_of_each(plan: Plan, brewery: Brewery) -> dict[str, float]:
    """What each addition of a solved plan brings by itself, at the middle of all figures, by key. [IBU]"""
    return {hop.key: _brings(plan, brewery, hop.key, hop.mass_kg or 0.0) for hop in plan.hops}


def _brings(plan: Plan, brewery: Brewery, key: str, mass_kg: float = TRIAL_KG) -> float:
    """Bitterness that so much of one addition brings by itself, at the middle of all figures. [IBU]"""
    alone = replace(plan, hops=tuple(replace(h, mass_kg=0.0) for h in plan.hops))
    alone = with_hops(alone, {key: mass_kg})
    model = Model(alone, brewery)
    middle = np.zeros((1, len(model.figures)), order="F")
    return float(np.max(model.forecast(middle)["ibu"]))
