"""Tell what was solved.

In:  an `Outlook`.  Out: the solved plan as a file's text, and its amounts by name.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from gylebook.brewery.plan import Plan
from gylebook.exchange.plan_writer import write_plan
from gylebook.exchange.substances import substance_name
from gylebook.gyle.dosing import is_poured
from gylebook.gyle.pitch import dried_extract_kg
from gylebook.tasks.outlook import Outlook


def solved_text(outlook: Outlook) -> str:
    """The plan with every amount, as a plan file to edit by hand: amounts as fine as they can be weighed."""
    return write_plan(weighable(outlook.plan))


def weighable(plan: Plan) -> Plan:
    """Grain to the gram, hops to a tenth of one, liquor and starters to ten millilitres."""
    return replace(
        plan,
        aims=replace(plan.aims, plato=_rounded(plan.aims.plato, 3)),
        grist=tuple(replace(g, mass_kg=_rounded(g.mass_kg, 3)) for g in plan.grist),
        liquor=replace(
            plan.liquor,
            mash_l=_rounded(plan.liquor.mash_l, 2),
            rinse_l=_rounded(plan.liquor.rinse_l, 2),
        ),
        hops=tuple(replace(h, mass_kg=_rounded(h.mass_kg, 4)) for h in plan.hops),
        starters=tuple(replace(s, volume_l=_rounded(s.volume_l, 2)) for s in plan.starters),
    )


def _rounded(value: float | None, digits: int) -> float | None:
    return None if value is None else round(value, digits)


def amounts_answer(outlook: Outlook) -> dict[str, Any]:
    """Every amount of the solved plan in base units. [kg, L]"""
    plan = outlook.plan
    return {
        "grist": [{"grain": g.name, "mass_kg": g.mass_kg} for g in plan.grist],
        "liquor": {
            "mash_l": plan.liquor.mash_l,
            "rinse_l": plan.liquor.rinse_l,
            "kettle_l": plan.liquor.kettle_l,
        },
        "strike_temperature_c": outlook.numbers["mash.strike_temperature_c"].median if plan.grist else None,
        "doses": [
            {
                "of": substance_name(dose.of),
                "into": dose.into,
                "mass_kg": None if is_poured(dose) else dose.amount / 1000.0,
                "volume_l": dose.amount / 1000.0 if is_poured(dose) else None,
            }
            for dose in plan.liquor.doses
        ],
        "hops": [
            {"variety": h.variety, "use": h.use, "minutes": h.minutes, "mass_kg": h.mass_kg}
            for h in plan.hops
        ],
        "additions": [{"name": a.name, "at": a.at, "mass_kg": a.mass_kg} for a in plan.additions],
        "starters": [
            {"name": s.key, "volume_l": s.volume_l, "extract_kg": dried_extract_kg(s)} for s in plan.starters
        ],
    }
