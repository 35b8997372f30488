"""Follow water and extract from the strike to the kettle: mash, lift, rinse.

In:  plan, brewery and figures.
Out: `MashCourse`: strike temperature, the mash and what it fills, the bag and what it holds, the second
     vessel, the wort that reaches the kettle, and the account of each step.

Idea: the bag keeps wort by volume and gives it up by mass balance; what a brewer calls absorption is
worked out beside it and used in no equation.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from gylebook.brewery.gear import Vessel
from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.figures.draws import Array, Value, given
from gylebook.gyle.house import mash_vessel_of
from gylebook.gyle.ledger import Entry
from gylebook.gyle.wort import Measured, Wort
from gylebook.matter.metal import metal_specific_heat
from gylebook.matter.water import water_density
from gylebook.process import mash as mashing
from gylebook.process import rinse as rinsing

WATER_20 = float(water_density(20.0)) / 1000.0  # kg/L of liquor as it is measured out
CONVERSION_MINUTES = {"fine": 12.0, "ordinary": 16.0, "coarse": 20.0}
SUGAR_REST_C = 60.0  # below, starch has hardly gelatinised and no sugar worth counting is made
MOST_HELD = 0.85  # L a kg of the mash liquid: grain lets some of it go, whatever a search asks
MASH_IN_LOSS_KJ = 60.0  # what an open kettle gives off while the grain is stirred in; a judgement
# Stirred cells in series that a bed of grain washes like, by process.
WASH_CELLS = {"poured rinse": 1, "fly rinse": 5}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Bag:
    """Grain and the wort it holds after draining."""

    water_kg: Value
    extract_kg: Value
    wet_kg: Value  # with what never dissolved


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MashCourse:
    """The hot side up to the kettle, as joint draws."""

    grain_kg: Value
    potential_kg: Value  # extract if every grain gave all it has
    strike_c: Value
    aimed_strike_c: Value  # what the liquor is heated to, where the mash then comes out as asked
    mash_c: Value
    level_l: Value  # hot, grain and bag included
    mash_plato: Value
    dissolved_kg: Value
    lift_kg: Value  # bag at the moment of lifting
    cloth_kg: float  # of the bag itself, in every weight of it
    first_bag: Bag
    bag: Bag  # after the last draining
    retained_l_per_kg: Value
    absorption_l_per_kg: Value
    rinse_level_l: Value | None
    rinse_plato: Value | None
    first_wort: Wort
    second_wort: Wort | None  # what the rinse gave
    wort: Wort  # all of it, in the kettle
    ledger: tuple[Entry, ...]


def first_rest_c(plan: Plan) -> float:
    """Mean temperature over the first 20 minutes, when the heat-shy enzyme does its work. [°C]

    A cooler rest before, for protein or acid, leaves that enzyme whole and does not count.
    """
    making = [s for s in plan.mash if s.temperature_c >= SUGAR_REST_C] or list(plan.mash)
    left, weighted = 20.0, 0.0
    for step in making:
        minutes = min(left, step.minutes)
        weighted += minutes * step.temperature_c
        left -= minutes
    return (weighted + left * making[-1].temperature_c) / 20.0


def mash_minutes(plan: Plan) -> float:
    """Length of all rests together. [min]"""
    return sum(step.minutes for step in plan.mash)


def vessel_heat(vessel: Vessel) -> float:
    """Heat that the vessel itself takes up. [kJ/K]"""
    return vessel.mass_kg * metal_specific_heat(vessel.metal)


def run_mash(plan: Plan, brewery: Brewery, figures: Mapping[str, Array]) -> MashCourse:
    """Mash the grist, lift it and rinse it as the plan's process says."""
    grain_kg, moisture_kg, potential = _grist(plan, figures)
    mash_kg = given(plan.liquor.mash_l) * WATER_20
    done = _share_converted(plan)
    # A long rest adds to the figure; in its upper tail there is no more to dissolve than all.
    dissolved = potential * np.minimum(figures["conversion"] * done, 1.0)
    water = mash_kg + moisture_kg
    mash_plato = 100.0 * dissolved / (dissolved + water)
    insoluble = grain_kg - moisture_kg - dissolved
    slip = figures["mash.temperature_slip_c"]
    retained = figures["retained_l_per_kg"] + _holds_more(plan)

    held_l = np.minimum(retained * grain_kg, MOST_HELD * (water + dissolved))

    lifted = rinsing.drain(water, dissolved, held_l)
    wort = Wort(water_kg=lifted.runoff_water_kg, extract_kg=lifted.runoff_extract_kg)
    first_bag = _bag(lifted, insoluble)
    ledger = [
        Entry(
            step="mash and lift",
            mass_in_kg=(mash_kg, grain_kg),
            mass_out_kg=(wort.water_kg, wort.extract_kg, first_bag.wet_kg),
            extract_in_kg=(dissolved,),
            extract_out_kg=(wort.extract_kg, first_bag.extract_kg),
        )
    ]
    first_wort, second = wort, None
    bag, rinse_level, rinse_plato = first_bag, None, None
    if plan.process.kind in ("dunk rinse", "poured rinse", "fly rinse") and np.any(
        given(plan.liquor.rinse_l)
    ):
        rinse_kg = given(plan.liquor.rinse_l) * WATER_20
        rinsed = _rinse(plan, figures, first_bag, held_l, rinse_kg)
        second = Wort(water_kg=rinsed.runoff_water_kg, extract_kg=rinsed.runoff_extract_kg)
        bag = _bag(rinsed, insoluble)
        ledger.append(
            Entry(
                step="rinse",
                mass_in_kg=(rinse_kg, first_bag.wet_kg),
                mass_out_kg=(second.water_kg, second.extract_kg, bag.wet_kg),
                extract_in_kg=(first_bag.extract_kg,),
                extract_out_kg=(second.extract_kg, bag.extract_kg),
            )
        )
        rinse_plato = second.plato
        if plan.process.kind == "dunk rinse":
            rinse_level = (
                rinsing.bag_level(rinse_kg, plan.process.rinse_c, held_l, insoluble) + brewery.bag.mass_kg
            )
        wort = Wort(water_kg=wort.water_kg + second.water_kg, extract_kg=wort.extract_kg + second.extract_kg)
    strike = _strike(plan, brewery, grain_kg, moisture_kg, mash_kg)
    return MashCourse(
        grain_kg=grain_kg,
        potential_kg=potential,
        strike_c=strike - slip,
        aimed_strike_c=np.median(strike - slip) if np.ndim(mash_kg) == 0 else strike,
        mash_c=first_rest_c(plan) + slip,
        level_l=mashing.mash_level(
            mash_kg, grain_kg, plan.mash[0].temperature_c, figures["mash.displacement_l_per_kg"]
        )
        + brewery.bag.mass_kg,  # the cloth, at about the density of water
        mash_plato=mash_plato,
        dissolved_kg=dissolved,
        lift_kg=figures["lift_kg_per_kg"] * grain_kg + brewery.bag.mass_kg,
        cloth_kg=brewery.bag.mass_kg,
        first_bag=first_bag,
        bag=bag,
        retained_l_per_kg=retained,
        absorption_l_per_kg=_absorption(plan, grain_kg, wort),
        rinse_level_l=rinse_level,
        rinse_plato=rinse_plato,
        first_wort=first_wort,
        second_wort=second,
        wort=wort,
        ledger=tuple(ledger),
    )


