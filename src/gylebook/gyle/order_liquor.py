"""Lay out what is done to the liquor: chlorine out, salts and acid in, the mash pH finished.

In:  the `Day`, and when the liquor begins to heat or the mash to rest.
Out: steps that run beside the heating and the rest; amounts and cautions for others.

Idea: everything is stirred into liquor that is still cool and warms while it dissolves; only what was held
back waits for the reading.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from gylebook.brewery.water import Dose, DoseInto
from gylebook.gyle.dosing import acid_wanted_ml, alkali_wanted_g, as_weighed, caution_of, is_poured
from gylebook.gyle.liquor import chlorine_powder_g, mash_phs
from gylebook.gyle.steps import Amount, Day, Dimension, Step
from gylebook.process.salts import weighed

DECHLORINE_MIN, DOSE_MIN, FINISH_MIN = 10.0, 5.0, 5.0
READ_PH_AFTER_MIN = 10.0  # of the first rest: stirred through, and the pH has come to stand; common practice
COARSE, COARSE_MEASURE = "coarse scale", "coarse measure"
READS_OFF = (-0.1, 0.0, 0.1, 0.2)  # from what is expected: the readings that an amount is told for


def liquor_amounts(day: Day) -> tuple[Amount, ...]:
    """All that is weighed for the liquor in the morning."""
    powder = _powder(day)
    return (*(() if powder is None else (powder,)), *(_amount(dose) for dose in day.plan.liquor.doses))


def liquor_cautions(day: Day) -> tuple[str, ...]:
    """What can hurt, or go wrong, while that is weighed."""
    return _cautions(day, day.plan.liquor.doses)


def treating(day: Day, start: float) -> list[Step]:
    """Take the chlorine out of all liquor, then dose that of the mash and of the rinse."""
    steps = []
    powder = _powder(day)
    if powder is not None:
        steps.append(
            Step(
                key="take the chlorine out",
                start_min=start,
                minutes=DECHLORINE_MIN,
                amounts=(powder,),
                cautions=("sulphite", *_too_little(day, powder)),
            )
        )
    at = steps[-1].end_min if steps else start
    return steps + [step for into in ("mash", "rinse") if (step := _dosing(day, into, at)) is not None]


def _dosing(day: Day, into: DoseInto, start: float) -> Step | None:
    doses = [dose for dose in day.plan.liquor.doses if dose.into == into]
    if not doses:
        return None
    return Step(
        key=f"dose the {into} liquor",
        start_min=start,
        minutes=DOSE_MIN,
        what="" if day.plan.grist else "no grain",
        amounts=tuple(_amount(dose) for dose in doses),
        cautions=_cautions(day, doses),
    )


def finishing(day: Day, rest_start: float, minutes: float) -> Step | None:
    """What was held back, once the pH was read; nothing where nothing was."""
    held = [dose for dose in day.plan.liquor.doses if dose.into == "held back"]
    if not held:
        return None
    return Step(
        key="finish the mash pH",
        start_min=rest_start + max(min(READ_PH_AFTER_MIN, minutes - FINISH_MIN), 0.0),
        minutes=FINISH_MIN,
        amounts=_by_what_it_reads(day, held),
        read=(("mash end", "ph"),),
        cautions=("scald", *_cautions(day, held)),
    )


def _by_what_it_reads(day: Day, held: list[Dose]) -> tuple[Amount, ...]:
    """How much the mash still wants for a few readings, so that paper knows it too.

    Reading and want are close to normal together, so the want is a straight line in the reading.
    """
    plan, target = day.plan, day.plan.aims.mash_ph
    meter = next((i for i in day.brewery.instruments.values() if i.kind == "ph meter"), None)
    ours = len(held) == 1 and held[0].of in (plan.liquor.acid, plan.liquor.alkali)
    if target is None or meter is None or not ours:
        return tuple(_amount(dose) for dose in held)
    first = mash_phs(plan, day.brewery, day.figures)[1]
    wants = acid_wanted_ml if held[0].kind == "acid" else alkali_wanted_g
    wanted = wants(plan, day.brewery, day.figures, target, ("mash",))
    together = np.cov(wanted, first)
    slope = together[0, 1] / (together[1, 1] + meter.error**2 + meter.bias**2)
    middle = float(np.mean(first))
    out = []
    for off in READS_OFF:
        reads = round(middle, 2) + (off if slope > 0.0 else -off)
        amount = max(float(np.mean(wanted)) + slope * (reads - middle), 0.0)
        measured = replace(held[0], amount=as_weighed(replace(held[0], amount=amount), day.brewery).grams)
        out.append(replace(_amount(measured), note="", at_ph=reads))
    return tuple(out)


def kettle_doses(day: Day) -> tuple[Amount, ...]:
    """What goes into the kettle as it heats."""
    return tuple(_amount(dose) for dose in _into_kettle(day))


def kettle_cautions(day: Day) -> tuple[str, ...]:
    """What can hurt about that."""
    return _cautions(day, _into_kettle(day))


def _into_kettle(day: Day) -> list[Dose]:
    return [dose for dose in day.plan.liquor.doses if dose.into == "kettle"]


def _powder(day: Day) -> Amount | None:
    liquor = day.plan.liquor
    litres = (liquor.mash_l or 0.0) + (liquor.rinse_l or 0.0) + liquor.kettle_l
    litres += sum(portion.top_up_l for portion in day.plan.portions)
    litres += sum(tea.water_l for tea in day.plan.grain_teas) + sum(
        tea.water_l for tea in day.plan.hop_teas if not tea.of_wort
    )
    grams = chlorine_powder_g(day.plan, day.brewery, litres)
    if not grams:
        return None
    return Amount(
        what=liquor.against_chlorine, amount=grams / 1000.0, dimension="dose mass", note="all liquor"
    )


def _too_little(day: Day, powder: Amount) -> tuple[str, ...]:
    caution = weighed(1000.0 * powder.amount, day.brewery.weighs_to_g).caution
    return ("stock",) if caution else ()


def _amount(dose: Dose) -> Amount:
    """Kilograms or litres of a dose, as every other amount."""
    dimension: Dimension = "dose volume" if is_poured(dose) else "dose mass"
    return Amount(what=dose.of, amount=dose.amount / 1000.0, dimension=dimension, note=dose.into)


def _cautions(day: Day, doses: tuple[Dose, ...] | list[Dose]) -> tuple[str, ...]:
    found = [caution_of(dose) for dose in doses]
    for dose in doses:
        if as_weighed(dose, day.brewery).caution:
            found.append(COARSE_MEASURE if is_poured(dose) else COARSE)
    return tuple(dict.fromkeys(caution for caution in found if caution))
