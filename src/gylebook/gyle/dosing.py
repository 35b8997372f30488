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
from gylebook.gyle.liquor import INTO_MASH_IN_ALL, TREATED_C, dosed, drawn, mash_of, strength_of
from gylebook.matter.acids import protons_given
from gylebook.matter.equilibria import ph_of
from gylebook.matter.ions import CACO3_MASS, MOLAR_MASS
from gylebook.matter.solution import Solution
from gylebook.matter.titration import STRONG_ACIDS
from gylebook.process.acid_doses import acid_of, hold_to_reason, millilitres, millimoles
from gylebook.process.mash_ph import acid_for_mash, alkali_for_mash, buffering, hold_above_least, mash_ph
from gylebook.process.rinse_liquor import ALKALINITY_LEFT, acid_for_rinse
from gylebook.process.salt_doses import TOLERANCE, Aim, Doses, aims, salt_doses
from gylebook.process.salts import SALTS, Weighed, hold_to_solubility, weighed

SIMPLER = 0.5  # of a tolerance, by which fewer salts may miss more: the water itself is not known better
MOST_INTO_KETTLE = 5.0  # mEq/L: moves a wort by a quarter of a pH or so; common practice
UNASKED = 2.0  # how much further than usual an ion may stray that no aim names; judgement


def salts_wanted(
    plan: Plan,
    brewery: Brewery,
    figures: Mapping[str, Array],
    wanted: tuple[IonAim, ...],
    into: tuple[DoseInto, ...],
) -> Doses:
    """Salts for a litre of the liquor that bring its ions as near as they come to those wanted. [g/L]

    What is dosed `into` it already counts.  Sodium and magnesium that nobody asked for are to stay as they
    are, though less strictly.
    """
    liquor = middle_of(dosed(plan, figures, drawn(plan, brewery, figures), into))
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


def mash_ph_after(
    plan: Plan, brewery: Brewery, figures: Mapping[str, Array], doses_into: tuple[DoseInto, ...]
) -> Array:
    """pH of the mash, cooled, with the doses that went in so far. []"""
    return mash_ph(mash_of(plan, brewery, figures, doses_into))


def brings_an_ion(acid: str) -> bool:
    """Whether an acid leaves an ion that a plan may aim at: chloride or sulphate."""
    return acid_of(acid).kind in STRONG_ACIDS


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
    mash = mash_of(plan, brewery, figures, INTO_MASH_IN_ALL)
    return buffering(mash, mash_ph(mash))


def rinse_acid_wanted_ml(plan: Plan, brewery: Brewery, figures: Mapping[str, Array]) -> Array:
    """Acid for all the rinse liquor that leaves it no more alkalinity than wanted. [mL, or g of crystals]"""
    acid = acid_of(plan.liquor.acid)
    liquor = middle_of(dosed(plan, figures, drawn(plan, brewery, figures), ("rinse",)))
    left = plan.liquor.rinse_alkalinity
    found = acid_for_rinse(liquor, acid.kind, ALKALINITY_LEFT if left is None else left)
    mmol = found.mmol_per_l * (plan.liquor.rinse_l or 0.0)
    return millilitres(acid, mmol, float(np.median(strength_of(acid.kind, figures))))


def as_weighed(dose: Dose, brewery: Brewery) -> Weighed:
    """A dose as the brewery's scale or measure shows it, with a caution where that is coarse. [g or mL]"""
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


def hold_doses(plan: Plan) -> None:
    """Refuse doses that nobody can mean, each by itself.

    Raises
    ------
    Refused
        With every such dose as understood: more acid than any liquor takes, more salt than dissolves, a place
        where there is no liquor.
    """
    liquor = plan.liquor
    litres = {
        "mash": liquor.mash_l or 0.0,
        "held back": liquor.mash_l or 0.0,
        "rinse": liquor.rinse_l or 0.0,
        "kettle": (liquor.mash_l or 0.0) + (liquor.rinse_l or 0.0) + liquor.kettle_l,
    }
    problems: list[Problem] = []
    for number, dose in enumerate(liquor.doses, 1):
        try:
            _hold(dose, litres[dose.into])
        except Refused as refused:
            problems += [
                Problem(f"dose {number}, {problem.where}", problem.understood, problem.accepted)
                for problem in refused.problems
            ]
    if problems:
        raise Refused(problems)


def hold_sourness(plan: Plan, brewery: Brewery, figures: Mapping[str, Array]) -> None:
    """Refuse doses that bring mash or rinse liquor below pH 4.5.  Raises `Refused`."""
    if not plan.liquor.doses:
        return
    water = drawn(plan, brewery, figures)
    if plan.grist:
        hold_above_least(mash_ph(mash_of(plan, brewery, figures, INTO_MASH_IN_ALL)))
    if any(dose.into == "rinse" and dose.kind == "acid" for dose in plan.liquor.doses):
        rinse = middle_of(dosed(plan, figures, water, ("rinse",)))
        hold_above_least(ph_of(rinse, TREATED_C), "rinse liquor")


def _hold(dose: Dose, litres: float) -> None:
    if not litres:
        understood = f"{dose.amount:g} of {dose.of} into a {dose.into} that has no liquor"
        raise Refused([Problem("into", understood, "put it into liquor that there is")])
    if dose.kind == "salt":
        hold_to_solubility(SALTS[dose.of], dose.amount / litres)
        return
    acid = acid_of(dose.of)
    hold_to_reason(acid, dose.amount, litres)
    charges = float(protons_given(acid.kind, 5.2) * millimoles(acid, dose.amount)) / litres
    if dose.into == "kettle" and charges > MOST_INTO_KETTLE:
        understood = f"{dose.amount:g} mL of {dose.of} into the kettle, {charges:.3g} mEq for each litre"
        accepted = f"a wort is given {MOST_INTO_KETTLE:g} mEq/L at most; what it does there is not forecast"
        raise Refused([Problem(f"acid {dose.of}", understood, accepted)])
