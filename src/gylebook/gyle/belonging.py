"""Say to what each figure belongs: to a house and its gear, or to one brew alone; and how it goes with scale.

In:  a plan and the brewery it is brewed on.
Out: for each figure of `house.figures_of`, in its order, a `Belonging`, or None where it is a brew's own.

Idea: a published spread holds two things: how far houses differ, and how far one brew differs from the next
in one house.  `share` is the first's part of the variance; only that can be learned.  A figure learned with
one kettle, or one way of draining, tells something of another, but not all: `kind` is what is done, `gear`
what it is done with.  What a batch twice as large may do to a level is told by `turn`; the equations have
taken out already what goes with litres, kilograms and power, so what is left is small.

A sack of malt, a bale of hops and a pack of yeast differ from the next in ways no brewery can learn; they
stay a brew's own.  What no instrument here can read, such as bitterness, colour or gas, has no rule.  All
shares and turns are judgement.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Literal

from gylebook.brewery.gear import Vessel
from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.figures.figure import Figure
from gylebook.gyle.house import figures_of, heat_source_of
from gylebook.gyle.timing import pot_areas

Measure = Literal["grain_kg", "liquor_l", "surface_m2"]

# What a home brew has of each, where a batch counts as neither small nor large.
USUAL: dict[Measure, float] = {"grain_kg": 5.0, "liquor_l": 30.0, "surface_m2": 0.1}
MOST_DOUBLINGS = 3.0  # from the usual, either way: an eighth, or eight times as much


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """How a family of figures is shared out.

    `share`: of the published variance, what lies between houses.  `tied_kind`, `tied_gear`: how far two of
    one house go together (correlation) that differ in kind, or in gear alone.  `turn`: how far a level may
    turn into another with each doubling of `measure`, in radians: two that lie d doublings apart go together
    by cos(d turn), and each by itself has the whole spread.
    """

    share: float
    tied_kind: float = 0.4
    tied_gear: float = 0.7
    measure: Measure | None = None
    turn: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Belonging:
    """One figure of one brew: its family, the kind of work and the gear it goes with, and the scale.

    `doublings` counts from the usual size.
    """

    figure: Figure
    family: str
    rule: Rule
    kind: str = ""
    gear: str = ""
    doublings: float = 0.0


# The instrument is the same in every brew, and another instrument tells nothing of it.
INSTRUMENT = Rule(share=1.0, tied_kind=0.0, tied_gear=0.0)
YEAST = Rule(share=0.5, tied_kind=0.3)
HEAT = Rule(share=0.8, tied_kind=0.3, tied_gear=0.3)
# The same maltster's malt, sack after sack; another malt tells a little of how a house's are.
MALT = Rule(share=0.5, tied_kind=0.3)
# A well stays what it is and a report's error with it; how strong it runs is the day's.
WATER = {"strength": Rule(share=0.3), "alkalinity": Rule(share=0.7), "passed": Rule(share=0.7)}
BOTTLE = Rule(share=0.4)  # of acid, or a bag of salt
RINSE = Rule(share=0.5)
RULES: dict[str, Rule] = {
    # The mill is set once; a larger mash is stirred less well.
    "conversion": Rule(share=0.6, measure="grain_kg", turn=0.20),
    # Where the thermometer hangs; a larger mash holds its warmth better.
    "mash.temperature_slip_c": Rule(share=0.5, measure="grain_kg", turn=0.25),
    "mash.displacement_l_per_kg": Rule(share=0.7),
    # Squeezing and patience; a larger bag presses itself.
    "retained_l_per_kg": Rule(share=0.6, measure="grain_kg", turn=0.15),
    "lift_kg_per_kg": Rule(share=0.5, measure="grain_kg", turn=0.15),
    "mash.ph": Rule(share=0.5),
    # What the balance of protons leaves out goes with the house: its grist, its stirring, its meter's sample.
    "mash.ph_shift": Rule(share=0.5),
    "mash.ph_per_k": Rule(share=0.8),
    "mash.calcium_divisor": Rule(share=0.7),
    "mash.magnesium_divisor": Rule(share=0.7),
    "mash.carbonate_kept": Rule(share=0.6),
    # The knob of the fire; steam also leaves from an open surface below the boil.
    "boil_off_l_per_h": Rule(share=0.7, measure="surface_m2", turn=0.25),
    "trub_l_per_kg": Rule(share=0.4, measure="liquor_l", turn=0.20),
    "hop_retention_l_per_kg": Rule(share=0.4),
    "kettle.left_l": Rule(share=0.8, tied_gear=0.4),
    "walls_l": Rule(share=0.7, tied_gear=0.5),
    "attenuation.limit_shift": Rule(share=0.5),
    "fermenter.sediment": Rule(share=0.4),
    "package.loss_l": Rule(share=0.5),
    "heat.loss_factor": Rule(share=0.7, tied_gear=0.5),
    "chill.u_w_per_m2_k": Rule(share=0.7, tied_gear=0.5, measure="liquor_l", turn=0.20),
    "chill.time_factor": Rule(share=0.7, tied_gear=0.5, measure="liquor_l", turn=0.20),
    "refractometer.factor": Rule(share=0.5),
    "rinse.mixing": RINSE,
    "rinse.bypass": RINSE,
}
_NET_SHARE = re.compile(r"heat\.(.+)\.net_share")
_BIAS = re.compile(r"instrument\.(.+)\.bias")
_MALT = re.compile(r"grist\.(.+)\.(distilled_ph|acidity|buffering)")
_WATER = re.compile(r"water\.(.+)\.(strength|alkalinity|passed)")
_BOTTLE = re.compile(r"(?:acid|salt)\..+\.(?:strength|acting)")
_ATTENUATION = re.compile(r"portion\.(.+)\.(attenuation|later_attenuation)")


def belongings(plan: Plan, brewery: Brewery) -> tuple[Belonging | None, ...]:
    """What each figure of this gyle belongs to, in the order of `figures_of`."""
    sizes = _sizes(plan, brewery)
    return tuple(_belonging(figure, plan, brewery, sizes) for figure in figures_of(plan, brewery))


def _belonging(figure: Figure, plan: Plan, brewery: Brewery, sizes: dict[Measure, float]) -> Belonging | None:
    if figure.scatter == 0.0:
        return None
    if bias := _BIAS.fullmatch(figure.name):
        instrument = brewery.instruments[bias[1]]
        gear = f"{instrument.kind} ± {instrument.bias:g}"
        return Belonging(figure=figure, family=figure.name, rule=INSTRUMENT, gear=gear)
    if heat := _NET_SHARE.fullmatch(figure.name):
        source = next(s for s in brewery.heat_sources if s.key == heat[1])
        gear = f"{source.kind}, {source.power_kw:g} kW"
        return Belonging(figure=figure, family=figure.name, rule=HEAT, gear=gear)
    if yeast := _ATTENUATION.fullmatch(figure.name):
        portion = next(p for p in plan.portions if p.key == yeast[1])
        later = yeast[2] == "later_attenuation" and portion.later is not None
        kind = portion.later.kind if later and portion.later is not None else portion.yeast.kind
        return Belonging(figure=figure, family=yeast[2], rule=YEAST, kind=kind)
    if malt := _MALT.fullmatch(figure.name):
        return Belonging(figure=figure, family=malt[2], rule=MALT, kind=malt[1])
    if water := _WATER.fullmatch(figure.name):
        return Belonging(figure=figure, family=figure.name, rule=WATER[water[2]])
    if _BOTTLE.fullmatch(figure.name):
        return Belonging(figure=figure, family=figure.name, rule=BOTTLE)
    rule = RULES.get(figure.name)
    if rule is None:
        return None
    return Belonging(
        figure=figure,
        family=figure.name,
        rule=rule,
        kind=_kind(figure.name, plan),
        gear=_gear(figure.name, brewery),
        doublings=_doublings(rule, sizes),
    )


def _kind(name: str, plan: Plan) -> str:
    """How the work is done, where it makes another level of this figure."""
    process = plan.process
    if name == "conversion":
        return f"{process.crush} crush" + (" and a mash-out" if process.mash_out else "")
    if name in ("retained_l_per_kg", "lift_kg_per_kg"):
        return process.drain
    if name == "trub_l_per_kg":
        return "with finings" if any(addition.finings for addition in plan.additions) else "without finings"
    if name == "hop_retention_l_per_kg":
        whole = sum(1 for hop in plan.hops if hop.form == "whole") * 2 > len(plan.hops)
        return "whole hops" if whole else "pellets"
    if name in ("rinse.mixing", "rinse.bypass"):
        stirred = process.kind == "dunk rinse" and process.stirred_rinse
        return f"{process.kind}, stirred" if stirred else process.kind
    return ""


def _gear(name: str, brewery: Brewery) -> str:
    """What it is done with, told by what it is and not by its name, where it makes another level."""
    kettle = brewery.vessels[brewery.kettle]
    if name == "boil_off_l_per_h":
        source = heat_source_of(brewery, brewery.kettle)
        return f"{_pot(kettle)}, {source.kind} {source.power_kw:g} kW"
    if name == "kettle.left_l":
        rest = "" if kettle.dead_volume_l is None else f", rest {kettle.dead_volume_l:g} L"
        return _pot(kettle) + rest
    if name in ("walls_l", "heat.loss_factor"):
        return _pot(kettle)
    if name.startswith("chill."):
        chiller = brewery.chiller
        size = "" if chiller.area_m2 is None else f" {chiller.area_m2:g} m²"
        timed = "" if chiller.known is None else f", timed {chiller.known.minutes:g} min"
        return f"{chiller.kind}{size}, {'stirred' if chiller.stirred else 'not stirred'}{timed}"
    if name in ("retained_l_per_kg", "lift_kg_per_kg"):
        return f"bag of {brewery.bag.mass_kg:g} kg"
    return ""


def _pot(vessel: Vessel) -> str:
    width = "" if vessel.diameter_cm is None else f" {vessel.diameter_cm:g} cm wide"
    return f"kettle {vessel.capacity_l:g} L{width}"


def _sizes(plan: Plan, brewery: Brewery) -> dict[Measure, float]:
    """What this brew has of each measure."""
    liquor = plan.liquor
    _, surface_m2 = pot_areas(brewery.vessels[brewery.kettle])
    return {
        "grain_kg": sum(grain.mass_kg or 0.0 for grain in plan.grist),
        "liquor_l": (liquor.mash_l or 0.0) + (liquor.rinse_l or 0.0) + liquor.kettle_l,
        "surface_m2": surface_m2,
    }


def _doublings(rule: Rule, sizes: dict[Measure, float]) -> float:
    """How often the usual size is doubled; nothing where size makes no difference, or there is none."""
    if rule.measure is None or sizes[rule.measure] <= 0.0:
        return 0.0
    doublings = math.log2(sizes[rule.measure] / USUAL[rule.measure])
    return min(max(doublings, -MOST_DOUBLINGS), MOST_DOUBLINGS)
