"""Write the plan for the other brewery as a file to edit by hand.

In:  `Adapted`.  Out: a plan file's text, every amount given and none finer than it can be measured out.
"""

from __future__ import annotations

from dataclasses import replace

from gylebook.brewery.plan import Plan, Portion
from gylebook.exchange.plan_writer import write_plan
from gylebook.tasks.adapt import Adapted
from gylebook.tasks.solved import weighable

# Digits: a millilitre, ten milligrams, a hundredth of a per cent, a hundredth of a pack.
LITRES, KILOGRAMS, SHARES, PACKS = 3, 5, 4, 2


def adapted_text(adapted: Adapted) -> str:
    """The plan for the other brewery, every amount given, as a plan file."""
    return write_plan(_measurable(weighable(adapted.outlook.plan)))


def _measurable(plan: Plan) -> Plan:
    """What was carried over by the litre, and therefore has come out as odd as the two brewings are."""
    aims = plan.aims
    return replace(
        plan,
        aims=replace(
            aims,
            volume_l=None if aims.volume_l is None else round(aims.volume_l, LITRES),
            bitterness_ibu=None if aims.bitterness_ibu is None else round(aims.bitterness_ibu, 1),
        ),
        liquor=replace(plan.liquor, kettle_l=round(plan.liquor.kettle_l, 2)),
        additions=tuple(replace(one, mass_kg=round(one.mass_kg, KILOGRAMS)) for one in plan.additions),
        starters=tuple(
            replace(
                one,
                first_steps_l=tuple(round(step, 2) for step in one.first_steps_l),
                slurry_l=round(one.slurry_l, LITRES),
            )
            for one in plan.starters
        ),
        portions=_portions(plan.portions),
        grain_teas=tuple(
            replace(one, mass_kg=round(one.mass_kg, KILOGRAMS), water_l=round(one.water_l, LITRES))
            for one in plan.grain_teas
        ),
        hop_teas=tuple(
            replace(
                one,
                mass_kg=round(one.mass_kg, KILOGRAMS),
                water_l=round(one.water_l, LITRES),
                boiled_off_l=round(one.boiled_off_l, LITRES),
            )
            for one in plan.hop_teas
        ),
    )


def _portions(portions: tuple[Portion, ...]) -> tuple[Portion, ...]:
    """Shares rounded so that they add up as they did, the last one taking what rounding leaves."""
    shares = [portion.share for portion in portions if portion.share is not None]
    rounded = [round(share, SHARES) for share in shares[:-1]]
    rounded += [round(sum(shares) - sum(rounded), SHARES)] if shares else []
    left = iter(rounded)
    return tuple(
        replace(
            portion,
            share=None if portion.share is None else next(left),
            volume_l=None if portion.volume_l is None else round(portion.volume_l, LITRES),
            top_up_l=round(portion.top_up_l, LITRES),
            yeast=replace(portion.yeast, packs=round(portion.yeast.packs, PACKS)),
        )
        for portion in portions
    )
