"""Say how far a forecast lies from what was wanted of each portion.

In:  the plan's aims, the forecast made before the day, and a forecast made during it.
Out: `Targets`, the expected loss of any forecast against them, and the odds that a portion reaches its mark.

Idea: missing the mark costs only when it is missed from below; gravity and bitterness cost on both sides.
A loss of one is a deviation that a careful brewer would just call a miss.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from gylebook.brewery.plan import Plan
from gylebook.figures.draws import Value, odds
from gylebook.gyle.names import Named

# What counts as one miss; judgement.
VOLUME_MISS = 0.05  # of the mark
GRAVITY_MISS = 0.002  # SG
BITTERNESS_MISS = 0.10  # of the aim


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """What one portion was to be; `weight` is its share of the gyle."""

    mark_l: float
    sg: float
    ibu: float
    weight: float


Targets = Mapping[str, Target]


def targets(plan: Plan, planned: Named) -> dict[str, Target]:
    """Targets of every portion: its part of the aimed volume, and its planned gravity and bitterness.

    Where no volume is aimed at, the middle of the planned one is the mark.
    """
    litres = {p.key: _middle(planned[f"portion.{p.key}.volume_l"]) for p in plan.portions}
    whole = sum(litres.values())
    scale = 1.0 if plan.aims.volume_l is None else plan.aims.volume_l / whole
    return {
        key: Target(
            mark_l=volume * scale,
            sg=_middle(planned[f"portion.{key}.og"]),
            ibu=_middle(planned[f"portion.{key}.ibu"]),
            weight=volume / whole,
        )
        for key, volume in litres.items()
    }


def expected_loss(wanted: Targets, numbers: Named) -> float:
    """Mean over the draws of the squared misses, weighted by the size of each portion.

    Bitterness enters by its middle: its level is known to a quarter at best, and nothing done on the day
    changes that, so its spread would drown what can be changed.
    """
    total = 0.0
    for key, target in wanted.items():
        stem = f"portion.{key}."
        short = np.maximum(target.mark_l - numbers[stem + "volume_l"], 0.0) / (VOLUME_MISS * target.mark_l)
        off = (numbers[stem + "og"] - target.sg) / GRAVITY_MISS
        bitter = (_middle(numbers[stem + "ibu"]) - target.ibu) / (BITTERNESS_MISS * max(target.ibu, 5.0))
        total += target.weight * (float(np.mean(short**2 + off**2)) + bitter**2)
    return total


def odds_to_the_mark(target: Target, numbers: Named, key: str) -> float:
    """Odds that a portion holds at least its mark."""
    return odds(np.asarray(numbers[f"portion.{key}.volume_l"]) >= target.mark_l)


def _middle(draws: Value) -> float:
    return float(np.median(draws))