def _grist(plan: Plan, figures: Mapping[str, Array]) -> tuple[Value, Value, Value]:
    """Kilograms of grain, of water in it, and of extract it could give."""
    grain_kg: Value = 0.0
    moisture: Value = 0.0
    potential = None
    shifted = None
    for grain in plan.grist:
        if grain.mass_kg is None:
            raise ValueError(f"the mass of {grain.name} is left open; solve the plan first")
        extract = figures[f"grist.{grain.key}.extract"]
        dry = grain.mass_kg * (1.0 - grain.moisture)
        potential = extract * dry if potential is None else potential + extract * dry
        wetter = extract * grain.mass_kg
        shifted = wetter if shifted is None else shifted + wetter
        grain_kg += grain.mass_kg
        moisture += grain.mass_kg * grain.moisture
    if potential is None or shifted is None:
        raise ValueError("a mash needs grain")
    shift = np.maximum(figures["moisture_shift"], -moisture / grain_kg)  # no drier than dry
    return grain_kg, moisture + shift * grain_kg, potential - shift * shifted


def _share_converted(plan: Plan) -> float:
    """Conversion reached in this mash against a 60 min rest, for which the figure is stated."""
    tau = CONVERSION_MINUTES[plan.process.crush]
    left = 1.0
    for number, step in enumerate(plan.mash):
        warmth = min(max(step.temperature_c, 45.0), 80.0)
        wetted = step.minutes + (2.0 if number else 0.0)  # only the first rest waits for the water to get in
        left *= 1.0 - float(mashing.conversion_progress(wetted, warmth, tau))
    return (1.0 - left) / float(mashing.conversion_progress(60.0, 66.0, tau))


def _holds_more(plan: Plan) -> Value:
    total = sum(given(grain.mass_kg) for grain in plan.grist)
    return sum(given(grain.mass_kg) * grain.holds_more_l_per_kg for grain in plan.grist) / total


def _strike(plan: Plan, brewery: Brewery, grain_kg: Value, moisture_kg: Value, mash_kg: Value) -> Value:
    vessel = mash_vessel_of(plan, brewery)
    heated_with_it = vessel.key == brewery.kettle  # a tun stands at the room's temperature
    return mashing.strike_temperature(
        mash_c=plan.mash[0].temperature_c,
        grain_kg=grain_kg,
        grain_c=brewery.room_c,
        moisture=moisture_kg / grain_kg,
        water_kg=mash_kg,
        vessel_kj_per_k=vessel_heat(vessel),
        vessel_c=None if heated_with_it else brewery.room_c,
        loss_kj=MASH_IN_LOSS_KJ,
    )


def _rinse(
    plan: Plan, figures: Mapping[str, Array], bag: Bag, retained_l: Value, rinse_kg: Value
) -> rinsing.Runoff:
    if plan.process.kind == "dunk rinse":
        return rinsing.dunk_rinse(bag.water_kg, bag.extract_kg, rinse_kg, figures["rinse.mixing"], retained_l)
    cells = WASH_CELLS[plan.process.kind]
    return rinsing.wash_rinse(
        bag.water_kg, bag.extract_kg, rinse_kg, cells, figures["rinse.bypass"], retained_l
    )


def _bag(run_off: rinsing.Runoff, insoluble: Value) -> Bag:
    wet = run_off.bag_water_kg + run_off.bag_extract_kg + insoluble
    return Bag(water_kg=run_off.bag_water_kg, extract_kg=run_off.bag_extract_kg, wet_kg=wet)


def _absorption(plan: Plan, grain_kg: Value, wort: Wort) -> Value:
    """The brewer's figure: litres in less litres of wort out, for a kilogram of grain. [L/kg]"""
    poured = given(plan.liquor.mash_l) + given(plan.liquor.rinse_l)
    return (poured - Measured.of(wort).volume_l) / grain_kg
