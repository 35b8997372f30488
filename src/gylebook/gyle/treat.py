"""Make one portion of a wort into a beer of its own: liquor, sugar, fruit, teas, dry hops.

In:  the portion's share of the wort, the plan, figures.
Out: `Treated`: its wort as it is pitched and the kilograms that were poured in; what dry hops leave.

Idea: whatever is added is mass, bitterness in milligrams and colour by Beer's law, so a portion that is
diluted or coloured needs no formula of its own.  The grist's colour relation is never asked again.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from gylebook.brewery.ingredients import GrainTea, HopTea
from gylebook.brewery.plan import Plan, Portion
from gylebook.figures.draws import Array, Value
from gylebook.gyle.kettle import dissolved, lovibond_of
from gylebook.gyle.mash import WATER_20
from gylebook.gyle.wort import Measured, Wort, add_liquor, add_malt, pour_together
from gylebook.process import colour as colouring
from gylebook.process import dry_hop as dry_hopping
from gylebook.process import isomerisation as kinetics

# Extract a tea draws, of the grain's mass; common practice: 40 to 60 % hot, 15 to 30 % cold.
TEA_EXTRACT = {True: 0.50, False: 0.22}
TEA_HELD_L_PER_KG = 1.0  # liquor that drained tea grain keeps; common practice
TEA_HOPS_HOLD_L_PER_KG = {"pellets": 6.0, "whole": 5.0}  # as in the kettle
TEA_BOIL_C = 100.0
MOST_BOILED_APART = 0.95  # of a portion, however large the pot
MOST_BOILED_OFF = 0.5  # of the pot's water, where it is drawn from less than was planned
MOST_DRY_HOPS_G_PER_L = 30.0  # where the relation ends; more takes no more than that
MOST_IBU = 500.0  # where it ends, too; what is above is left alone


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Treated:
    """A portion's wort with all that was poured into it, and how much that was. [kg]

    What went as steam from a part boiled apart, or stayed in its hops, is taken off `added_kg`.
    """

    wort: Wort
    added_kg: Value


def treated(plan: Plan, portion: Portion, figures: Mapping[str, Array], wort: Wort) -> Treated:
    """The portion's wort with its own liquor, sugar, fruit and teas."""
    drawn_kg = wort.mass_kg
    for hop_tea in plan.hop_teas:  # before anything is poured in
        if hop_tea.at == portion.key and hop_tea.of_wort:
            wort = _boiled_apart(wort, hop_tea, figures)
    added: Value = wort.mass_kg - drawn_kg + portion.top_up_l * WATER_20
    if portion.top_up_l:
        wort = add_liquor(wort, portion.top_up_l * WATER_20)
    for addition in plan.additions:
        if addition.at == portion.key and addition.extract:
            wort = dissolved(wort, addition)
            if addition.colour_ebc:
                tint = colouring.tea_colour(addition.mass_kg, lovibond_of(addition.colour_ebc), 1.0)
                wort = add_malt(wort, 0.0, 0.0, tint)
            added = added + addition.mass_kg
    for grain_tea in plan.grain_teas:
        if grain_tea.at == portion.key:
            water, extract, colour = _grain_tea(grain_tea, figures)
            wort = add_malt(wort, water, extract, colour)
            added = added + water + extract
    for hop_tea in plan.hop_teas:
        if hop_tea.at == portion.key and not hop_tea.of_wort:
            water, iso = _hop_tea(hop_tea, figures)
            wort = add_malt(wort, water, 0.0, 0.0, iso)
            added = added + water
    return Treated(wort=wort, added_kg=added)


def _grain_tea(tea: GrainTea, figures: Mapping[str, Array]) -> tuple[Value, Value, Value]:
    """Water [kg], extract [kg] and colour [SRM L] that run off the steeped grain.

    No more is drawn than the grain holds.  What it keeps when drained is taken from the water and from all
    that is dissolved alike.
    """
    holds = tea.mass_kg * (1.0 - tea.moisture) * tea.extract_dry
    drawn = np.minimum(tea.mass_kg * TEA_EXTRACT[tea.hot] * figures["tea.extract_yield"], holds)
    runs_off = 1.0 - min(TEA_HELD_L_PER_KG * tea.mass_kg / tea.water_l, 0.95)
    lovibond = lovibond_of(tea.colour_ebc)
    colour = colouring.tea_colour(tea.mass_kg, lovibond, figures["tea.colour_yield"])
    return tea.water_l * WATER_20 * runs_off, drawn * runs_off, colour * runs_off


