"""Follow the liquor from the tap to the grain, and find the pH of the mash.

In:  plan, brewery and figures.
Out: `Liquor`: what is dissolved in mash and rinse liquor as treated, the pH of the mash before and after what
     is held back for it, and of the rinse liquor.

Idea: nothing of the hot side depends on it, so it is worked out only where someone asks.  Waters mix by
volume; chlorine is taken out, salts and acid go in; the mash then is a balance of protons over all of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from functools import lru_cache

import numpy as np

from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.brewery.water import AgainstChlorine, Dose, DoseInto, Water
from gylebook.errors import Refused
from gylebook.figures.draws import Array, Value
from gylebook.gyle.liquor_figures import malt_of, reported, waters_drawn
from gylebook.matter.equilibria import ph_of
from gylebook.matter.ions import MOLAR_MASS
from gylebook.matter.solution import Solution, mixed
from gylebook.matter.titration import WEAK_ACIDS, alkalinity_at, with_acid
from gylebook.process.acid_doses import STRENGTH, acid_of, millimoles
from gylebook.process.dechlorination import agent_grams, left_behind
from gylebook.process.liquor import reverse_osmosis
from gylebook.process.malt_ph import Grist, grist_of
from gylebook.process.mash_ph import Mash, mash_ph
from gylebook.process.salts import SALTS, with_salts
from gylebook.process.water_report import Entry, Report, read_report

INTO_MASH: tuple[DoseInto, ...] = ("mash",)
INTO_MASH_IN_ALL: tuple[DoseInto, ...] = ("mash", "held back")
TREATED_C = 20.0  # at which rinse liquor is read once its acid is in


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Treated:
    """Liquor as it was dosed, and how it reads in a closed vessel.

    `left` is the alkalinity that carbonate still makes, the acid's own anion not counted. [mEq/L]
    """

    solution: Solution
    ph: Value
    left: Value


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Liquor:
    """The liquor of one gyle, as joint draws; nothing of a mash where there is no grain."""

    drawn: Solution  # before anything is dosed
    mash: Treated  # with all its doses, what is held back among them
    rinse: Treated | None
    mash_ph: Value | None  # cooled, with all its doses
    first_ph: Value | None  # before what is held back
    untreated_ph: Value | None  # of the mash, were nothing dosed


def run_liquor(plan: Plan, brewery: Brewery, figures: Mapping[str, Array]) -> Liquor:
    """The liquor and what it makes of the mash.  Only for a gyle whose water is known."""
    water = drawn(plan, brewery, figures)
    whole = first = untreated = None
    if plan.grist:
        whole, first = mash_phs(plan, brewery, figures)
        untreated = mash_ph(_mash(plan, figures, water))
    return Liquor(
        drawn=water,
        mash=_treated(dosed(plan, figures, water, INTO_MASH_IN_ALL)),
        rinse=_treated(dosed(plan, figures, water, ("rinse",))) if plan.liquor.rinse_l else None,
        mash_ph=whole,
        first_ph=first,
        untreated_ph=untreated,
    )


def _treated(solution: Solution) -> Treated:
    ph = ph_of(solution, TREATED_C)
    bare = replace(solution, **dict.fromkeys(WEAK_ACIDS.values(), 0.0))
    return Treated(solution=solution, ph=ph, left=alkalinity_at(bare, ph, TREATED_C))


def knows_water(plan: Plan, brewery: Brewery) -> bool:
    """Whether this gyle's water has a report behind it."""
    return bool(waters_drawn(plan, brewery))


def mash_phs(plan: Plan, brewery: Brewery, figures: Mapping[str, Array]) -> tuple[Value, Value]:
    """pH of the mash, cooled, with all its doses, and before what is held back."""
    if not knows_water(plan, brewery):
        return figures["mash.ph"], figures["mash.ph"]
    water = drawn(plan, brewery, figures)
    whole = mash_ph(_mash(plan, figures, dosed(plan, figures, water, INTO_MASH_IN_ALL)))
    if not any(dose.into == "held back" for dose in plan.liquor.doses):
        return whole, whole
    return whole, mash_ph(_mash(plan, figures, dosed(plan, figures, water, INTO_MASH)))


def mash_of(
    plan: Plan, brewery: Brewery, figures: Mapping[str, Array], doses_into: Sequence[DoseInto]
) -> Mash:
    """Grain and liquor together, with the doses that went in so far."""
    return _mash(plan, figures, dosed(plan, figures, drawn(plan, brewery, figures), doses_into))


def grist(plan: Plan, figures: Mapping[str, Array]) -> Grist:
    """How sour the grist is and how hard it holds on to that, with what all malts are off by together."""
    malts = [malt_of(grain) for grain in plan.grist]
    names = ["distilled_ph" if malt.by_ph else "acidity" for malt in malts]
    return grist_of(
        [grain.mass_kg or 0.0 for grain in plan.grist],
        malts,
        [figures[f"grist.{g.key}.{name}"] for g, name in zip(plan.grist, names, strict=True)],
        [figures[f"grist.{g.key}.buffering"] for g in plan.grist],
        figures["mash.ph_shift"],
    )


