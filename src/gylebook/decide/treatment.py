"""Dose the liquor: purer water and salts for its ions, acid or alkali for the mash pH, acid for the rinse.

In:  a plan whose grain and liquor are known, a brewery, and latents to draw its figures from.
Out: the plan with its doses, as fine as they can be weighed and measured.

Idea: what the brewer dosed stays as it is; only what a wish asks for and nobody dosed is found.  Of the acid
a quarter is held back until the pH was read, since malt is known to 0.15 before and an overshot mash is hard
to mend.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.brewery.water import Dose, DoseInto, DoseKind, IonAim
from gylebook.decide.openings import RINSING
from gylebook.figures.draws import Array
from gylebook.gyle import dosing
from gylebook.gyle.forecast import Model
from gylebook.gyle.liquor import knows_water

HELD_BACK = 0.25  # of the acid or alkali for the mash; common practice gives 70 to 80 % at first
LEAST_HELD_BACK = 5  # steps of scale or measure; less is not worth a second pouring
WITHIN_PH = 0.1  # of the target, what counts as landed


def treats(plan: Plan) -> bool:
    """Whether the plan has a wish of its liquor that a dose could meet."""
    liquor = plan.liquor
    wishes = liquor.ions or liquor.rinse_ions or liquor.diluted_with or liquor.doses
    return bool(wishes) or _sours(plan)


def _sours(plan: Plan) -> bool:
    return plan.aims.mash_ph is not None or plan.liquor.rinse_alkalinity is not None


def with_doses(plan: Plan, brewery: Brewery, latents: Array) -> Plan:
    """The plan with all the doses its wishes ask for.

    Raises `Refused` for doses, given or found, that nobody can mean.
    """
    if not (treats(plan) and knows_water(plan, brewery)):
        return plan
    plan = _diluted(plan, brewery, latents)
    for into in ("mash", "rinse"):
        plan = _with_salts(plan, brewery, latents, into)
    plan = _with_mash_ph(plan, brewery, latents)
    plan = _with_rinse_acid(plan, brewery, latents)
    model = Model(plan, brewery)
    dosing.hold_doses(plan, brewery, model.draw(latents))
    return plan


def _diluted(plan: Plan, brewery: Brewery, latents: Array) -> Plan:
    """The plan with the share of purer water that its ions ask for; both waters stay in it."""
    liquor = plan.liquor
    if liquor.diluted_with is None:
        return plan
    figures = Model(plan, brewery).draw(latents)
    share = dosing.dilution_wanted(plan, brewery, figures, liquor.ions)
    share = round(share, 2)
    base = [(key, part * (1.0 - share)) for key, part in liquor.waters or ((brewery.water or "", 1.0),)]
    waters = (*base, (liquor.diluted_with, share))
    return replace(plan, liquor=replace(liquor, waters=waters, diluted_with=None))


def _with_salts(plan: Plan, brewery: Brewery, latents: Array, into: DoseInto) -> Plan:
    wanted = ions_wanted(plan, into)
    litres = plan.liquor.mash_l if into == "mash" else plan.liquor.rinse_l
    if not wanted or not litres or _dosed(plan, "salt", into):
        return plan
    found = dosing.salts_wanted(plan, brewery, Model(plan, brewery).draw(latents), wanted)
    doses = [
        Dose(of=key, kind="salt", into=into, amount=grams * litres)
        for key, grams in found.grams_per_l.items()
    ]
    return _with(plan, brewery, doses)


def ions_wanted(plan: Plan, into: DoseInto) -> tuple[IonAim, ...]:
    """What the ions of mash or rinse liquor are to be."""
    liquor = plan.liquor
    return liquor.rinse_ions or liquor.ions if into == "rinse" else liquor.ions


def _with_mash_ph(plan: Plan, brewery: Brewery, latents: Array) -> Plan:
    if plan.aims.mash_ph is None or not plan.grist or _dosed(plan, "acid", "mash") or _alkali(plan):
        return plan
    doses = to_mash_ph(plan, brewery, latents, ("mash",))
    split: list[Dose] = []
    for dose in doses:
        later = HELD_BACK * dose.amount
        if later < LEAST_HELD_BACK * dosing.step_of(dose, brewery):
            split.append(dose)
            continue
        split += [replace(dose, amount=dose.amount - later), replace(dose, into="held back", amount=later)]
    return _with(plan, brewery, split)


def to_mash_ph(plan: Plan, brewery: Brewery, latents: Array, gone_in: tuple[DoseInto, ...]) -> list[Dose]:
    """The acid or alkali, beside the doses that have gone in, that brings the mash to its aim; none at it."""
    target = plan.aims.mash_ph or 0.0
    figures = Model(plan, brewery).draw(latents)
    acid_ml = float(np.median(dosing.acid_wanted_ml(plan, brewery, figures, target, gone_in)))
    if acid_ml > 0.0:
        return [Dose(of=plan.liquor.acid, kind="acid", into="mash", amount=acid_ml)]
    if not plan.liquor.alkali:
        return []
    grams = float(np.median(dosing.alkali_wanted_g(plan, brewery, figures, target, gone_in)))
    return [Dose(of=plan.liquor.alkali, kind="salt", into="mash", amount=grams)] if grams > 0.0 else []


def _with_rinse_acid(plan: Plan, brewery: Brewery, latents: Array) -> Plan:
    rinses = plan.process.kind in RINSING and plan.liquor.rinse_l
    if not (rinses and _sours(plan)) or _dosed(plan, "acid", "rinse"):
        return plan
    ml = float(dosing.rinse_acid_wanted_ml(plan, brewery, Model(plan, brewery).draw(latents)))
    return _with(plan, brewery, [Dose(of=plan.liquor.acid, kind="acid", into="rinse", amount=ml)])


def _dosed(plan: Plan, kind: DoseKind, into: DoseInto) -> bool:
    """Whether the brewer dosed that already; alkali counts for the pH, not for the ions."""
    alkali = plan.liquor.alkali
    return any(d.kind == kind and d.into == into and d.of != alkali for d in plan.liquor.doses)


def _alkali(plan: Plan) -> bool:
    return any(dose.of == plan.liquor.alkali and dose.into == "mash" for dose in plan.liquor.doses)


def _with(plan: Plan, brewery: Brewery, doses: list[Dose]) -> Plan:
    """The plan with these doses beside its own, each as it can be measured; what rounds away is left out."""
    measured = [replace(dose, amount=dosing.as_weighed(dose, brewery).grams) for dose in doses]
    kept = tuple(dose for dose in measured if dose.amount > 0.0)
    return replace(plan, liquor=replace(plan.liquor, doses=(*plan.liquor.doses, *kept)))


def finishing(plan: Plan, brewery: Brewery, latents: Array, *, corrected: bool) -> Plan | None:
    """The plan with what is left to dose once the mash pH was read; None where that is what it has already.

    `corrected`: what was held back has gone in too, so that whatever is found comes on top.
    """
    if plan.aims.mash_ph is None or not plan.grist or not knows_water(plan, brewery):
        return None
    gone_in: tuple[DoseInto, ...] = ("mash", "held back") if corrected else ("mash",)
    left = [
        dose for dose in plan.liquor.doses if dose.into in gone_in or dose.into not in ("mash", "held back")
    ]
    bare = replace(plan, liquor=replace(plan.liquor, doses=tuple(left)))
    more = [replace(dose, into="held back") for dose in to_mash_ph(bare, brewery, latents, gone_in)]
    finished = _with(bare, brewery, more)
    return None if finished.liquor.doses == plan.liquor.doses else finished
