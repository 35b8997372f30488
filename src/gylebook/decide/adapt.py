"""Carry a beer over to another brewery: what belongs to the beer stays, what belongs to the gear is opened.

In:  the beer's own numbers, the plan as typed and as solved where it comes from, the brewery it goes to, and
     how much of it is wanted.
Out: `Carried`: a plan for that brewery with its amounts left open, and `Note`s of what could not be kept.

Idea: nothing is converted.  Gravity, shares of the grist, bitterness and each hop's part in it, ions, mash
pH, rests and pitch rate become aims; grain, liquor, bittering hops, doses and starters are then solved by the
same forward run as for any plan, with the other brewery's own figures.  What acts by its amount in the glass
(late and dry hops, sugars, teas, nutrients) goes by the litre of the wort that it goes into.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TypeVar

from gylebook.brewery.beer import Beer, PortionOfBeer
from gylebook.brewery.ingredients import Addition, Grain, GrainTea, HopTea, Starter, Yeast
from gylebook.brewery.plan import Aims, Blend, Liquor, Plan, Portion, Process, ProcessKind
from gylebook.brewery.site import Brewery
from gylebook.brewery.water import IonAim
from gylebook.decide.adapt_hops import hops_over
from gylebook.decide.carried import Carried, Note, Scale, Wish
from gylebook.decide.dividing import divided
from gylebook.decide.housing import housed
from gylebook.decide.openings import RINSING
from gylebook.gyle.limits import HEAD_ROOM

Tea = TypeVar("Tea", GrainTea, HopTea)

COMFORTABLE_L = 4.0  # of starter; a larger one is made from more packs; common practice
NEARLY = 0.05  # of a pack, for which no further one is opened; judgement
MET = 1e-3  # relative: an aim that was met so closely stays as it was typed
DARK = ("caramel", "roast")


def carry_over(beer: Beer, asked: Plan, solved: Plan, onto: Brewery, wish: Wish) -> Carried:
    """The plan of this beer for another brewery, its amounts open."""
    notes: list[Note] = []
    times = (wish.volume_l or beer.volume_l) / beer.volume_l
    found = divided(beer, asked, solved, _to_brim(beer, asked, times, wish.swing), onto.fermenters)
    beer, asked, solved = found.beer, found.asked, found.solved
    notes += found.notes
    parts = _housed(beer, asked, onto, times, wish.swing, notes)
    whole = sum(one.volume_l for one in beer.portions)
    kept = sum(one.volume_l * parts[one.key].times for one in beer.portions if one.key in parts)
    volume_l = beer.volume_l * kept / whole
    scale = Scale(
        all=volume_l / beer.volume_l,
        kettle=wish.kettle_times or volume_l / beer.volume_l,
        of={key: part.times for key, part in parts.items()},
    )
    process = _process(asked.process, onto, notes)
    hops, bitter = hops_over(beer, solved.hops, scale, wish, notes)
    plan = replace(
        asked,
        aims=_aims(beer, asked.aims, onto, volume_l, bitter),
        process=process,
        liquor=_liquor(beer, asked.liquor, onto, process, scale, wish, notes),
        grist=_grist(solved.grist, wish.dark_times),
        hops=hops,
        additions=_additions(solved, scale, wish),
        starters=tuple(_starter(one, scale) for one in asked.starters),
        portions=_portions(beer, asked, solved, parts),
        grain_teas=tuple(_tea(one, scale.of[one.at]) for one in asked.grain_teas if one.at in scale.of),
        hop_teas=tuple(_tea(one, scale.of[one.at]) for one in asked.hop_teas if one.at in scale.of),
        blends=tuple(_blends(asked.blends, scale)),
    )
    return Carried(plan=plan, notes=tuple(notes))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Part:
    """A portion's new fermenter, and how many times as much goes in."""

    fermenter: str
    times: float


def _housed(
    beer: Beer, asked: Plan, onto: Brewery, times: float, swing: float, notes: list[Note]
) -> dict[str, _Part]:
    """A fermenter for each portion; one too large for any is made smaller, one without any left out."""
    of_beer = {one.key: one for one in beer.portions}
    to_brim = _to_brim(beer, asked, times, swing)
    found = housed(to_brim, {p.key: p.fermenter for p in asked.portions}, onto.fermenters)
    parts = {}
    for portion in asked.portions:
        litres = of_beer[portion.key].volume_l
        if portion.key not in found:
            notes.append(
                Note(kind="portion left out", of=portion.name, before=litres * times, why="fermenter")
            )
            continue
        fermenter = onto.fermenters[found[portion.key]]
        fits = min(fermenter.capacity_l / to_brim[portion.key], 1.0)
        if fits < 1.0:
            notes.append(
                Note(
                    kind="portion smaller",
                    of=portion.name,
                    before=litres * times,
                    after=litres * times * fits,
                    why=fermenter.name,
                )
            )
        parts[portion.key] = _Part(fermenter=fermenter.key, times=times * fits)
    return parts


