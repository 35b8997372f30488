"""Boil the wort, chill it and let the losses stay behind.

In:  the wort that reached the kettle, plan, brewery and figures.
Out: `KettleCourse`: the kettle full, at the end of the boil, what stays, and the wort that is divided.

Idea: boiling takes water by the hour, whatever the batch; sugar and hops go in at their minute; trub,
hops, hoses and walls keep wort by volume at its own strength, so that they cost litres and no gravity.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from gylebook.brewery.ingredients import Addition
from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.figures.draws import Array, Value, given
from gylebook.gyle.bitter import Boiled, iso_alpha_mg
from gylebook.gyle.ledger import Entry
from gylebook.gyle.mash import WATER_20
from gylebook.gyle.wort import Measured, Wort, add_liquor, add_malt, add_sugar
from gylebook.matter.extract import sg_from_plato
from gylebook.matter.water import boiling_point, pressure_at_altitude
from gylebook.process import boil as boiling
from gylebook.process import colour as colouring

MOST_OF_IT = 0.8  # what a kettle keeps of its wort at most, whatever a search asks
KETTLE = ("boil", "kettle end")  # where an addition goes that belongs to no portion
MOST_MCU = 167.0  # 50 SRM, where the grist relation ends; darker beer is told as that dark
LEAST_WATER = 2.2  # kg a kg of extract: none is boiled beyond 31 °P, near the end of the density scale


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class KettleCourse:
    """The kettle from full to empty, as joint draws."""

    full: Measured
    boil_level_l: Value  # hot, at the start of the boil, hop basket included
    boil_c: float
    end: Measured
    end_level_l: Value
    boil_off_l_per_h: Value
    steam_kg: Value
    stays_kg: Value
    kept_l: dict[str, Value]  # by what keeps it, at 20 °C
    ibu: Value
    wort: Wort  # what is divided
    ledger: tuple[Entry, ...]


def boil_temperature(brewery: Brewery) -> float:
    """Where water boils at the brewery's altitude. [°C]"""
    return float(boiling_point(pressure_at_altitude(brewery.altitude_m)))


def run_kettle(plan: Plan, brewery: Brewery, figures: Mapping[str, Array], wort: Wort) -> KettleCourse:
    """Boil, add, chill and leave behind."""
    boil_c = boil_temperature(brewery)
    full = Measured.of(wort)
    sweet = [a for a in plan.additions if a.at in KETTLE and a.extract]
    added = sum(a.mass_kg * a.extract for a in sweet)
    evaporated = np.minimum(
        boiling.evaporated_kg(figures["boil_off_l_per_h"], plan.boil_minutes),
        np.maximum(wort.water_kg - LEAST_WATER * (wort.extract_kg + added), 0.0),
    )
    boiled = add_liquor(wort, -evaporated)
    into, out = [wort.water_kg, wort.extract_kg], [evaporated]
    for addition in sweet:
        boiled = dissolved(boiled, addition)
        into.append(float(addition.mass_kg))
    if np.any(plan.liquor.kettle_l):
        boiled = add_liquor(boiled, plan.liquor.kettle_l * WATER_20)
        into.append(plan.liquor.kettle_l * WATER_20)
    end = Measured.of(boiled)
    gravity = _boil_gravity(plan, wort, evaporated, full, end)
    boiled = replace(
        boiled,
        iso_alpha_mg=iso_alpha_mg(
            plan, brewery, figures, Boiled(boil_c=boil_c, boil_gravity=gravity, end=end)
        ),
        colour_srm_l=_colour_srm_l(plan, figures, end.volume_l),
    )
    kept = _kept_l(plan, figures)
    stays = np.minimum(sum(kept.values()) / end.volume_l, MOST_OF_IT)
    divided = boiled.share(1.0 - stays)
    left = boiled.mass_kg * stays
    return KettleCourse(
        full=full,
        boil_level_l=full.level_l(boil_c) + brewery.basket_l,
        boil_c=boil_c,
        end=end,
        end_level_l=end.level_l(boil_c) + brewery.basket_l,
        boil_off_l_per_h=figures["boil_off_l_per_h"],
        steam_kg=evaporated,
        stays_kg=left,
        kept_l=kept,
        ibu=boiled.iso_alpha_mg / end.volume_l,
        wort=divided,
        ledger=(
            Entry(
                step="boil",
                mass_in_kg=tuple(into),
                mass_out_kg=(*out, boiled.water_kg, boiled.extract_kg),
                extract_in_kg=(wort.extract_kg, added),
                extract_out_kg=(boiled.extract_kg,),
            ),
            Entry(
                step="leave behind",
                mass_in_kg=(boiled.water_kg, boiled.extract_kg),
                mass_out_kg=(divided.water_kg, divided.extract_kg, left),
                extract_in_kg=(boiled.extract_kg,),
                extract_out_kg=(divided.extract_kg, boiled.extract_kg * stays),
            ),
        ),
    )


