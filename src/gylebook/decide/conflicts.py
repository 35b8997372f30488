"""Say what stands between two beers that cannot come from one wort.

In:  the tables of a wish.
Out: `Conflict`s: two beers whose worts do not meet in strength, bitterness or colour, how far apart they
     stay with all that they may get, and what it would take to bring the one to the other; `Unmade`, a beer
     that none of the worts serves, whatever else is wanted of them.

Idea: a beer can be made from an interval of worts in each of the three; where two intervals do not meet, no
single wort serves both, however clever the search.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import permutations
from typing import Literal, get_args

import numpy as np

from gylebook.brewery.wish import BeerWanted, Quality, Treatment
from gylebook.decide.beer_tables import Tables
from gylebook.decide.bench import Bench
from gylebook.decide.nearness import steps_off
from gylebook.decide.wished import Choice
from gylebook.decide.wort_search import Banned, WortSearch
from gylebook.figures.draws import Array, Flags

Matter = Literal["strength", "bitterness", "colour"]
A_HAIR = 0.05  # of a squared step: what lies between two worts that were tried
# By what a beer says how strong, how bitter, how dark it is wanted; the first of these that it aims at.
SAID_BY: dict[Matter, tuple[Quality, ...]] = {
    "strength": ("og", "abv", "fg"),
    "bitterness": ("ibu",),
    "colour": ("colour_srm",),
}
MATTERS: tuple[Matter, ...] = get_args(Matter)


@dataclass(frozen=True, slots=True, kw_only=True)
class Conflict:
    """Two beers whose worts stay apart: `less` bears at most `at_most`, `more` asks for `at_least`.

    Both are of the wort [°P, IBU, SRM].  `bridge` is the treatment that would bring `bridged` there, by
    `amount` [L, kg] in `volume_l` of fermenter; None where no amount would.
    """

    matter: Matter
    less: BeerWanted
    at_most: float
    more: BeerWanted
    at_least: float
    bridge: Treatment
    bridged: BeerWanted
    amount: float | None
    volume_l: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Unmade:
    """A beer that no wort of the search brings where it is wanted in this, with all that it may get.

    `least` and `most` are the worts that were tried. [°P, IBU, SRM]
    """

    matter: Matter
    beer: BeerWanted
    least: float
    most: float


def said_by(matter: Matter, beer: BeerWanted) -> Quality | None:
    """The aim that tells how strong, bitter or dark a beer is wanted; None where it has none such."""
    return next((quality for quality in SAID_BY[matter] if quality in beer.aims), None)


def conflicts(search: WortSearch) -> tuple[Conflict, ...]:
    """Every pair of beers that no one wort serves, in strength, then bitterness, then colour."""
    return tuple(conflict for matter in MATTERS for conflict in _of(search, matter))


def unmade(search: WortSearch) -> tuple[Unmade, ...]:
    """Every beer that no wort serves even if it were brewed by itself."""
    tried = {"strength": search.grid.platos, "bitterness": search.grid.ibus, "colour": search.grid.srms}
    return tuple(
        Unmade(
            matter=matter,
            beer=tables.beer,
            least=float(tried[matter].min()),
            most=float(tried[matter].max()),
        )
        for matter in MATTERS
        for tables, worts in _worts(search, matter)
        if not worts.size
    )


def _worts(search: WortSearch, matter: Matter) -> Iterator[tuple[Tables, Array]]:
    """Each beer that says what it wants in this, and the worts from which it can be had."""
    reaches: dict[Matter, Callable[[WortSearch, Tables], Array]] = {
        "strength": _strengths,
        "bitterness": _bitternesses,
        "colour": _colours,
    }
    for tables in search.beers:
        if said_by(matter, tables.beer) is not None:
            yield tables, reaches[matter](search, tables)


def _of(search: WortSearch, matter: Matter) -> Iterator[Conflict]:
    # A beer that no wort serves quarrels with no other.
    spans = [
        (tables, float(worts.min()), float(worts.max()))
        for tables, worts in _worts(search, matter)
        if worts.size
    ]
    for (less, _, at_most), (more, at_least, _) in permutations(spans, 2):
        if at_least > at_most:
            yield _conflict(search.bench, matter, (less, at_most), (more, at_least))


def _conflict(
    bench: Bench, matter: Matter, less: tuple[Tables, float], more: tuple[Tables, float]
) -> Conflict:
    (weak, at_most), (strong, at_least) = less, more
    bridged = weak if matter == "strength" else strong
    bridges: dict[Matter, Treatment] = {
        "strength": "dilution",
        "bitterness": "hop tea",
        "colour": "grain tea",
    }
    return Conflict(
        matter=matter,
        less=weak.beer,
        at_most=at_most,
        more=strong.beer,
        at_least=at_least,
        bridge=bridges[matter],
        bridged=bridged.beer,
        amount=_amount(bench, matter, bridged, at_least if matter == "strength" else at_most),
        volume_l=bridged.volume_l,
    )


def _amount(bench: Bench, matter: Matter, tables: Tables, wort: float) -> float | None:
    """What the beer would have to get if it were made from that wort, allowed or not. [L, kg]"""
    beer, litres = tables.beer, tables.volume_l
    plain = Choice(beer=beer, way=tables.ways[0].portion, volume_l=litres)
    if matter == "strength":
        shares = np.linspace(0.0, 0.9, 181)
        asked = said_by(matter, beer)
        if asked is None or asked == "fg":  # liquor hardly moves where a beer ends
            return None
        values = bench.thinned(plain, np.array([wort]), shares, np.zeros(1)).of(asked)[0, :, 0]
        off = steps_off(asked, values, beer.aims[asked])
        enough = np.flatnonzero(off <= 0.0)
        return float(shares[enough[0]]) * litres if enough.size else None
    if matter == "bitterness":
        per_kg, quality = bench.iso_mg_per_kg(plain), "ibu"
    else:
        per_kg, quality = bench.colour_srm_l_per_kg(plain), "colour_srm"
    low = beer.aims[quality][0]  # type: ignore[index]
    if per_kg <= 0.0 or low is None:
        return None
    return max(low - wort, 0.0) * litres / per_kg


def _strengths(search: WortSearch, tables: Tables) -> Array:
    """Strengths of wort from which the beer's gravity and alcohol can be had. [°P]"""
    held = [search.allowed(tables.beer, way, Banned()) & (way.missed <= A_HAIR) for way in tables.ways]
    return search.grid.platos[np.any(np.logical_or.reduce(held), axis=(1, 2))]


def _bitternesses(search: WortSearch, tables: Tables) -> Array:
    """Bitternesses of wort from which the beer's own can be had. [IBU]"""
    return search.grid.ibus[_served(search, tables, "hop tea")]


def _colours(search: WortSearch, tables: Tables) -> Array:
    """Colours of wort from which the beer's own can be had. [SRM]"""
    return search.grid.srms[_served(search, tables, "grain tea")]


def _served(search: WortSearch, tables: Tables, tea: Treatment) -> Flags:
    both = tables.bitter_missed if tea == "hop tea" else tables.dark_missed
    beer = tables.beer
    inside = both <= A_HAIR
    if tea not in beer.may:
        inside = inside[:, :, :1]
    if "dilution" not in beer.may:
        inside = inside[:, :1]
    found: Flags = np.any(inside, axis=(1, 2))
    return found
