"""Pack a portion: sugar, bottles and kegs with the odds that any bottle is overcome, and write it down.

In:  a brew's standing, a portion's key, a `PackWanted`, the tables that bottles are looked up in.
Out: `PackView`; an event `packed`.

Idea: the refusal is made here and not in a face: above the accepted odds no amount of sugar leaves this
module, and nothing is written down, unless a reason was typed; the book keeps it beside the odds.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, replace
from typing import Any
from uuid import UUID

import numpy as np

from gylebook.brewery.packages import BottleKind, Keg, Lot
from gylebook.decide.packing import LotFound, Packing, PackingAsked, pack, rounded_down
from gylebook.errors import Problem, Refused
from gylebook.exchange.table_rows import BottleRow
from gylebook.exchange.tables import Tables
from gylebook.figures.draws import summarise
from gylebook.gyle.filling import FilledKeg
from gylebook.gyle.packing import BeerToPack
from gylebook.matter.extract import plato_from_sg
from gylebook.matter.gas import co2_of_volumes, volumes_of_co2
from gylebook.process.carbonation import BOTTLING_YEAST, alcohol_from_priming, bottling_yeast
from gylebook.process.draught import STILL_DAYS, keg_gauge, line_length
from gylebook.process.stability import ALLOWED_POINTS
from gylebook.record.events import PACKED, Event
from gylebook.record.replay import standing as standing_events
from gylebook.record.store import open_book
from gylebook.tasks.brews import Standing
from gylebook.tasks.pack_beer import Readied, ready
from gylebook.tasks.pack_views import (
    DEFAULT_ODDS,
    KegView,
    LotView,
    PackView,
    PackWanted,
    Why,
)

USUAL_VOLUMES = 2.4
LEAST_REASON = 10  # letters of a reason that says something
COARSE = 0.1  # of a bottle's dose: what a scale may round away
RANGES = (
    ("volumes", 1.0, 5.0, "volumes of CO2, from 1 to 5"),
    ("store_c", 0.0, 38.0, "a temperature from 0 to 38 °C; hotter is no place for a full bottle"),
    ("serve_c", -1.0, 30.0, "a temperature from −1 to 30 °C"),
    ("scale_g", 0.001, 100.0, "what the last digit of your scale shows, up to 100 g"),
    ("litres", 0.1, 5000.0, "litres of beer to pack, from 0.1"),
    ("warmest_c", -1.0, 40.0, "a temperature from −1 to 40 °C"),
    ("wort_sg", 1.02, 1.12, "the gravity of unfermented wort, from 1.020 to 1.120"),
)
MOST_BOTTLES, MOST_LOTS = 2000, 12


def pack_view(standing: Standing, key: str, wanted: PackWanted, tables: Tables, at: str) -> PackView:
    """How the portion would be packed at that moment.

    Raises Refused where what is asked for cannot be, or where no gravity of the portion was read.
    """
    _refuse_out_of_range(wanted)
    readied = ready(standing, key, at, wanted.litres, wanted.warmest_c)
    _refuse_untold(wanted.accepted, len(readied.beer.apparent))
    portion = readied.view
    (planned,) = [one for one in standing.outlook.plan.portions if one.key == key]
    volumes = wanted.volumes or planned.package.co2_volumes or USUAL_VOLUMES
    asked = PackingAsked(
        lots=tuple(_lot(one.kind, one.size_l, one.count, tables) for one in wanted.bottles),
        kegs=tuple(Keg(holds_l=litres) for litres in wanted.kegs),
        volumes=volumes,
        sugar=wanted.sugar,
        way=wanted.way,
        prime_kegs=wanted.prime_kegs,
        store_c=wanted.store_c,
        scale_g=wanted.scale_g,
        wort_plato=None if wanted.wort_sg is None else float(plato_from_sg(wanted.wort_sg)),
        accepted=wanted.accepted,
    )
    kinds = [kind_of(row) for row in tables.rows("bottles") if isinstance(row, BottleRow)]
    found = pack(
        readied.beer,
        asked,
        kinds,
        finished=readied.held,
        wait_days=portion.standing.wait_days,
        waited=readied.waited,
    )
    return _view(standing, readied, wanted, volumes, found)


def kind_of(row: BottleRow) -> BottleKind:
    """A kind of bottle as the table has it."""
    return BottleKind(
        key=row.key, name=row.name, size_l=row.size_l, limit_bar=row.limit_bar, head_space=row.head_space
    )


def write_packed(
    location: str,
    standing: Standing,
    key: str,
    wanted: PackWanted,
    tables: Tables,
    at: str,
    *,
    id: UUID | None = None,
    device: str = "",
) -> Event:
    """Write down that a portion was packed so; said again, it takes the place of what was said before.

    Raises Refused where the odds are above the accepted ones and no reason was typed.
    """
    view = pack_view(standing, key, wanted, tables, at)
    if view.refused:
        accepted = f"say in {LEAST_REASON} letters or more why it was packed against the odds"
        raise Refused((Problem("reason", f"“{wanted.reason}”" if wanted.reason else "is missing", accepted),))
    with open_book(location) as book:
        earlier = packed_event(standing_events(book.events(standing.brew.id)), key)
        if earlier is not None and earlier.id == id:
            return earlier
        supersedes = earlier.id if earlier is not None else None
        return book.write_event(
            standing.brew.id, PACKED, _body(view), at, id=id, device=device, supersedes=supersedes,
            reason=view.against,
        )  # fmt: skip


def packed_event(events: tuple[Event, ...], key: str) -> Event | None:
    """The event by which a portion was packed, of those that stand."""
    for event in reversed(events):
        if event.kind == PACKED and event.body.get("portion") == key:
            return event
    return None


def _body(view: PackView) -> Mapping[str, Any]:
    """What the book keeps: what went where, the sugar, and by which odds."""
    return {
        "portion": view.key,
        "bottles": [
            {"kind": lot.kind, "size_l": lot.size_l, "count": lot.count, "sugar_each": lot.sugar_each}
            for lot in view.lots
        ],
        "kegs": [{"holds_l": keg.holds_l, "litres": keg.litres, "sugar": keg.sugar} for keg in view.kegs],
        "sugar": {"kind": view.wanted.sugar, "way": view.wanted.way, "bulk": view.bulk},
        "co2_volumes": view.volumes,
        "store_c": view.wanted.store_c,
        "odds": view.odds,
        "accepted": view.wanted.accepted,
        "against": view.against,
        "abv": asdict(view.abv),
    }


def _lot(name: str, size_l: float | None, count: int | None, tables: Tables) -> Lot:
    row = tables.bottle(name)
    if row is None:
        close = tables.close_names("bottles", name)
        known = close or tuple(row.name for row in tables.rows("bottles"))
        raise Refused((Problem("bottles", f"“{name}”", f"known kinds are {', '.join(known)}"),))
    return Lot(kind=kind_of(row), size_l=row.size_l if size_l is None else size_l, count=count)


def _refuse_out_of_range(wanted: PackWanted) -> None:
    """Raise Refused with everything that lies outside what can be asked for."""
    problems = []
    for name, low, high, accepted in RANGES:
        value = getattr(wanted, name)
        if value is not None and not low <= value <= high:
            problems.append(Problem(name.partition("_")[0], f"{value:g}", accepted))
    if not 0.0 < wanted.accepted <= DEFAULT_ODDS:
        accepted = "may be lowered below 1 in 1,000 and not raised: give a reason instead"
        problems.append(Problem("accepted odds", f"{wanted.accepted:g}", accepted))
    for one in wanted.bottles:
        if one.count is not None and not 1 <= one.count <= MOST_BOTTLES:
            problems.append(Problem("bottles", f"{one.count}", f"from 1 to {MOST_BOTTLES} of a kind"))
        if one.size_l is not None and not 0.05 <= one.size_l <= 30.0:
            problems.append(Problem("bottles", f"{one.size_l:g} L", "a bottle holds 0.05 to 30 L"))
    if any(not 1.0 <= litres <= 1000.0 for litres in wanted.kegs):
        problems.append(Problem("kegs", f"{min(wanted.kegs):g} L", "a keg holds 1 to 1000 L"))
    if len(wanted.bottles) > MOST_LOTS or len(wanted.kegs) > MOST_LOTS:
        problems.append(Problem("packages", "", f"at most {MOST_LOTS} kinds of bottles and as many kegs"))
    if problems:
        raise Refused(problems)


def _refuse_untold(accepted: float, draws: int) -> None:
    """Raise Refused where so few futures cannot tell odds as small as those that are accepted."""
    if accepted * draws < 1.0 - 1e-9:
        said = f"the brew was started with {draws} draws, which tell nothing rarer than 1 in {draws}"
        raise Refused((Problem("accepted odds", f"1 in {round(1.0 / accepted)}", said),))


def _view(
    standing: Standing, readied: Readied, wanted: PackWanted, volumes: float, found: Packing
) -> PackView:
    beer, ferment = readied.beer, readied.view
    over = found.refused(wanted.accepted)
    reason = " ".join(wanted.reason.split())
    against = reason if over and len(reason) >= LEAST_REASON else ""
    refused = over and not against
    primed = bool(found.filling.bottles) or any(keg.sugar > 0.0 for keg in found.kegs)
    more = float(alcohol_from_priming(min(found.dose.most_co2, 30.0))) if primed else 0.0
    abv = ferment.abv
    return PackView(
        brew=standing.brew.name,
        key=ferment.key,
        name=ferment.name,
        wanted=wanted,
        volumes=volumes,
        gravity=ferment.now,
        read_at=ferment.taken[-1].at,
        organism=ferment.standing.organism,
        state=ferment.verdict,
        held=readied.held,
        wait_days=ferment.standing.wait_days,
        points=summarise(beer.left_points),
        litres=summarise(beer.litres),
        foretold=summarise(readied.foretold),
        yeast_billion=_yeast(found, beer),
        residual_volumes=float(volumes_of_co2(beer.residual)),
        warmest_c=beer.warmest_c,
        abv=replace(
            abv, median=abv.median + more, mean=abv.mean + more, low=abv.low + more, high=abv.high + more
        ),
        lots=tuple(_lot_view(lot, beer, found, refused) for lot in found.lots),
        kegs=tuple(
            _keg_view(keg.filled, keg.high_bar, keg.sugar, refused, beer, volumes, wanted)
            for keg in found.kegs
        ),
        bulk=None if refused else found.bulk,
        bulk_l=found.bulk_l,
        left_l=found.filling.left_l + (found.bulk if wanted.sugar == "fresh wort" else 0.0),
        lost_l=found.filling.lost_l,
        scale_is_coarse=_coarse(found, wanted),
        odds=found.odds,
        draws=len(beer.apparent),
        refused=refused,
        against=against,
        why=_why(readied),
        ways_out=found.ways_out,
        cautions=_cautions(found, beer),
    )


def _lot_view(lot: LotFound, beer: BeerToPack, found: Packing, refused: bool) -> LotView:
    filled = lot.filled
    fewest = most = filled.count
    if filled.lot.count is None:
        others = sum(one.filled.litres for one in found.lots if one is not lot) + found.filling.lost_l
        low, high = np.quantile(beer.litres, (0.05, 0.95))
        fewest, most = (
            int(max(rounded_down((x - others) / filled.lot.size_l, 1.0), 0.0)) for x in (low, high)
        )
    return LotView(
        kind=filled.lot.kind.name,
        size_l=filled.lot.size_l,
        count=filled.count,
        fewest=min(fewest, filled.count),
        most=max(most, filled.count),
        limit_bar=filled.lot.kind.limit_bar,
        pressure=lot.pressure,
        high_bar=lot.high_bar,
        odds=lot.odds,
        sugar_each=None if refused else lot.each,
    )


def _keg_view(
    keg: FilledKeg,
    high_bar: float,
    sugar: float,
    refused: bool,
    beer: BeerToPack,
    volumes: float,
    wanted: PackWanted,
) -> KegView:
    gauge = float(keg_gauge(co2_of_volumes(volumes), wanted.serve_c, beer.barometer_bar))
    return KegView(
        holds_l=keg.keg.holds_l,
        litres=keg.litres,
        serve_bar=gauge,
        high_bar=high_bar,
        line_m=float(line_length(gauge)),
        still_days=STILL_DAYS,
        sugar=None if refused else sugar,
    )


def _coarse(found: Packing, wanted: PackWanted) -> bool:
    """Whether the scale rounds away too much of a bottle's dose."""
    doses = [found.dose.per_l * lot.filled.lot.size_l for lot in found.lots if lot.filled.count]
    if wanted.way != "bottle by bottle" or wanted.sugar == "fresh wort" or not doses:
        return False
    return wanted.scale_g > COARSE * min(doses)


