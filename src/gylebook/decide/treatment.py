"""Dose the liquor: purer water and salts for its ions, acid or alkali for the mash pH, acid for the rinse.

In:  a plan whose grain and liquor are known, a brewery, and latents to draw its figures from.
Out: the plan with its doses, as fine as they can be weighed and measured.

Idea: what the brewer dosed stays as it is, and where he put salts, or acid, none is found beside it.  Of the
acid a quarter is held back until the pH was read, since malt is known to 0.15 before and an overshot mash is
hard to mend.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.brewery.water import Dose, DoseInto, IonAim
from gylebook.decide.openings import RINSING
from gylebook.figures.draws import Array
from gylebook.gyle import dosing
from gylebook.gyle.forecast import Model
from gylebook.gyle.liquor import INTO_MASH, INTO_MASH_IN_ALL, knows_water

HELD_BACK = 0.25  # of the acid or alkali for the mash; common practice gives 70 to 80 % at first
LEAST_HELD_BACK = 5  # steps of scale or measure; less is not worth a second pouring
A_FEW = 10  # steps, below which rounding up could turn soft liquor sour
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

    An acid that brings an ion (hydrochloric, sulphuric) is found twice, the salts in between counting what it
    brought.  Raises `Refused` for doses, given or found, that nobody can mean.
    """
    if not (treats(plan) and knows_water(plan, brewery)):
        return plan
    dosing.hold_doses(plan)
    plan = _diluted(plan, brewery, latents)
    found = _dosed(plan, brewery, latents, ())
    if dosing.brings_an_ion(plan.liquor.acid):
        own = plan.liquor.doses
        acids = [d for d in found.liquor.doses if d.kind == "acid" and d not in own]
        found = _dosed(plan, brewery, latents, tuple(acids))
    dosing.hold_doses(found)
    dosing.hold_sourness(found, brewery, Model(found, brewery).draw(latents))
    return found


def _dosed(plan: Plan, brewery: Brewery, latents: Array, expected: tuple[Dose, ...]) -> Plan:
    """The plan with salts, then acid; `expected` is the acid that the salts have to reckon with."""
    own = plan.liquor.doses
    for into in (INTO_MASH_IN_ALL, ("rinse",)):
        plan = _with_salts(plan, brewery, latents, into, own, expected)
    plan = _with_mash_ph(plan, brewery, latents, own)
    return _with_rinse_acid(plan, brewery, latents, own)


def _diluted(plan: Plan, brewery: Brewery, latents: Array) -> Plan:
    """The plan with the share of purer water that its ions ask for; both waters stay in it."""
    liquor = plan.liquor
    if liquor.diluted_with is None:
        return plan
    figures = Model(plan, brewery).draw(latents)
    share = round(dosing.dilution_wanted(plan, brewery, figures, liquor.ions), 2)
    base = liquor.waters or ((brewery.water or "", 1.0),)
    waters = [(key, round(part * (1.0 - share), 4)) for key, part in base]
    return replace(
        plan, liquor=replace(liquor, waters=(*waters, (liquor.diluted_with, share)), diluted_with=None)
    )


def _with_salts(
    plan: Plan,
    brewery: Brewery,
    latents: Array,
    into: tuple[DoseInto, ...],
    own: tuple[Dose, ...],
    expected: tuple[Dose, ...],
) -> Plan:
    wanted = ions_wanted(plan, into[0])
    litres = plan.liquor.mash_l if into[0] == "mash" else plan.liquor.rinse_l
    dosed = any(d.kind == "salt" and d.into in into and d.of != plan.liquor.alkali for d in own)
    if not wanted or not litres or dosed:
        return plan
    reckoned = replace(plan, liquor=replace(plan.liquor, doses=(*plan.liquor.doses, *expected)))
    figures = Model(plan, brewery).draw(latents)
    found = dosing.salts_wanted(reckoned, brewery, figures, wanted, into)
    doses = [
        Dose(of=key, kind="salt", into=into[0], amount=grams * litres)
        for key, grams in found.grams_per_l.items()
    ]
    return _with(plan, brewery, doses)


def ions_wanted(plan: Plan, into: DoseInto) -> tuple[IonAim, ...]:
    """What the ions of mash or rinse liquor are to be."""
    liquor = plan.liquor
    return liquor.rinse_ions or liquor.ions if into == "rinse" else liquor.ions