def _to_brim(beer: Beer, asked: Plan, times: float, swing: float) -> dict[str, float]:
    """What a portion's fermenter has to hold: the most of it, and the room above. [L]"""
    most_l = {one.key: one.most_l for one in beer.portions}
    return {p.key: most_l[p.key] * swing * times * (1.0 + _room(p)) for p in asked.portions}


def _room(portion: Portion) -> float:
    return HEAD_ROOM if portion.head_room is None else portion.head_room


def _aims(beer: Beer, typed: Aims, onto: Brewery, volume_l: float, bitter: bool) -> Aims:
    ph = beer.mash_ph if typed.mash_ph is None else typed.mash_ph
    return replace(
        typed,
        volume_l=_as_typed(typed.volume_l, volume_l),
        plato=_as_typed(typed.plato, beer.plato),
        bitterness_ibu=_as_typed(typed.bitterness_ibu, beer.ibu) if bitter else None,
        mash_ph=ph if onto.waters else None,
    )


def _as_typed(typed: float | None, found: float) -> float:
    """The aim that was typed, where the forecast meets it."""
    return typed if typed is not None and abs(found / typed - 1.0) < MET else found


def _process(process: Process, onto: Brewery, notes: list[Note]) -> Process:
    """The same way where the gear has it, else the nearest."""
    kind: ProcessKind = process.kind
    has_tun = onto.tun not in (None, onto.kettle)
    if (kind == "dunk rinse" and onto.rinse is None) or (kind == "fly rinse" and not has_tun):
        kind = "poured rinse"
        lacks = "rinse vessel" if process.kind == "dunk rinse" else "tun"
        notes.append(Note(kind="way", before=process.kind, after=kind, why=lacks))
    drain = process.drain
    if drain == "tun" and not has_tun:
        drain = "hung"
        notes.append(Note(kind="drain", before=process.drain, after=drain, why="tun"))
    return replace(process, kind=kind, drain=drain)


def _liquor(
    beer: Beer,
    liquor: Liquor,
    onto: Brewery,
    process: Process,
    scale: Scale,
    wish: Wish,
    notes: list[Note],
) -> Liquor:
    """Nothing measured out; wishes as they were, or what the liquor came to where there were none."""
    opened = replace(liquor, mash_l=wish.mash_l, rinse_l=None, kettle_l=liquor.kettle_l * scale.kettle)
    rinses = process.kind in RINSING
    if not onto.waters:
        if beer.ions or liquor.ions or liquor.doses:
            notes.append(Note(kind="no water"))
        return replace(
            opened, waters=(), diluted_with=None, ions=(), rinse_ions=(), rinse_alkalinity=None, doses=()
        )
    found = tuple(IonAim(ion=ion, mg_per_l=mg) for ion, mg in beer.ions)
    waters = liquor.waters if all(key in onto.waters for key, _ in liquor.waters) else ()
    if not waters and onto.water is None:
        waters = ((next(iter(onto.waters)), 1.0),)
    purer = liquor.diluted_with if liquor.diluted_with in onto.waters else wish.purer
    return replace(
        opened,
        waters=waters,
        diluted_with=None if purer == onto.water and not waters else purer,
        ions=liquor.ions or found,
        rinse_ions=liquor.rinse_ions if rinses else (),
        rinse_alkalinity=liquor.rinse_alkalinity if rinses else None,
        doses=tuple(
            replace(dose, amount=dose.amount * scale.kettle) for dose in liquor.doses if dose.into == "kettle"
        ),
    )


def _grist(grist: tuple[Grain, ...], dark_times: float) -> tuple[Grain, ...]:
    """Shares of the whole; where dark malts get more or less of it, all others make up for it alike."""
    whole = sum(grain.mass_kg or 0.0 for grain in grist)
    dark = sum(grain.mass_kg or 0.0 for grain in grist if grain.kind in DARK)
    other_times = (whole - dark_times * dark) / (whole - dark) if dark < whole else 1.0
    return tuple(
        replace(
            grain,
            mass_kg=None,
            share=(grain.mass_kg or 0.0) / whole * (dark_times if grain.kind in DARK else other_times),
        )
        for grain in grist
    )


