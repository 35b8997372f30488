"""Tell what was solved.

In:  an `Outlook`.  Out: the solved plan as a file's text, and its amounts by name.
"""

from __future__ import annotations

from typing import Any

from gylebook.exchange.plan_writer import write_plan
from gylebook.gyle.pitch import dried_extract_kg
from gylebook.tasks.outlook import Outlook


def solved_text(outlook: Outlook) -> str:
    """The plan with every amount, as a plan file."""
    return write_plan(outlook.plan)


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
        "hops": [
            {"variety": h.variety, "use": h.use, "minutes": h.minutes, "mass_kg": h.mass_kg}
            for h in plan.hops
        ],
        "additions": [{"name": a.name, "at": a.at, "mass_kg": a.mass_kg} for a in plan.additions],
        "starters": [
            {"name": s.key, "volume_l": s.volume_l, "extract_kg": dried_extract_kg(s)} for s in plan.starters
        ],
    }