def _mash(plan: Plan, figures: Mapping[str, Array], liquor: Solution) -> Mash:
    return Mash(
        grist=grist(plan, figures),
        litres=plan.liquor.mash_l or 0.0,
        liquor=liquor,
        carbonate_kept=figures["mash.carbonate_kept"],
        calcium_divisor=figures["mash.calcium_divisor"],
        magnesium_divisor=figures["mash.magnesium_divisor"],
    )


def dosed(
    plan: Plan, figures: Mapping[str, Array], water: Solution, doses_into: Sequence[DoseInto]
) -> Solution:
    """Mash or rinse liquor made of this water, with its doses that went in so far."""
    litres = (plan.liquor.rinse_l if "rinse" in doses_into else plan.liquor.mash_l) or 0.0
    return with_doses(water, [d for d in plan.liquor.doses if d.into in doses_into], figures, litres)


def with_doses(
    liquor: Solution, doses: Iterable[Dose], figures: Mapping[str, Array], litres: float
) -> Solution:
    """The liquor with doses dissolved in so many litres of it."""
    grams: dict[str, float] = {}
    for dose in doses:
        if dose.kind == "salt":
            grams[dose.of] = grams.get(dose.of, 0.0) + dose.amount / litres
        else:
            acid = acid_of(dose.of)
            mmol = millimoles(acid, dose.amount, strength_of(acid.kind, figures)) / litres
            liquor = with_acid(liquor, acid.kind, mmol)
    acting = {key: figures.get(f"salt.{key}.acting", SALTS[key].acting[0]) for key in grams}
    return with_salts(liquor, grams, acting)


def strength_of(kind: str, figures: Mapping[str, Array]) -> Value:
    """What an acid of this kind holds of its label."""
    return figures.get(f"acid.{kind}.strength", STRENGTH["other"][0])


def drawn(plan: Plan, brewery: Brewery, figures: Mapping[str, Array]) -> Solution:
    """The liquor as it is drawn and mixed, its chlorine taken out, nothing dosed yet."""
    parts = []
    for water, share in waters_drawn(plan, brewery):
        source = reported(water, brewery)
        solution = _as_drawn(source, figures)
        if water.membrane_of:
            passed = figures.get(f"water.{water.key}.passed", 0.0)
            solution = reverse_osmosis(solution, passed)
        parts.append((share, _without_chlorine(solution, water, plan.liquor.against_chlorine)))
    return parts[0][1] if len(parts) == 1 else mixed(parts)


def _as_drawn(water: Water, figures: Mapping[str, Array]) -> Solution:
    """A reported water as strong as it runs on the day; carbonate goes with its alkalinity."""
    at_rest = solution_of(water)
    strength = figures[f"water.{water.key}.strength"]
    alkaline = strength * figures[f"water.{water.key}.alkalinity"]
    factors = {"alkalinity": alkaline, "carbonate": alkaline}
    totals = {f.name: getattr(at_rest, f.name) for f in fields(Solution)}
    return Solution(**{name: total * factors.get(name, strength) for name, total in totals.items() if total})


@lru_cache(maxsize=64)
def report_of(water: Water) -> Report:
    """The water that a report tells.  Raises `Refused` with all that cannot be in it, by water and line."""
    try:
        return read_report([Entry(line.what, line.value, line.unit) for line in water.report])
    except Refused as refused:
        at = f"waters.{water.key}.report"
        raise Refused(
            [replace(p, where=f"{at}.{p.where.replace(' ', '_')}") for p in refused.problems]
        ) from None


@lru_cache(maxsize=64)
def solution_of(water: Water) -> Solution:
    """The same as totals.  Raises `Refused`, `OutsideValidity`."""
    return report_of(water).solution()


def _without_chlorine(liquor: Solution, water: Water, agent: AgainstChlorine) -> Solution:
    chlorine = water.chlorine_mg_per_l
    if not chlorine:
        return liquor
    grams = agent_grams(agent, chlorine, 1.0, chloramine=water.chloramine)
    left = left_behind(agent, chlorine, grams, chloramine=water.chloramine)
    gained = {
        "sulphate": left.sulphate_mg,
        "chloride": left.chloride_mg,
        "sodium": left.sodium_mg,
        "potassium": left.potassium_mg,
    }
    more = {ion: mg / MOLAR_MASS[ion] for ion, mg in gained.items()}
    return liquor.plus(alkalinity=-left.alkalinity_used_meq, **more)


def chlorine_powder_g(plan: Plan, brewery: Brewery, litres: float) -> float:
    """Metabisulphite that takes the chlorine out of so much liquor. [g]"""
    return sum(
        float(
            np.asarray(
                agent_grams(
                    plan.liquor.against_chlorine,
                    water.chlorine_mg_per_l,
                    litres * share,
                    chloramine=water.chloramine,
                )
            )
        )
        for water, share in waters_drawn(plan, brewery)
        if water.chlorine_mg_per_l
    )
