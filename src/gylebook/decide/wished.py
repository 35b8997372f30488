"""Write down as a plan what was chosen for each beer of a wish.

In:  a wish; a wort's strength, bitterness and darkness; what each beer gets of its own.
Out: a plan whose grain, liquor and hops are still open, and the amounts as they can be measured out.

Idea: a choice is a handful of amounts; this module alone knows which fields of a plan they stand for.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from gylebook.brewery.ingredients import Addition, Grain, GrainTea, HopTea
from gylebook.brewery.plan import Plan, Portion
from gylebook.brewery.wish import BeerWanted, Treatment, Wish
from gylebook.gyle.treat import TEA_HELD_L_PER_KG, TEA_HOPS_HOLD_L_PER_KG

# What is measured out at home: litres of liquor, kilograms of sugar, hops and grain; judgement.
MEASURED_TO: dict[Treatment, float] = {"dilution": 0.1, "sugar": 0.01, "hop tea": 0.001, "grain tea": 0.005}
LEAST_TEA = 0.3  # of the pattern's water, however little is steeped in it
TEA_WATER_STEP = 0.05  # L
SUGAR_DISPLACES_L_PER_KG = 0.62  # wort that makes room for sugar


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """What one beer gets of its own: its yeast, as a portion, and amounts of the treatments. [L, kg]"""

    beer: BeerWanted
    way: Portion
    volume_l: float
    aged: bool = False
    dilution_l: float = 0.0
    sugar_kg: float = 0.0
    hop_tea_kg: float = 0.0
    grain_tea_kg: float = 0.0

    @property
    def treatments(self) -> tuple[Treatment, ...]:
        """The treatments it gets."""
        amounts: dict[Treatment, float] = {
            "dilution": self.dilution_l,
            "sugar": self.sugar_kg,
            "hop tea": self.hop_tea_kg,
            "grain tea": self.grain_tea_kg,
            "long ageing": float(self.aged),
        }
        return tuple(name for name, amount in amounts.items() if amount > 0.0)


def measured(amount: float, treatment: Treatment) -> tuple[float, float]:
    """The amounts below and above that can be measured out. [L, kg]"""
    step = MEASURED_TO[treatment]
    below = math.floor(amount / step + 1e-6)
    above = math.ceil(amount / step - 1e-6)
    return round(below * step, 6), round(above * step, 6)


def hop_tea_for(wish: Wish, choice: Choice) -> HopTea | None:
    """The beer's hop tea."""
    if wish.hop_tea is None or choice.hop_tea_kg <= 0.0:
        return None
    pattern, mass = wish.hop_tea, choice.hop_tea_kg
    water = pattern.water_l if pattern.of_wort else _tea_water(pattern, mass)
    return replace(pattern, key=f"tea for {choice.beer.key}", at=choice.beer.key, mass_kg=mass, water_l=water)


def grain_tea_for(wish: Wish, choice: Choice) -> GrainTea | None:
    """The beer's tea of steeped grain."""
    if wish.grain_tea is None or choice.grain_tea_kg <= 0.0:
        return None
    pattern, mass = wish.grain_tea, choice.grain_tea_kg
    water = _tea_water(pattern, mass)
    key = f"steeped for {choice.beer.key}"
    return replace(pattern, key=key, at=choice.beer.key, mass_kg=mass, water_l=water)


def _tea_water(pattern: HopTea | GrainTea, mass_kg: float) -> float:
    """Water for a tea of so much, as it is measured out. [L]"""
    litres = pattern.water_l * max(mass_kg / pattern.mass_kg, LEAST_TEA)
    return max(round(round(litres / TEA_WATER_STEP) * TEA_WATER_STEP, 6), TEA_WATER_STEP)


def sugar_for(wish: Wish, choice: Choice) -> Addition | None:
    """The beer's sugar."""
    if wish.sugar is None or choice.sugar_kg <= 0.0:
        return None
    return replace(
        wish.sugar, key=f"sugar for {choice.beer.key}", at=choice.beer.key, mass_kg=choice.sugar_kg
    )


def wort_l(wish: Wish, choice: Choice) -> float:
    """Wort that leaves room for what the beer gets of its own. [L]"""
    hop_tea, grain_tea = hop_tea_for(wish, choice), grain_tea_for(wish, choice)
    own = choice.dilution_l + SUGAR_DISPLACES_L_PER_KG * choice.sugar_kg
    if hop_tea is not None:
        held = TEA_HOPS_HOLD_L_PER_KG[hop_tea.form] * hop_tea.mass_kg
        own += -hop_tea.boiled_off_l - held if hop_tea.of_wort else max(hop_tea.water_l - held, 0.0)
    if grain_tea is not None:
        own += max(grain_tea.water_l - TEA_HELD_L_PER_KG * grain_tea.mass_kg, 0.0)
    return max(choice.volume_l - own, 0.1 * choice.volume_l)


def plan_of(wish: Wish, choices: Sequence[Choice]) -> Plan:
    """The plan with these portions; its aims, and so the amounts of the kettle, are not set yet."""
    drawn = [wort_l(wish, choice) for choice in choices]
    portions = tuple(
        replace(choice.way, share=share, volume_l=None, top_up_l=choice.dilution_l)
        for choice, share in zip(choices, _shares(drawn), strict=True)
    )
    sugars = (sugar_for(wish, choice) for choice in choices)
    hop_teas = (hop_tea_for(wish, choice) for choice in choices)
    grain_teas = (grain_tea_for(wish, choice) for choice in choices)
    return replace(
        wish.base,
        portions=portions,
        additions=(*wish.base.additions, *(one for one in sugars if one)),
        hop_teas=tuple(one for one in hop_teas if one),
        grain_teas=tuple(one for one in grain_teas if one),
    )


def _shares(litres: Sequence[float]) -> list[float]:
    """Shares of the wort to a thousandth, as a brewer would write them; the largest makes up the whole."""
    whole = sum(litres)
    shares = [round(one / whole, 3) for one in litres]
    largest = shares.index(max(shares))
    shares[largest] = round(1.0 - sum(shares[:largest] + shares[largest + 1 :]), 3)
    return shares


def grist_of(wish: Wish, part: float) -> tuple[Grain, ...]:
    """The grist in shares, with `part` (0 to 1) of all the colour grain that may go in.

    The first named goes in to its most before the next, so that a slightly darker wort takes one grain more
    at most.
    """
    allowed = sum(one.most for one in wish.colour_grains)
    left = part * allowed
    shares = []
    for one in wish.colour_grains:
        shares.append(min(left, one.most))
        left -= shares[-1]
    rest = 1.0 - sum(shares)
    whole = sum(grain.share or 0.0 for grain in wish.base.grist)
    base = tuple(replace(grain, share=rest * (grain.share or 0.0) / whole) for grain in wish.base.grist)
    dark = tuple(
        replace(one.grain, share=share)
        for one, share in zip(wish.colour_grains, shares, strict=True)
        if share > 0.0
    )
    return (*base, *dark)