def _with_mash_ph(plan: Plan, brewery: Brewery, latents: Array, own: tuple[Dose, ...]) -> Plan:
    dosed = any(d.into in INTO_MASH_IN_ALL and _moves_ph(d, plan) for d in own)
    if plan.aims.mash_ph is None or not plan.grist or dosed:
        return plan
    split: list[Dose] = []
    for dose in to_mash_ph(plan, brewery, latents, INTO_MASH):
        later = HELD_BACK * dose.amount
        if later < LEAST_HELD_BACK * dosing.step_of(dose, brewery):
            split.append(dose)
            continue
        split += [replace(dose, amount=dose.amount - later), replace(dose, into="held back", amount=later)]
    return _with(plan, brewery, split)


def _moves_ph(dose: Dose, plan: Plan) -> bool:
    return dose.kind == "acid" or dose.of == plan.liquor.alkali


def to_mash_ph(
    plan: Plan, brewery: Brewery, latents: Array, gone_in: tuple[DoseInto, ...], bearable: float = 0.0
) -> list[Dose]:
    """The acid or alkali, beside the doses that have gone in, that brings the mash to its aim; none at it.

    A mash more sour than its aim by no more than is `bearable` gets no alkali.
    """
    target = plan.aims.mash_ph or 0.0
    figures = Model(plan, brewery).draw(latents)
    acid_ml = float(np.median(dosing.acid_wanted_ml(plan, brewery, figures, target, gone_in)))
    if acid_ml > 0.0:
        return [Dose(of=plan.liquor.acid, kind="acid", into="mash", amount=acid_ml)]
    off = target - float(np.median(dosing.mash_ph_after(plan, brewery, figures, gone_in)))
    if not plan.liquor.alkali or off <= bearable:
        return []
    grams = float(np.median(dosing.alkali_wanted_g(plan, brewery, figures, target, gone_in)))
    return [Dose(of=plan.liquor.alkali, kind="salt", into="mash", amount=grams)] if grams > 0.0 else []


def _with_rinse_acid(plan: Plan, brewery: Brewery, latents: Array, own: tuple[Dose, ...]) -> Plan:
    """Acid for the rinse; a few drops are measured down and never up, as one more sours soft liquor."""
    rinses = plan.process.kind in RINSING and plan.liquor.rinse_l
    if not (rinses and _sours(plan)) or any(d.kind == "acid" and d.into == "rinse" for d in own):
        return plan
    ml = float(dosing.rinse_acid_wanted_ml(plan, brewery, Model(plan, brewery).draw(latents)))
    dose = Dose(of=plan.liquor.acid, kind="acid", into="rinse", amount=ml)
    step = dosing.step_of(dose, brewery)
    if ml < A_FEW * step:
        dose = replace(dose, amount=step * math.floor(ml / step + 1e-9))
    return _with(plan, brewery, [dose])


def _with(plan: Plan, brewery: Brewery, doses: list[Dose]) -> Plan:
    """The plan with these doses beside its own, each as it can be measured; what rounds away is left out."""
    measured = [replace(dose, amount=dosing.as_weighed(dose, brewery).grams) for dose in doses]
    kept = tuple(dose for dose in measured if dose.amount > 0.0)
    return replace(plan, liquor=replace(plan.liquor, doses=(*plan.liquor.doses, *kept)))


def finishing(plan: Plan, brewery: Brewery, latents: Array, *, corrected: bool) -> Plan | None:
    """The plan with what is left to dose once the mash pH was read; None where that is what it has already.

    `corrected`: what was held back has gone in too, so that whatever is found comes on top.  Salts and acids
    of the brewer's own that are held back stay.
    """
    if plan.aims.mash_ph is None or not plan.grist or not knows_water(plan, brewery):
        return None
    at_hand = (plan.liquor.acid, plan.liquor.alkali)
    waits = [] if corrected else [d for d in plan.liquor.doses if d.into == "held back" and d.of in at_hand]
    bare = without(plan, waits)
    gone_in: tuple[DoseInto, ...] = INTO_MASH_IN_ALL
    more = to_mash_ph(bare, brewery, latents, gone_in, WITHIN_PH)
    finished = _with(bare, brewery, [replace(dose, into="held back") for dose in more])
    return None if finished.liquor.doses == plan.liquor.doses else finished


def without(plan: Plan, doses: list[Dose]) -> Plan:
    """The plan without these doses."""
    kept = tuple(dose for dose in plan.liquor.doses if dose not in doses)
    return replace(plan, liquor=replace(plan.liquor, doses=kept))
