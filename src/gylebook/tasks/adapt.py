"""Brew the same beer on another brewery, or more or less of it on one's own.

In:  an outlook of the plan where it comes from, or a parcel from another brewer; the brewery it goes to.
Out: `Adapted`: what it was there, the outlook here, and what could not be kept.

Idea: `decide.adapt` opens the amounts, `look_ahead` solves them on the other brewery as it solves any plan;
what is left here are the three things that are no amount of the solver's: liquor for a mash as thick as it
was, the share of dark malts that keeps a colour, and how much extract a wort without grain takes.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from gylebook.brewery.beer import Beer, PortionOfBeer
from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.decide.adapt import DARK, carry_over, goes_by_kettle
from gylebook.decide.adapt_hops import is_late
from gylebook.decide.carried import Carried, Note, Wish
from gylebook.decide.hops import bitterness_of_each
from gylebook.decide.openings import RINSING
from gylebook.errors import NotConverged, Problem, Refused
from gylebook.figures.draws import Summary
from gylebook.gyle.liquor import knows_water
from gylebook.gyle.pitch import pitches, viable_cells
from gylebook.gyle.timing import timings
from gylebook.tasks.liquor import liquor_view
from gylebook.tasks.liquor_views import LiquorView
from gylebook.tasks.outlook import DRAWS, SEED, Outlook, look_ahead

IONS = ("calcium", "magnesium", "sodium", "chloride", "sulphate")
OF_THE_GYLE = (
    "fermenters.volume_l",
    "og",
    "ibu",
    "colour_srm",
    "mash.ph",
    "efficiency.kettle",
    "efficiency.fermenter",
    "kettle.boil_off_l_per_h",
)
OF_A_PORTION = ("volume_l", "og", "fg", "abv", "ibu", "colour_srm", "packaged_l")
LEAST_TIMES, MOST_TIMES = 0.02, 50.0  # the beer's own volume
MOST_DARK = 0.5  # of the grist, whatever the colour
ROUNDS = 4  # of solving anew, each some ten times closer
SAME, NEAR = 1e-3, 2e-4  # relative
SPLIT = ("mash brim", "mash thickness", "rinse vessel brim")  # limits that another split may keep


@dataclass(frozen=True, slots=True, kw_only=True)
class Brewed:
    """A plan where it comes from: as typed, as solved there, what it makes, and whose it is."""

    asked: Plan
    solved: Plan
    beer: Beer
    numbers: Mapping[str, Summary]
    whose: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Adapted:
    """The same beer on another brewery, where `wanted_l` of it were asked for."""

    before: Brewed
    wanted_l: float
    outlook: Outlook
    notes: tuple[Note, ...]


def brewed_of(outlook: Outlook) -> Brewed:
    """What a plan makes where it comes from."""
    return Brewed(
        asked=outlook.asked,
        solved=outlook.plan,
        beer=beer_of(outlook),
        numbers={name: outlook.numbers[name] for name in names_told(outlook.plan) if name in outlook.numbers},
        whose=outlook.brewery.name,
    )


def names_told(plan: Plan) -> tuple[str, ...]:
    """The numbers by which two brewers compare a beer."""
    own = (f"portion.{portion.key}.{name}" for portion in plan.portions for name in OF_A_PORTION)
    return (*OF_THE_GYLE, *own)


def beer_of(outlook: Outlook) -> Beer:
    """What must stay the same wherever this is brewed."""
    plan, brewery, numbers, odds = outlook.plan, outlook.brewery, outlook.numbers, outlook.plan.aims.odds
    volume = np.asarray(outlook.draws["fermenters.volume_l"])
    yeast = {pitch.key: pitch for pitch in pitches(plan, outlook.figures, outlook.course.portions)}
    pitched = pitched_of(outlook)
    knows = knows_water(plan, brewery) and bool(plan.grist)
    return Beer(
        volume_l=float(np.quantile(volume, 1.0 - odds)),
        kettle_l=numbers["kettle.end.volume_l"].median,
        plato=numbers["fermenters.plato"].median,
        ibu=numbers["ibu"].median,
        colour_srm=numbers["colour_srm"].median,
        mash_ph=numbers["mash.ph"].median if knows else None,
        ions=mash_ions(liquor_view(outlook)) if knows else (),
        hop_ibu=tuple(bitterness_of_each(plan, brewery).items()),
        late_ibu=late_bitterness(outlook),
        chill_min=chill_minutes(outlook),
        portions=tuple(
            PortionOfBeer(
                key=portion.key,
                volume_l=numbers[f"portion.{portion.key}.volume_l"].median,
                most_l=float(np.quantile(outlook.draws[f"portion.{portion.key}.volume_l"], odds)),
                pitched=pitched[portion.key],
                packs_needed=float(np.median(yeast[portion.key].needed))
                / (viable_cells(replace(portion.yeast, packs=1.0)) or 1.0),
            )
            for portion in plan.portions
        ),
    )


def mash_ions(view: LiquorView | None) -> tuple[tuple[str, float], ...]:
    """The ions of the mash liquor that brewers aim at; none where its water is not known. [mg/L]"""
    mash = [liquor.mg_per_l for liquor in view.liquors if liquor.where == "mash"] if view else []
    return tuple((ion, found[ion].median) for found in mash for ion in IONS if ion in found)


def pitched_of(outlook: Outlook) -> dict[str, float]:
    """Cells that each portion gets, of those that it needs."""
    given = pitches(outlook.plan, outlook.figures, outlook.course.portions)
    return {pitch.key: float(np.median(pitch.given / pitch.needed)) for pitch in given}


def late_bitterness(outlook: Outlook) -> float:
    """What late hops bring while the wort stands and cools, by the kinetics. [IBU]"""
    late = [hop.key for hop in outlook.plan.hops if is_late(hop) and hop.use != "dry"]
    if not late:
        return 0.0
    each = bitterness_of_each(replace(outlook.plan, bitterness_by="kinetics"), outlook.brewery)
    return sum(each[key] for key in late)


def chill_minutes(outlook: Outlook) -> float:
    """How long the wort takes to cool."""
    timed = timings(outlook.plan, outlook.brewery, outlook.course, outlook.figures)
    return float(np.median(timed["chill.minutes"]))


def adapt(
    before: Brewed,
    onto: Brewery,
    *,
    litres: float | None = None,
    times: float | None = None,
    keep_colour: bool = False,
    draws: int = DRAWS,
    seed: int = SEED,
) -> Adapted:
    """The beer on another brewery: as much of it as there, `litres`, or so many `times` as much.

    Grist keeps its shares; with `keep_colour` that of dark malts gives way, so that the colour stays.  Raises
    Refused for a size that nobody can mean, NotConverged where nothing makes this beer there.
    """
    wish = Wish(volume_l=_wanted_l(before.beer, litres, times))
    found = _looked(before, onto, wish, draws, seed)
    carried, outlook = found
    if not before.solved.grist:
        carried, outlook = _with_extract(before, onto, wish, found, draws, seed)
    elif keep_colour:
        carried, outlook = _with_colour(before, onto, wish, found, draws, seed)
    wanted_l = wish.volume_l or before.beer.volume_l
    return Adapted(before=before, wanted_l=wanted_l, outlook=outlook, notes=carried.notes)


def _wanted_l(beer: Beer, litres: float | None, times: float | None) -> float | None:
    if litres is not None and times is not None:
        raise Refused((Problem("--times", "was given with --litres", "give one of them"),))
    wanted = beer.volume_l * times if times is not None else litres
    if wanted is not None and not LEAST_TIMES <= wanted / beer.volume_l <= MOST_TIMES:
        least, most = (f"{beer.volume_l * bound:,.1f}" for bound in (LEAST_TIMES, MOST_TIMES))
        raise Refused((Problem("volume", f"{wanted:,.2f} L", f"from {least} L to {most} L of this beer"),))
    return wanted


def _looked(before: Brewed, onto: Brewery, wish: Wish, draws: int, seed: int) -> tuple[Carried, Outlook]:
    """Carried over and solved, the mash as thick as it was unless only another thickness fits the vessels."""
    opened = _solved(before, onto, wish, draws, seed)
    for _ in range(ROUNDS):
        better = _bettered(wish, onto, *opened)
        if better == wish:
            break
        wish, opened = better, _solved(before, onto, better, draws, seed)
    mashed, rinsed = before.solved.liquor.mash_l, before.solved.liquor.rinse_l
    if not (before.solved.grist and mashed and rinsed and opened[0].plan.process.kind in RINSING):
        return _settled(before, onto, wish, opened, None, draws, seed)
    try:
        found = _settled(before, onto, wish, opened, mashed / _grist_kg(before.solved), draws, seed)
    except NotConverged:
        return _settled(before, onto, wish, opened, None, draws, seed)
    if _fits(found[1]) or not _fits(opened[1]):
        return found
    free = _settled(before, onto, wish, opened, None, draws, seed)
    return free if _fits(free[1]) else found


def _settled(
    before: Brewed,
    onto: Brewery,
    wish: Wish,
    found: tuple[Carried, Outlook],
    l_per_kg: float | None,
    draws: int,
    seed: int,
) -> tuple[Carried, Outlook]:
    """Solved anew until what goes by the wort in the kettle fits it, and the mash is as thick as wanted."""
    for _ in range(ROUNDS):
        plan = found[1].plan
        taken = wish.kettle_times or (plan.aims.volume_l or 0.0) / before.beer.volume_l
        times = float(np.median(found[1].draws["kettle.end.volume_l"])) / before.beer.kettle_l
        thick = (plan.liquor.mash_l or 0.0) / _grist_kg(plan) if l_per_kg else None
        fits_kettle = abs(times / taken - 1.0) < NEAR or not goes_by_kettle(found[0].plan)
        if fits_kettle and (l_per_kg is None or thick is None or abs(thick / l_per_kg - 1.0) < NEAR):
            break
        mash_l = None if l_per_kg is None else l_per_kg * _grist_kg(plan)
        wish = replace(wish, kettle_times=times, mash_l=mash_l)
        found = _solved(before, onto, wish, draws, seed)
    return found


def _bettered(wish: Wish, onto: Brewery, carried: Carried, outlook: Outlook) -> Wish:
    """A wish that reckons with what the forecast there shows: how full fermenters get, what salts leave."""
    if any(note.kind == "portion smaller" for note in carried.notes):
        wish = replace(wish, swing=wish.swing * _swing(outlook))
    membranes = [water.key for water in onto.waters.values() if water.membrane_of]
    if membranes and carried.plan.liquor.diluted_with is None and not carried.plan.liquor.waters:
        found = liquor_view(outlook)
        outside = [ion for liquor in found.liquors[1:] for ion in liquor.outside] if found else []
        if any(ion.why == "in the water" for ion in outside) and membranes[0] != onto.water:
            wish = replace(wish, purer=membranes[0])
    return wish


def _swing(outlook: Outlook) -> float:
    """How many times its head room allows a portion reaches, the fullest of them; 1 where all keep theirs."""
    most = 1.0
    for limit in outlook.limits:
        if limit.name == "head room":
            reaches = outlook.draws[f"portion.{limit.portion}.volume_l"]
            allowed = float(np.median(limit.margin + reaches))
            sure = float(np.quantile(limit.margin, 1.0 - outlook.plan.aims.odds))
            most = max(most, (allowed - sure) / allowed)
    return most


def _grist_kg(plan: Plan) -> float:
    return sum(grain.mass_kg or 0.0 for grain in plan.grist)


def _fits(outlook: Outlook) -> bool:
    """Whether mash and rinse fit their vessels."""
    odds = outlook.plan.aims.odds
    return all(limit.odds_kept >= odds for limit in outlook.limits if limit.name in SPLIT)


def _solved(before: Brewed, onto: Brewery, wish: Wish, draws: int, seed: int) -> tuple[Carried, Outlook]:
    """Carried over and solved; where late hops alone are too bitter there, all hops give way alike."""
    carried = carry_over(before.beer, before.asked, before.solved, onto, wish)
    try:
        return carried, look_ahead(carried.plan, onto, draws=draws, seed=seed)
    except Refused as refused:
        if not wish.aroma or all(problem.where != "aims.bitterness" for problem in refused.problems):
            raise
        return _solved(before, onto, replace(wish, aroma=False), draws, seed)


def _with_extract(
    before: Brewed, onto: Brewery, wish: Wish, found: tuple[Carried, Outlook], draws: int, seed: int
) -> tuple[Carried, Outlook]:
    """A wort without grain, its extract such that the wanted volume is reached."""
    times = 1.0
    for _ in range(ROUNDS):
        carried, outlook = found
        aims = carried.plan.aims
        got = float(np.quantile(outlook.draws["fermenters.volume_l"], 1.0 - aims.odds))
        off = (aims.volume_l or got) / got
        if abs(off - 1.0) < SAME:
            return found
        times *= off
        found = _looked(before, onto, replace(wish, extract_times=times), draws, seed)
    return found


def _with_colour(
    before: Brewed, onto: Brewery, wish: Wish, found: tuple[Carried, Outlook], draws: int, seed: int
) -> tuple[Carried, Outlook]:
    """The share of dark malts that brings about the colour, by secants; as it was where there are none."""
    grist = before.solved.grist
    dark = sum(grain.mass_kg or 0.0 for grain in grist if grain.kind in DARK)
    most_times = MOST_DARK * _grist_kg(before.solved) / (dark or 1.0)

    def off(outlook: Outlook) -> float:
        return outlook.numbers["colour_srm"].median / before.beer.colour_srm - 1.0

    times, last, last_off = 1.0, 0.9, 0.0
    if not dark or abs(off(found[1])) < SAME:
        return found
    last_off = off(_looked(before, onto, replace(wish, dark_times=last), draws, seed)[1])
    for _ in range(ROUNDS):
        now = off(found[1])
        if abs(now) < SAME or now == last_off:
            break
        step = now * (times - last) / (now - last_off)
        last, last_off, times = times, now, min(max(times - step, 0.0), most_times)
        found = _looked(before, onto, replace(wish, dark_times=times), draws, seed)
    return found
