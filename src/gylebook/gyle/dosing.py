"""Work out what the liquor still wants: salts, acid or alkali for the mash, acid for the rinse.

In:  plan, brewery and figures.
Out: amounts as draws or middles, in grams or millilitres; all that is wrong with doses somebody gave.

Idea: every question is the proton balance or the ions of `liquor` asked the other way round, so what is dosed
here is what the forecast finds again.  Which of them is asked, and how it is rounded, belongs to `decide`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.brewery.water import Dose, DoseInto, IonAim
from gylebook.errors import Problem, Refused
from gylebook.figures.draws import Array
from gylebook.gyle.liquor import drawn, mash_of, strength_of, with_doses
from gylebook.matter.ions import CACO3_MASS, MOLAR_MASS
from gylebook.matter.solution import Solution
from gylebook.process.acid_doses import acid_of, hold_to_reason, millilitres
from gylebook.process.mash_ph import acid_for_mash, alkali_for_mash, buffering, hold_above_least, mash_ph
from gylebook.process.rinse_liquor import ALKALINITY_LEFT, acid_for_rinse
from gylebook.process.salt_doses import TOLERANCE, Aim, Doses, aims, salt_doses
from gylebook.process.salts import SALTS, Weighed, hold_to_solubility, weighed

SIMPLER = 0.5  # of a tolerance, by which fewer salts may miss more: the water itself is not known better
UNASKED = 2.0  # how much further than usual an ion may stray that no aim names; judgement


def salts_wanted(
    plan: Plan, brewery: Brewery, figures: Mapping[str, Array], wanted: tuple[IonAim, ...]
) -> Doses:
    """Salts for a litre of the liquor that bring its ions as near as they come to those wanted. [g/L]

    Sodium and magnesium that nobody asked for are to stay as they are, though less strictly.
    """
    liquor = middle_of(drawn(plan, brewery, figures))
    return salt_doses(liquor, _targets(liquor, wanted), plan.liquor.salts, slack=SIMPLER)


def dilution_wanted(
    plan: Plan, brewery: Brewery, figures: Mapping[str, Array], wanted: tuple[IonAim, ...]
) -> float:
    """Share of the liquor to be replaced by the water it is diluted with, salts going in as well. [0..1]"""
    liquor = middle_of(drawn(plan, brewery, figures))
    other = replace(plan, liquor=replace(plan.liquor, waters=((plan.liquor.diluted_with or "", 1.0),)))
    purer = middle_of(drawn(other, brewery, figures))
    return salt_doses(liquor, _targets(liquor, wanted), plan.liquor.salts, purer, SIMPLER).purer_share


def _targets(liquor: Solution, wanted: tuple[IonAim, ...]) -> dict[str, Aim]:
    """The ions wanted as the chemistry counts them, and those nobody asked for. [mmol/L, mEq/L]"""
    targets = {aim.ion: aim.mg_per_l / _mg_of(aim.ion) for aim in wanted}
    bounds = {
        aim.ion: (aim.least / _mg_of(aim.ion), np.inf if aim.most is None else aim.most / _mg_of(aim.ion))
        for aim in wanted
    }
    unasked = {
        ion: Aim(float(np.asarray(getattr(liquor, ion))), UNASKED * TOLERANCE[ion])
        for ion in ("sodium", "magnesium")
        if ion not in targets
    }
    return {**aims(targets, bounds), **unasked}


def _mg_of(ion: str) -> float:
    """Milligrams of a millimole, or of a milliequivalent of alkalinity as CaCO3."""
    return CACO3_MASS / 2.0 if ion == "alkalinity" else MOLAR_MASS[ion]


def middle_of(liquor: Solution) -> Solution:
    """The middle of each total by itself."""
    return Solution(
        **{name: float(np.median(getattr(liquor, name))) for name in Solution.__dataclass_fields__}
    )


def acid_wanted_ml(
    plan: Plan,
    brewery: Brewery,
    figures: Mapping[str, Array],
    target: float,
    doses_into: tuple[DoseInto, ...],
) -> Array:
    """Acid that brings the mash to its target beside the doses that went in so far. [mL, or g of crystals]

    Below zero the mash is more sour already.
    """
    acid = acid_of(plan.liquor.acid)
    mash = mash_of(plan, brewery, figures, doses_into)
    mmol = acid_for_mash(mash, target, acid.kind)
    return millilitres(acid, mmol, strength_of(acid.kind, figures))


def alkali_wanted_g(
    plan: Plan,
    brewery: Brewery,
    figures: Mapping[str, Array],
    target: float,
    doses_into: tuple[DoseInto, ...],
) -> Array:
    """Alkali that brings the mash to its target beside the doses that went in so far. [g]"""
    key = plan.liquor.alkali
    acting = figures.get(f"salt.{key}.acting")
    return alkali_for_mash(mash_of(plan, brewery, figures, doses_into), target, key, acting)


def moves_by(plan: Plan, brewery: Brewery, figures: Mapping[str, Array]) -> Array:
    """Acid that moves the mash by one pH. [mEq/pH]"""
    mash = mash_of(plan, brewery, figures, ("mash", "held back"))
    return buffering(mash, mash_ph(mash))


def rinse_acid_wanted_ml(plan: Plan, brewery: Brewery, figures: Mapping[str, Array]) -> Array:
    """Acid for all the rinse liquor that leaves it no more alkalinity than wanted. [mL, or g of crystals]"""
    acid = acid_of(plan.liquor.acid)
    litres = plan.liquor.rinse_l or 0.0
    given = [dose for dose in plan.liquor.doses if dose.into == "rinse"]
    liquor = with_doses(middle_of(drawn(plan, brewery, figures)), given, figures, litres)
    left = plan.liquor.rinse_alkalinity
    found = acid_for_rinse(middle_of(liquor), acid.kind, ALKALINITY_LEFT if left is None else left)
    return millilitres(acid, found.mmol_per_l * litres, float(np.median(strength_of(acid.kind, figures))))


def as_weighed(dose: Dose, brewery: Brewery) -> Weighed:
    """A dose as the brewery's scale or measure can show it, with a caution where that is coarse."""
    return weighed(dose.amount, step_of(dose, brewery))


