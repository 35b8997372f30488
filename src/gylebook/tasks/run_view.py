"""Sum an outlook up for the picture of the run.

In:  an `Outlook`.
Out: `RunView`: levels, masses, portions, limits and aims as summaries.

Idea: summaries are taken here, last of all, from joint draws; a face never sees an array.
"""

from __future__ import annotations

import math

import numpy as np

from gylebook.brewery.gear import Vessel
from gylebook.decide.souring import odds_landed
from gylebook.decide.targets import odds_to_the_mark
from gylebook.decide.treatment import WITHIN_PH
from gylebook.figures.draws import Value, odds, summarise
from gylebook.gyle.house import mash_vessel_of
from gylebook.gyle.limits import Limit
from gylebook.gyle.mash import WATER_20, mash_minutes
from gylebook.gyle.portions import PortionCourse
from gylebook.matter.extract import sg_from_plato
from gylebook.tasks.outlook import Outlook
from gylebook.tasks.views import AimView, BoundaryView, LimitView, PortionView, RunView, VesselView

GRAVITY_WITHIN, BITTERNESS_WITHIN = 0.003, 3.0  # how near an aim counts as met, SG and IBU


def run_view(outlook: Outlook) -> RunView:
    """All that the picture of the run shows."""
    plan, course, numbers = outlook.plan, outlook.course, outlook.numbers
    limits = limit_views(outlook)
    found = {(limit.name, limit.vessel): limit for limit in limits}
    brewery, mash = outlook.brewery, course.mash
    kettle = brewery.vessels[brewery.kettle]
    mashed_in = mash_vessel_of(plan, brewery)
    second = brewery.vessels[brewery.rinse] if brewery.rinse else None
    return RunView(
        name=plan.name,
        draws=outlook.latents.shape[0],
        readings=len(outlook.readings),
        volume_l=numbers["fermenters.volume_l"],
        og=numbers["og"],
        mash_c=plan.mash[0].temperature_c if mash else None,
        mash_minutes=mash_minutes(plan) if mash else 0.0,
        boil_minutes=plan.boil_minutes,
        boil_c=course.kettle.boil_c,
        chill_c=plan.chill_c,
        grain_kg=float(mash.grain_kg) if mash else sum(a.mass_kg for a in plan.additions if a.extract),
        mash_liquor_kg=(plan.liquor.mash_l or 0.0) * WATER_20,
        rinse_liquor_kg=(plan.liquor.rinse_l or 0.0) * WATER_20,
        kettle_liquor_kg=plan.liquor.kettle_l * WATER_20,
        mash=_vessel(mashed_in, mash.level_l, found.get(("mash brim", mashed_in.name)), float(mash.grain_kg))
        if mash
        else None,
        bag_kg=summarise(mash.lift_kg) if mash and plan.process.drain != "tun" else None,
        bag_limit=next((limit for limit in limits if limit.name == "bag weight"), None),
        rinse=_vessel(
            second, mash.rinse_level_l, found.get(("rinse vessel brim", second.name)), float(mash.grain_kg)
        )
        if mash is not None and second is not None and mash.rinse_level_l is not None
        else None,
        first_wort_kg=summarise(mash.first_wort.mass_kg) if mash else None,
        second_wort_kg=summarise(mash.second_wort.mass_kg) if mash and mash.second_wort else None,
        boil=_vessel(kettle, course.kettle.boil_level_l, found.get(("foam room", kettle.name))),
        steam_kg=summarise(course.kettle.steam_kg),
        stays_kg=summarise(course.kettle.stays_kg),
        portions=tuple(_portion(outlook, portion, limits) for portion in course.portions),
        limits=limits,
        aims=aim_views(outlook),
    )


def _vessel(vessel: Vessel, level_l: Value, limit: LimitView | None, grain_kg: float = 0.0) -> VesselView:
    return VesselView(
        name=vessel.name,
        capacity_l=vessel.capacity_l,
        level_l=summarise(level_l),
        limit=limit,
        litres_per_cm=_litres_per_cm(vessel),
        grain_kg=grain_kg,
    )


def _litres_per_cm(vessel: Vessel) -> float | None:
    """Litres that stand in a centimetre of a round vessel of known width."""
    return None if vessel.diameter_cm is None else math.pi * vessel.diameter_cm**2 / 4.0 / 1000.0


