"""Say how far the mash pH lies from its aim, and what would finish it.

In:  a solved plan, the latents given all readings, the step last read.
Out: the expected loss by the mash pH, the odds of landing; the plan that finishes it.

Idea: the pH is a matter of the mash alone: before the grain is lifted a dose moves it, afterwards nothing
does, so it counts among losses only in between.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.brewery.water import Dose
from gylebook.decide.treatment import WITHIN_PH, finishing
from gylebook.figures.draws import Array, Value, odds
from gylebook.gyle.forecast import Model
from gylebook.gyle.liquor import knows_water, mash_phs

MOST_MOVED_PH = 0.3  # by one correction: twice what is left open before any reading; judgement
MASHING = ("mash", "mash end")  # last read: the mash stands and can still be dosed


def still_to_sour(plan: Plan, brewery: Brewery, last_step: str) -> bool:
    """Whether the mash pH is aimed at, known of, and still to be moved."""
    aimed = plan.aims.mash_ph is not None and bool(plan.grist)
    return aimed and last_step in MASHING and knows_water(plan, brewery)


def ph_loss(plan: Plan, brewery: Brewery, latents: Array) -> float:
    """Mean squared miss of the mash pH, in what counts as landed."""
    off = (_final_ph(plan, brewery, latents) - (plan.aims.mash_ph or 0.0)) / WITHIN_PH
    return float(np.mean(np.square(off)))


def odds_landed(plan: Plan, ph: Value) -> float | None:
    """Odds that the mash lands within 0.1 of its aim; None where there is none."""
    aim = plan.aims.mash_ph
    return None if aim is None else odds(np.abs(np.asarray(ph) - aim) <= WITHIN_PH)


def finished(
    plan: Plan, brewery: Brewery, latents: Array, last_step: str
) -> tuple[Plan, tuple[Dose, ...]] | None:
    """The plan whose last doses finish the mash pH, and those doses; None where nothing is to be changed."""
    changed = finishing(plan, brewery, latents, corrected=last_step == "mash end")
    if changed is None:
        return None
    before = plan.liquor.doses if last_step == "mash end" else ()
    held = [dose for dose in changed.liquor.doses if dose.into == "held back" and dose not in before]
    return changed, tuple(dose for dose in held if dose.of in (plan.liquor.acid, plan.liquor.alkali))


def too_far(plan: Plan, brewery: Brewery, latents: Array) -> bool:
    """Whether the mash lies further from its aim than one dose should move it, so that one reads again."""
    off = np.median(_final_ph(plan, brewery, latents)) - (plan.aims.mash_ph or 0.0)
    return bool(abs(off) > MOST_MOVED_PH)


def _final_ph(plan: Plan, brewery: Brewery, latents: Array) -> Array:
    figures: Mapping[str, Array] = Model(plan, brewery).draw(latents)
    return np.asarray(mash_phs(plan, brewery, figures)[0])