def dissolved(wort: Wort, addition: Addition) -> Wort:
    """The wort with sugar in it, or with malt extract, which ferments as a mash's own."""
    mass, extract = addition.mass_kg, addition.extract
    if addition.malt:
        return add_malt(wort, mass * (1.0 - extract), mass * extract)
    return add_sugar(wort, mass, extract, addition.fermentable)


def kettle_hops_kg(plan: Plan) -> Value:
    """Hops that go through the kettle. [kg]"""
    return sum(given(hop.mass_kg) for hop in plan.hops if hop.use != "dry")


def _kept_l(plan: Plan, figures: Mapping[str, Array]) -> dict[str, Value]:
    """Wort that stays behind, by what keeps it. [L at 20 °C]"""
    kept: dict[str, Value] = {"kettle": figures["kettle.left_l"], "walls": figures["walls_l"]}
    grain_kg = sum(given(grain.mass_kg) for grain in plan.grist)
    if np.any(grain_kg):
        kept["trub"] = figures["trub_l_per_kg"] * grain_kg
    hops_kg = kettle_hops_kg(plan)
    if np.any(hops_kg):
        kept["hops"] = figures["hop_retention_l_per_kg"] * hops_kg
    return kept


def _boil_gravity(plan: Plan, wort: Wort, evaporated: Value, full: Measured, end: Measured) -> Value:
    """Mean gravity of the boil; what goes in during it counts for its part of the time. [SG]"""
    added = [a for a in plan.additions if a.at in KETTLE and a.extract]
    if not added and not np.any(plan.liquor.kettle_l):
        return 0.5 * (full.sg + end.sg)
    whole = max(plan.boil_minutes, 1.0)
    there = [(a, min(a.minutes, whole) / whole) for a in added if a.at == "boil"]
    extract = wort.extract_kg + sum(a.mass_kg * a.extract * part for a, part in there)
    mass = wort.mass_kg + sum(a.mass_kg * part for a, part in there)
    start, last = 100.0 * extract / mass, 100.0 * extract / (mass - evaporated)
    return 0.5 * (sg_from_plato(start) + sg_from_plato(last))


def _colour_srm_l(plan: Plan, figures: Mapping[str, Array], volume_l: Value) -> Value:
    """Colour of the whole wort, from all that colours it, asked once before anything dilutes it. [SRM L]"""
    coloured = [(given(grain.mass_kg), grain.colour_ebc) for grain in plan.grist]
    coloured += [(a.mass_kg, a.colour_ebc) for a in plan.additions if a.at in KETTLE]
    coloured = [(mass, ebc) for mass, ebc in coloured if ebc]
    if not coloured:
        return 0.0
    masses = [mass for mass, _ in coloured]
    units = colouring.malt_colour_units(masses, [lovibond_of(ebc) for _, ebc in coloured], volume_l)
    return colouring.grist_colour(np.minimum(units, MOST_MCU)) * figures["colour.factor"] * volume_l


def lovibond_of(colour_ebc: float) -> float:
    """Colour of a malt as the grist relations take it. [°L]"""
    return float(colouring.lovibond_from_srm(colouring.srm_from_ebc(colour_ebc))) if colour_ebc else 0.0