def _hop_tea(tea: HopTea, figures: Mapping[str, Array]) -> tuple[float, Value]:
    """Water [kg] and iso-alpha acids [mg] that a hop tea brings."""
    runs_off = _runs_off(tea, tea.water_l)
    return tea.water_l * WATER_20 * runs_off, _iso_mg(tea, figures) * runs_off


def _boiled_apart(wort: Wort, tea: HopTea, figures: Mapping[str, Array]) -> Wort:
    """The wort after a part of it was boiled apart with hops, and poured back.

    Steam goes; the hops keep what they hold of the pot's content, with all that is dissolved in it.  As much
    of the iso-alpha acids is taken to be lost to the break of a wort as of those that water brings to the pH
    of a beer.  That the boil darkens the pot's wort is left out.
    """
    taken = np.minimum(tea.water_l / Measured.of(wort).volume_l, MOST_BOILED_APART)
    pot = wort.share(taken)
    steam = np.minimum(tea.boiled_off_l * WATER_20, MOST_BOILED_OFF * pot.water_kg)
    pot = replace(pot, water_kg=pot.water_kg - steam, iso_alpha_mg=pot.iso_alpha_mg + _iso_mg(tea, figures))
    return pour_together(wort.share(1.0 - taken), pot.share(_runs_off(tea, tea.water_l - tea.boiled_off_l)))


def _iso_mg(tea: HopTea, figures: Mapping[str, Array]) -> Value:
    """Iso-alpha acids that hops boiled apart would bring to the beer, did they hold none back. [mg]"""
    (share,) = kinetics.isomerised(kinetics.held(tea.minutes, TEA_BOIL_C), (0,))
    return dry_hopping.hop_tea_iso_mg(
        tea.mass_kg, figures[f"teas.{tea.key}.alpha"], share.iso, figures["tea.iso_kept"]
    )


def _runs_off(tea: HopTea, ends_l: float) -> float:
    """Share of the pot's content that the hops do not hold."""
    return 1.0 - min(TEA_HOPS_HOLD_L_PER_KG[tea.form] * tea.mass_kg / ends_l, 0.95)


def dry_hops_kg(plan: Plan, portion: Portion) -> dict[str, float]:
    """Dry hops of a portion, by their form. [kg]"""
    out: dict[str, float] = {}
    for hop in plan.hops:
        if hop.use == "dry" and hop.portion == portion.key:
            out[hop.form] = out.get(hop.form, 0.0) + (hop.mass_kg or 0.0)
    return out


def ibu_after_dry_hops(
    plan: Plan, portion: Portion, figures: Mapping[str, Array], iso_mg_per_l: Value, beer_l: Value
) -> Value:
    """Iso-alpha acids of the beer once its dry hops have taken their part. [mg/L]"""
    mass = sum(dry_hops_kg(plan, portion).values())
    if not mass:
        return iso_mg_per_l
    dose = np.minimum(1000.0 * mass / beer_l, MOST_DRY_HOPS_G_PER_L)
    known = np.minimum(iso_mg_per_l, MOST_IBU)
    left = dry_hopping.iso_after_dry_hop(known, dose, figures["dry_hop.adsorbed_per_g"])
    return left + (iso_mg_per_l - known)


def beer_kept_by_dry_hops_l(plan: Plan, portion: Portion) -> float:
    """Beer that stays in a portion's dry hops. [L]"""
    kept = 0.0
    for form, mass in dry_hops_kg(plan, portion).items():
        kept += float(dry_hopping.beer_kept_l(mass, dry_hopping.BEER_KEPT_L_PER_KG[form][0]))
    return kept
