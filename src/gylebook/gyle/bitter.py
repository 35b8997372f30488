"""Bring the kettle hops' bitterness into the wort, by either of two models.

In:  plan, brewery, figures, the kettle before and after the boil.
Out: iso-alpha acids that will be in the beer, as milligrams in the whole wort. [mg]

Idea: the trade's rule takes minutes of boil, a stand counted by its temperature; the kinetics follow the
temperatures that the wort really has, from the first wort to the chill, and then the losses.  Milligrams
divide and dilute with the wort, so either model's answer is exact from here on.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from gylebook.brewery.ingredients import Hop
from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.figures.draws import Array, Value
from gylebook.gyle.chill import chill_history, hottest_c
from gylebook.gyle.wort import Measured
from gylebook.process import bitterness as losing
from gylebook.process import hop_age
from gylebook.process import hops as hopping
from gylebook.process import isomerisation as kinetics

PACKED_AS = {"open": "open", "wrapped": "film", "sealed": "airless"}
WARMING_MIN = 30.0  # from the mash to the boil, for first-wort hops; they gain little on the way


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Boiled:
    """What the hops meet: the gravity of the boil for the trade's rule, the wort at its end for the chill."""

    boil_c: float
    boil_gravity: Value
    end: Measured


def alpha_now(hop: Hop, figures: Mapping[str, Array]) -> Value:
    """Alpha acids of a hop on the day, after its time in the store. [kg/kg]"""
    alpha = figures[f"hops.{hop.key}.alpha"]
    if hop.storage_index is not None:
        return alpha * (1.0 - hop_age.lost_by_index(hop.storage_index))
    if hop.age_days <= 0.0:
        return alpha
    left = hop_age.alpha_left(
        hop.age_days,
        hop.stored_c,
        hop.half_year_loss,
        hop_age.PACKED[PACKED_AS[hop.storage]],
        figures[f"hops.{hop.key}.ageing"],
    )
    return alpha * left


def iso_alpha_mg(plan: Plan, brewery: Brewery, figures: Mapping[str, Array], boiled: Boiled) -> Value:
    """Iso-alpha acids that reach the beer from all kettle hops, by the plan's model. [mg]"""
    hops = [hop for hop in plan.hops if hop.use != "dry"]
    for hop in hops:
        if hop.mass_kg is None:
            raise ValueError(f"the mass of {hop.variety} is left open; solve the plan first")
    if not hops:
        return 0.0
    model = _by_kinetics if plan.bitterness_by == "kinetics" else _by_trade_rule
    return model(plan, brewery, figures, boiled, hops) * figures["bitterness.yield"]


def _by_trade_rule(
    plan: Plan, brewery: Brewery, figures: Mapping[str, Array], boiled: Boiled, hops: list[Hop]
) -> Value:
    total: Value = 0.0
    for hop in hops:
        minutes = equivalent_minutes(plan, boiled.boil_c, hop.use, hop.minutes)
        if minutes <= 0.0:
            continue
        utilisation = hopping.utilisation_tinseth1997(boiled.boil_gravity, minutes)
        total = total + hopping.iso_alpha_mg(hop.mass_kg or 0.0, alpha_now(hop, figures), utilisation)
    return total


def equivalent_minutes(plan: Plan, boil_c: float, use: str, minutes: float) -> float:
    """Minutes of boil that count as much as this hop's own time, stand included. [min]"""
    standing = 0.0
    if plan.stand is not None:
        length = min(minutes, plan.stand.minutes) if use == "stand" else plan.stand.minutes
        standing = float(hopping.effective_minutes(length, min(plan.stand.temperature_c, boil_c)))
    if use == "stand":
        return standing
    return (plan.boil_minutes if use == "first wort" else min(minutes, plan.boil_minutes)) + standing


def _by_kinetics(
    plan: Plan, brewery: Brewery, figures: Mapping[str, Array], boiled: Boiled, hops: list[Hop]
) -> Value:
    """One pass over the whole temperature history serves every addition."""
    history, steps = _history(plan, brewery, figures, boiled, hops)
    shares = kinetics.isomerised(history, steps, figures["bitterness.k1"], figures["bitterness.k2"])
    formed: Value = 0.0
    for hop, share in zip(hops, shares, strict=True):
        alpha_mg = 1e6 * (hop.mass_kg or 0.0) * alpha_now(hop, figures)
        formed = formed + alpha_mg * share.iso * _extracted(hop)
    return formed * losing.share_in_beer(boiled.end.plato, extracted=1.0)


def _extracted(hop: Hop) -> float:
    """Share of the resin that is reached, by how the hops are made and kept."""
    share = losing.PELLETS_EXTRACTED[0]
    if hop.form == "whole":
        share *= losing.WHOLE_TO_PELLETS[0]
    return share * losing.TIGHT_BAG[0] if hop.confined else share


def _history(
    plan: Plan, brewery: Brewery, figures: Mapping[str, Array], boiled: Boiled, hops: list[Hop]
) -> tuple[kinetics.History, tuple[int, ...]]:
    """Warming, boil, stand and chill, and the step before which each hop goes in."""
    mash_c = plan.mash[-1].temperature_c if plan.mash else brewery.liquor_c
    warming = kinetics.warmed(WARMING_MIN, min(mash_c, boiled.boil_c), boiled.boil_c)
    left = [min(hop.minutes, plan.boil_minutes) if hop.use == "boil" else 0.0 for hop in hops]
    boil, cuts = kinetics.boiled_with_hops(plan.boil_minutes, boiled.boil_c, left)
    history = warming.then(boil)
    stand_from = history.steps
    steps: dict[str, int] = {}
    if plan.stand is not None:
        waits = sorted({plan.stand.minutes, *(_stand_left(plan, h) for h in hops if h.use == "stand")})
        for longer, shorter in zip(reversed(waits), [*reversed(waits[:-1]), 0.0], strict=True):
            for hop in hops:
                if hop.use == "stand" and _stand_left(plan, hop) == longer:
                    steps[hop.key] = history.steps
            history = history.then(kinetics.held(longer - shorter, hottest_c(plan, boiled.boil_c)))
    history = history.then(chill_history(plan, brewery, figures, boiled.end, boiled.boil_c))
    at = []
    for hop, cut in zip(hops, cuts, strict=True):
        if hop.use == "first wort":
            at.append(0)
        elif hop.use == "stand":
            at.append(steps.get(hop.key, stand_from))
        else:
            at.append(warming.steps + cut)
    return history, tuple(at)


def _stand_left(plan: Plan, hop: Hop) -> float:
    """Minutes of the stand that a stand hop takes part in."""
    return min(hop.minutes, plan.stand.minutes) if plan.stand is not None else 0.0