def _additions(solved: Plan, scale: Scale, wish: Wish) -> tuple[Addition, ...]:
    """By the litre of what they go into; extract that makes the wort by what that wort takes of it."""
    out = []
    for one in solved.additions:
        times = scale.at(one.at)
        if one.extract and not solved.grist and one.at in ("boil", "kettle end"):
            times = scale.all * wish.extract_times
        if times is not None:
            out.append(replace(one, mass_kg=one.mass_kg * times))
    return tuple(out)


def _starter(starter: Starter, scale: Scale) -> Starter:
    """Its last step is solved for what is needed; what comes before and after it goes by the litre."""
    return replace(
        starter,
        volume_l=None,
        first_steps_l=tuple(step * scale.all for step in starter.first_steps_l),
        slurry_l=starter.slurry_l * scale.all,
    )


def _portions(beer: Beer, asked: Plan, solved: Plan, parts: Mapping[str, _Part]) -> tuple[Portion, ...]:
    of_beer = {one.key: one for one in beer.portions}
    shares = _shares(asked, parts)
    flask_l = {starter.key: starter.volume_l or 0.0 for starter in solved.starters}
    out = []
    for portion in asked.portions:
        if portion.key not in parts:
            continue
        part = parts[portion.key]
        packs = _packs(portion.yeast, of_beer[portion.key], part.times, flask_l)
        out.append(
            replace(
                portion,
                fermenter=part.fermenter,
                share=shares.get(portion.key),
                volume_l=None if portion.volume_l is None else portion.volume_l * part.times,
                top_up_l=portion.top_up_l * part.times,
                yeast=replace(portion.yeast, packs=packs),
            )
        )
    return tuple(out)


def _shares(asked: Plan, parts: Mapping[str, _Part]) -> dict[str, float | None]:
    """Shares of the wort, moved only where portions did not all change alike."""
    alike = len({part.times for part in parts.values()}) == 1 and len(parts) == len(asked.portions)
    if alike or any(portion.volume_l is not None for portion in asked.portions):
        return {portion.key: portion.share for portion in asked.portions}
    left = [portion for portion in asked.portions if portion.key in parts]
    own = {p.key: 1.0 / len(asked.portions) if p.share is None else p.share for p in asked.portions}
    wort = {portion.key: own[portion.key] * parts[portion.key].times for portion in left}
    whole = sum(wort.values()) / sum(own.values())
    return {key: litres / whole for key, litres in wort.items()}


def _packs(yeast: Yeast, before: PortionOfBeer, times: float, flask_l: Mapping[str, float]) -> float:
    """Whole packs: as many a litre as before, or what is needed where that cannot be whole."""
    if yeast.form == "slurry":
        return yeast.packs * times
    if yeast.starter is not None:
        larger = flask_l.get(yeast.starter, 0.0) * times / COMFORTABLE_L
        return yeast.packs if larger <= 1.0 else float(math.ceil(yeast.packs * larger - NEARLY))
    needed = min(before.pitched, 1.0) * before.packs_needed * times
    as_before = math.floor(yeast.packs * times + NEARLY)
    return float(max(as_before, math.ceil(needed - NEARLY), 1))


def _tea(tea: Tea, times: float) -> Tea:
    more = replace(tea, mass_kg=tea.mass_kg * times, water_l=tea.water_l * times)
    return replace(more, boiled_off_l=more.boiled_off_l * times) if isinstance(more, HopTea) else more


def _blends(blends: tuple[Blend, ...], scale: Scale) -> list[Blend]:
    """Blends of the portions that are left."""
    out = []
    for blend in blends:
        parts = tuple((key, share) for key, share in blend.parts if key in scale.of)
        if parts:
            out.append(replace(blend, parts=parts))
    return out


def goes_by_kettle(plan: Plan) -> bool:
    """Whether anything in a carried plan goes by the litre of wort in the kettle."""
    return (
        plan.liquor.kettle_l > 0.0
        or any(dose.into == "kettle" for dose in plan.liquor.doses)
        or any(hop.use != "dry" and hop.mass_kg is not None for hop in plan.hops)
        or any(one.at in ("boil", "kettle end") for one in plan.additions)
    )
