"""Count the yeast that each portion needs and gets.

In:  plan, figures, and each portion's volume and strength.
Out: `Pitch` for each portion: cells needed, cells at hand, and its share of a shared starter.

Idea: a starter that several portions name is one flask: their packs are pooled, it grows once, and it is
shared by need.  An uncertain count therefore shifts all shares together and leaves their ratios alone.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from gylebook.brewery.ingredients import Starter, Yeast
from gylebook.brewery.plan import Plan
from gylebook.figures.draws import Array, Value
from gylebook.gyle.portions import PortionCourse
from gylebook.process import yeast as yeasting

EXTRACT_OF_DRIED = 0.95  # share of dried malt extract that is extract
SETTLED = 0.95  # of the cells that a few days in the cold bring down; common practice
STARTER_KG_PER_L, SLURRY_KG_PER_L = 1.01, 1.06


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Pitch:
    """Yeast for one portion. [billion viable cells]"""

    key: str
    needed: Value
    given: Value
    starter: str | None
    share: Value  # of its starter, 1 where it has none


def pitches(plan: Plan, figures: Mapping[str, Array], portions: Sequence[PortionCourse]) -> tuple[Pitch, ...]:
    """Cells needed and given, portion by portion."""
    needed = {
        p.portion.key: yeasting.cells_needed(
            p.portion.yeast.pitch_million_per_ml_plato, p.pitched.volume_l, p.pitched.plato
        )
        for p in portions
    }
    in_pack = {
        p.portion.key: viable_cells(p.portion.yeast) * figures[f"portion.{p.portion.key}.cells"]
        for p in portions
    }
    named = {p.yeast.starter for p in plan.portions}
    grown = {s.key: _grown(s, plan, figures, in_pack) for s in plan.starters if s.key in named}
    out = []
    for course in portions:
        key, name = course.portion.key, course.portion.yeast.starter
        if name is None:
            share: Value = 1.0
            given = in_pack[key]
        else:
            drinkers = [p.key for p in plan.portions if p.yeast.starter == name]
            share = yeasting.shares_of_starter([needed[k] for k in drinkers])[drinkers.index(key)]
            given = grown[name] * share
        out.append(Pitch(key=key, needed=needed[key], given=given, starter=name, share=share))
    return tuple(out)


def viable_cells(yeast: Yeast) -> float:
    """What is left alive of the packs in hand. [billion]"""
    return yeast.packs * yeast.cells_billion * float(_viability(yeast))


def _viability(yeast: Yeast) -> Value:
    if yeast.form == "slurry":
        return yeasting.viability_slurry(yeast.age_days, yeast.stored_c)
    if yeast.form == "dry":
        return yeasting.viability_dry(yeast.age_days, yeast.stored_c)
    return yeasting.viability_liquid_pack(yeast.age_days)


def _grown(starter: Starter, plan: Plan, figures: Mapping[str, Array], in_pack: Mapping[str, Value]) -> Value:
    """Cells in a starter once it has grown. [billion]"""
    drinkers = [p.key for p in plan.portions if p.yeast.starter == starter.key]
    start = sum((in_pack[k] for k in drinkers[1:]), in_pack[drinkers[0]])
    if starter.kind == "none":
        return start
    if starter.volume_l is None:
        raise ValueError(f"the volume of starter {starter.key} is left open; solve the plan first")
    cells: Value = start
    for step_l in (*starter.first_steps_l, starter.volume_l):
        cells = yeasting.starter_cells(cells, step_l, starter.plato, starter.kind)
    grown = start + (cells - start) * figures[f"starter.{starter.key}.growth"]
    return grown * SETTLED if starter.cold_crash else grown


def suspension_l(starter: Starter) -> float | None:
    """What is shared out of a starter: its slurry once settled, else all of it; None where it is open. [L]"""
    if starter.kind == "none" or starter.volume_l is None:
        return None
    if starter.cold_crash:
        return starter.slurry_l
    return sum(starter.first_steps_l) + starter.volume_l


def suspension_kg_per_l(starter: Starter) -> float:
    """Density of what is shared out, thin beer or thick slurry; common practice. [kg/L]"""
    return SLURRY_KG_PER_L if starter.cold_crash else STARTER_KG_PER_L


def dried_extract_kg(starter: Starter) -> float:
    """Dried malt extract to weigh out for all steps of a starter. [kg]"""
    litres = sum(starter.first_steps_l) + (starter.volume_l or 0.0)
    return float(yeasting.wort_extract_g(litres, starter.plato)) / 1000.0 / EXTRACT_OF_DRIED
