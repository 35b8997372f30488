"""See which amounts a plan leaves open, and close them with given numbers.

In:  a plan.
Out: `Openings`: what is open; `filled`: the plan with those amounts put in.

Idea: a search moves a handful of positive numbers (kilograms of grain, litres of liquor, a factor on the
open hops); this module alone knows which fields of the plan they stand for.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from gylebook.brewery.plan import Plan

RINSING = ("dunk rinse", "poured rinse", "fly rinse")


@dataclass(frozen=True, slots=True, kw_only=True)
class Openings:
    """What a plan leaves to be solved."""

    grain: bool
    mash_liquor: bool
    rinse_liquor: bool
    hops: tuple[str, ...]  # keys of the additions whose mass is open
    starters: tuple[str, ...]

    @property
    def any(self) -> bool:
        """Whether anything is open at all."""
        return bool(self.grain or self.mash_liquor or self.rinse_liquor or self.hops or self.starters)


def openings(plan: Plan) -> Openings:
    """What this plan leaves open.  Grist that mixes masses and shares is closed by its masses alone."""
    return Openings(
        grain=bool(plan.grist) and all(grain.mass_kg is None for grain in plan.grist),
        mash_liquor=plan.liquor.mash_l is None,
        rinse_liquor=plan.process.kind in RINSING and plan.liquor.rinse_l is None,
        hops=tuple(hop.key for hop in plan.hops if hop.mass_kg is None),
        starters=tuple(s.key for s in plan.starters if s.volume_l is None and s.kind != "none"),
    )


def with_grain(plan: Plan, total_kg: float) -> Plan:
    """The plan with its grist weighed out by its shares."""
    whole = sum(grain.share or 0.0 for grain in plan.grist)
    grist = tuple(replace(g, mass_kg=total_kg * (g.share or 0.0) / whole, share=None) for g in plan.grist)
    return replace(plan, grist=grist)


def with_mixed_grist_weighed(plan: Plan) -> Plan:
    """A grist of some masses and some shares: the shares are of the whole, so the masses settle it."""
    masses = sum(grain.mass_kg or 0.0 for grain in plan.grist)
    shares = sum(grain.share or 0.0 for grain in plan.grist if grain.mass_kg is None)
    if not masses or not shares:
        return plan
    total = masses / (1.0 - shares)
    grist = tuple(
        g if g.mass_kg is not None else replace(g, mass_kg=total * (g.share or 0.0), share=None)
        for g in plan.grist
    )
    return replace(plan, grist=grist)


def with_liquor(plan: Plan, mash_l: float | None = None, rinse_l: float | None = None) -> Plan:
    """The plan with liquor put in where it is given."""
    liquor = plan.liquor
    if mash_l is not None:
        liquor = replace(liquor, mash_l=mash_l)
    if rinse_l is not None:
        liquor = replace(liquor, rinse_l=rinse_l)
    return replace(plan, liquor=liquor)


def with_hops(plan: Plan, masses_kg: Mapping[str, float]) -> Plan:
    """The plan with these hop additions weighed out, by key."""
    hops = tuple(replace(h, mass_kg=masses_kg[h.key]) if h.key in masses_kg else h for h in plan.hops)
    return replace(plan, hops=hops)


def with_starter(plan: Plan, key: str, volume_l: float) -> Plan:
    """The plan with the volume of one starter."""
    starters = tuple(replace(s, volume_l=volume_l) if s.key == key else s for s in plan.starters)
    return replace(plan, starters=starters)
