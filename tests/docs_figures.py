"""Gather every figure of the model with its published level and scatter, process by process.

In:  the example plan and brewery, changed in one thing at a time.
Out: one row for each figure: name, unit, levels by what they depend on, source.

Idea: where a level changes with the process, the gear or the crush, all its levels are shown beside what
they belong to; where a plan or a pack states it, the row says so.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import get_args

from gylebook.brewery.gear import HeatKind, KnownCooling
from gylebook.brewery.ingredients import Addition
from gylebook.brewery.plan import Crush, Drain, Plan, ProcessKind
from gylebook.brewery.site import Brewery
from gylebook.brewery.water import Water
from gylebook.figures.figure import Figure
from gylebook.gyle.fermenting import curve_figures
from gylebook.gyle.house import ROLLING_BOIL_L_PER_H, published_figures
from gylebook.tasks.files import load_brewery, load_plan

EXAMPLE = Path(__file__).parents[1] / "examples" / "amber-three-ways"
Case = tuple[str, Plan, Brewery]
FAMILY = re.compile(r"^(grist|hops|starter|portion|instrument|heat|water|acid|salt)\.(?!loss_factor)[^.]+\.")
FROM_FILES = {
    "grist.KEY.extract": "by grain, or as the plan says",
    "grist.KEY.distilled_ph": "by kind of malt, or as measured",
    "grist.KEY.acidity": "by kind of malt, a caramel malt by its colour",
    "grist.KEY.buffering": "by kind of malt",
    "water.KEY.strength": "1 ± the water's scatter",
    "water.KEY.passed": "as the brewery file says, ± 40 % of it",
    "hops.KEY.alpha": "by variety, or as the plan says",
    "portion.KEY.attenuation": "by yeast, or as the plan says",
    "portion.KEY.later_attenuation": "by organism, or as the plan says",
    "instrument.KEY.bias": "0 ± the instrument's bias",
}
NOTES = {"boil_off_l_per_h": f" (3.5 kW; by power, up to {ROLLING_BOIL_L_PER_H:g})"}


def figure_rows() -> Iterator[tuple[str, str, str, str]]:
    """One row for each figure that any process has."""
    axes = list(_axes(load_plan(EXAMPLE / "plan.toml"), load_brewery(EXAMPLE / "brewery.toml")))
    seen: dict[str, list[list[tuple[str, Figure]]]] = {}
    for axis in axes:
        found: dict[str, list[tuple[str, Figure]]] = {}
        for label, plan, brewery in axis:
            named = {
                FAMILY.sub(r"\1.KEY.", figure.name): figure for figure in published_figures(plan, brewery)
            }
            for name, figure in named.items():
                found.setdefault(name, []).append((label, figure))
        for name, labelled in found.items():
            seen.setdefault(name, [])
            alike = len({(figure.level, figure.scatter) for _, figure in labelled}) == 1
            if not (alike and len(labelled) == len(axis)):
                seen[name].append(labelled)
            elif not seen[name]:
                seen[name] = [[("", labelled[0][1])]]
    for name, lists in seen.items():
        telling = [labelled for labelled in lists if labelled[0][0]] or lists
        figure = telling[0][0][1]
        level = FROM_FILES.get(name) or _levels([pair for labelled in telling for pair in labelled])
        yield f"`{name}`", figure.unit, level + NOTES.get(name, ""), f"`{figure.source}`"


def curve_rows() -> Iterator[tuple[str, str, str, str]]:
    """One row for each figure of a curve: of any yeast, of a diastatic one, of Brettanomyces."""
    plan = load_plan(EXAMPLE / "plan.toml")
    diastatic = [replace(p, yeast=replace(p.yeast, diastatic=True)) for p in plan.portions]
    for figure in {f.name: f for p in (*plan.portions, *diastatic) for f in curve_figures(p)}.values():
        known = (
            f"{figure.level:.3g} to a factor of {math.exp(figure.scatter / figure.level):.2g}"
            if figure.transform == "log"
            else f"{figure.level:.3g} ± {figure.scatter:.2g}"
        )
        yield f"`{figure.name}`", figure.unit, known, f"`{figure.source}`"


def _levels(labelled: list[tuple[str, Figure]]) -> str:
    """Each level once, behind what it belongs to."""
    by_value: dict[str, str] = {}
    for label, figure in labelled:
        by_value.setdefault(f"{figure.level:.3g} ± {float(f'{figure.scatter:.2g}'):g}", label)
    return "; ".join(f"{label} {value}".strip() for value, label in by_value.items())


def _axes(plan: Plan, brewery: Brewery) -> Iterator[list[Case]]:
    """Lists of cases, each list differing in one thing alone."""
    process, chiller = plan.process, brewery.chiller
    yield [
        (kind, replace(plan, process=replace(process, kind=kind)), brewery) for kind in get_args(ProcessKind)
    ]
    yield [
        (f"{crush} crush", replace(plan, process=replace(process, crush=crush)), brewery)
        for crush in get_args(Crush)
    ]
    yield [
        (drain, replace(plan, process=replace(process, drain=drain)), brewery) for drain in get_args(Drain)
    ]
    yield [
        ("stirred", plan, brewery),
        ("not stirred", replace(plan, process=replace(process, stirred_rinse=False)), brewery),
    ]
    yield [("fine crush", plan, brewery), *_mash_out(plan, brewery)]
    yield [
        (
            kind,
            plan,
            replace(brewery, heat_sources=tuple(replace(s, kind=kind) for s in brewery.heat_sources)),
        )
        for kind in get_args(HeatKind)
    ]
    kettle = replace(brewery.vessels[brewery.kettle], dead_volume_l=None)
    yield [
        ("dead volume as stated", plan, brewery),
        ("none stated", plan, replace(brewery, vessels={**brewery.vessels, brewery.kettle: kettle})),
    ]
    known = KnownCooling(volume_l=20.0, to_c=20.0, minutes=30.0)
    yield [
        ("stirred", plan, brewery),
        ("not stirred", plan, replace(brewery, chiller=replace(chiller, stirred=False))),
        ("a timed cooling", plan, replace(brewery, chiller=replace(chiller, known=known))),
    ]
    finings = Addition(key="moss", name="moss", mass_kg=0.005, finings=True)
    yield [
        ("without finings", plan, brewery),
        ("with finings", replace(plan, additions=(*plan.additions, finings)), brewery),
    ]
    yield [
        ("with a water report", plan, brewery),
        (
            "without a water report",
            replace(plan, aims=replace(plan.aims, mash_ph=None)),
            replace(brewery, water=None),
        ),
    ]
    membrane = Water(key="membrane", name="membrane", membrane_of=brewery.water)
    waters = {**brewery.waters, "membrane": membrane}
    yield [("a membrane", plan, replace(brewery, waters=waters, water="membrane"))]
    yield [
        (name, replace(plan, liquor=replace(plan.liquor, alkali=key)), brewery)
        for name, key in (("baking soda", "baking-soda"), ("slaked lime", "slaked-lime"))
    ]
    whole = tuple(replace(hop, form="whole") for hop in plan.hops)
    yield [("pellets", plan, brewery), ("whole hops", replace(plan, hops=whole), brewery)]


def _mash_out(plan: Plan, brewery: Brewery) -> Iterator[Case]:
    yield "fine crush and a mash-out", replace(plan, process=replace(plan.process, mash_out=True)), brewery