def step_of(dose: Dose, brewery: Brewery) -> float:
    """Step of what a dose is measured on. [g, mL of a poured acid]"""
    return brewery.measures_to_ml if is_poured(dose) else brewery.weighs_to_g


def is_poured(dose: Dose) -> bool:
    """Whether a dose is measured in millilitres: an acid that is no crystal."""
    return dose.kind == "acid" and acid_of(dose.of).percent < 100.0


def caution_of(dose: Dose) -> str:
    """Key of what can hurt about a dose as it is sold, or nothing."""
    return acid_of(dose.of).caution if dose.kind == "acid" else SALTS[dose.of].caution


def hold_doses(plan: Plan, brewery: Brewery, figures: Mapping[str, Array]) -> None:
    """Refuse doses that nobody can mean.

    Raises
    ------
    Refused
        With every dose as understood: more acid than any liquor takes, more salt than dissolves, a mash more
        sour than runs off.
    """
    problems: list[Problem] = []
    litres = {
        "mash": plan.liquor.mash_l or 0.0,
        "held back": plan.liquor.mash_l or 0.0,
        "rinse": plan.liquor.rinse_l or 0.0,
        "kettle": (plan.liquor.mash_l or 0.0) + (plan.liquor.rinse_l or 0.0) + plan.liquor.kettle_l,
    }
    for number, dose in enumerate(plan.liquor.doses, 1):
        try:
            _hold(dose, litres[dose.into])
        except Refused as refused:
            problems += [
                Problem(f"dose {number}, {problem.where}", problem.understood, problem.accepted)
                for problem in refused.problems
            ]
    if problems:
        raise Refused(problems)
    if plan.grist and plan.liquor.doses:
        hold_above_least(mash_ph(mash_of(plan, brewery, figures, ("mash", "held back"))))


def _hold(dose: Dose, litres: float) -> None:
    if not litres:
        understood = f"{dose.amount:g} of {dose.of} into a {dose.into} that has no liquor"
        raise Refused([Problem("into", understood, "put it into liquor that there is")])
    if dose.kind == "acid":
        hold_to_reason(acid_of(dose.of), dose.amount, litres)
    else:
        hold_to_solubility(SALTS[dose.of], dose.amount / litres)