def limit_views(outlook: Outlook) -> tuple[LimitView, ...]:
    """Every limit with its odds, in the order of the day."""
    return tuple(limit_view(limit, outlook.plan.aims.odds) for limit in outlook.limits)


def boundary_view(outlook: Outlook, *, above: bool = False) -> BoundaryView | None:
    """What stops the plan, and how much of it the brewery can carry; None where nothing does.

    With `above` the most that it could carry is told also where all limits are kept.
    """
    found, wanted = outlook.most if above else outlook.boundary, outlook.asked.aims.volume_l
    if found is None or wanted is None:
        return None
    views = {(view.name, view.vessel): view for view in limit_views(outlook)}
    stopped = views.get((found.limit, found.vessel))
    if stopped is None:  # it belongs to a step that the day has left behind
        return None
    return BoundaryView(
        wanted_l=wanted,
        volume_l=found.volume_l,
        asked=outlook.asked.aims.odds,
        limit=stopped,
        short_by=found.short_by,
        others_fail=any(not x.sized and x.odds_kept < outlook.plan.aims.odds for x in outlook.limits),
    )


def limit_view(limit: Limit, asked: float) -> LimitView:
    """A limit, summed up."""
    return LimitView(
        name=limit.name,
        vessel=limit.vessel,
        odds_kept=limit.odds_kept,
        asked=asked,
        margin=summarise(limit.margin),
        unit=limit.unit,
        portion=limit.portion,
    )


def aim_views(outlook: Outlook) -> tuple[AimView, ...]:
    """How the forecast stands to each stated aim."""
    aims, draws = outlook.plan.aims, outlook.draws
    out = []
    if aims.volume_l is not None:
        volume = np.asarray(draws["fermenters.volume_l"])
        out.append(
            AimView(
                name="volume",
                aim=aims.volume_l,
                forecast=summarise(volume),
                odds=odds(volume >= aims.volume_l * (1.0 - 1e-6)),
                within=None,
                unit="L",
            )
        )
    for name, key, aim, within, unit in (
        (
            "gravity",
            "og",
            None if aims.plato is None else float(sg_from_plato(aims.plato)),
            GRAVITY_WITHIN,
            "SG",
        ),
        ("bitterness", "ibu", aims.bitterness_ibu, BITTERNESS_WITHIN, "IBU"),
    ):
        if aim is not None:
            near = np.abs(np.asarray(draws[key]) - aim) <= within
            out.append(
                AimView(
                    name=name,
                    aim=aim,
                    forecast=summarise(draws[key]),
                    odds=odds(near),
                    within=within,
                    unit=unit,
                )
            )
    liquor = outlook.liquor
    if aims.mash_ph is not None and liquor is not None and liquor.mash_ph is not None:
        out.append(
            AimView(
                name="mash pH",
                aim=aims.mash_ph,
                forecast=summarise(liquor.mash_ph),
                odds=odds_landed(outlook.plan, liquor.mash_ph) or 0.0,
                within=WITHIN_PH,
                unit="pH",
            )
        )
    return tuple(out)


def _portion(outlook: Outlook, course: PortionCourse, limits: tuple[LimitView, ...]) -> PortionView:
    portion, numbers = course.portion, outlook.numbers
    vessel = outlook.brewery.fermenters[portion.fermenter]
    own = tuple(
        view for limit, view in zip(outlook.limits, limits, strict=True) if limit.portion == portion.key
    )
    stem = f"portion.{portion.key}."
    marked = outlook.plan.aims.volume_l is not None
    return PortionView(
        key=portion.key,
        name=portion.name,
        fermenter=VesselView(
            name=vessel.name,
            capacity_l=vessel.capacity_l,
            level_l=numbers[stem + "volume_l"],
            limit=next((limit for limit in own if limit.name == "head room"), None),
        ),
        volume_l=numbers[stem + "volume_l"],
        og=numbers[stem + "og"],
        fg=numbers[stem + "fg"],
        abv=numbers[stem + "abv"],
        ibu=numbers[stem + "ibu"],
        packaged_l=numbers[stem + "packaged_l"],
        odds_to_the_mark=odds_to_the_mark(outlook.targets[portion.key], outlook.draws, portion.key)
        if marked
        else None,
        yeast=portion.yeast.kind,
        later=portion.later.kind if portion.later else None,
        package=portion.package.kind,
        limits=own,
    )