def _why(readied: Readied) -> Why:
    """What the odds are owed to, first of all."""
    view = readied.view
    if view.verdict == "runaway":
        return "runaway"
    if view.verdict == "stuck":
        return "stuck"
    if not readied.held:
        return "alive" if readied.beer.alive else "not still"
    return (
        "alive" if readied.beer.alive and view.standing.left_points.high > ALLOWED_POINTS else "too much gas"
    )


def _yeast(found: Packing, beer: BeerToPack) -> tuple[float, float] | None:
    """Fresh yeast for the bottles of beer that stood for months. [billion]"""
    if not (beer.aged and found.filling.bottles):
        return None
    few, many = (float(bottling_yeast(found.filling.bottled_l, dose)) for dose in BOTTLING_YEAST)
    return few, many


def _cautions(found: Packing, beer: BeerToPack) -> tuple[str, ...]:
    keys = ["pressure"] if found.filling.bottles else []
    keys += ["live in glass"] if found.filling.bottles and beer.alive else []
    keys += ["keg"] if found.kegs else []
    return (*keys, "carbon dioxide")


__all__ = [
    "DEFAULT_ODDS",
    "LEAST_REASON",
    "PackView",
    "PackWanted",
    "pack_view",
    "packed_event",
    "write_packed",
]
