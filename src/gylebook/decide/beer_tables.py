"""Tell what each beer of a wish costs at every wort of a grid.

In:  a `Bench`, a beer, the `Grid` of worts.
Out: `Tables` of the beer: how far gravity and alcohol, bitterness and colour lie from what is wanted, and
     what the trouble of each treatment counts.

Idea: for a given wort each beer chooses for itself, and gravity, bitterness and colour hardly speak to each
other, so three small tables stand for all that one beer may become: strength, dilution and sugar; dilution
and a tea of hops; dilution and a tea of grain.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from gylebook.brewery.plan import Portion
from gylebook.brewery.wish import BeerWanted, Quality, Treatment
from gylebook.decide.bench import Bench
from gylebook.decide.nearness import missed, risk
from gylebook.decide.wished import Choice
from gylebook.figures.draws import Array, Flags

WEAKEST, STRONGEST = 5.0, 25.0  # °P of a wort to divide
STRENGTHS, BITTERNESSES, COLOURS = 61, 49, 41  # worts tried of each
MOST_DILUTED = 0.4  # of a fermenter; what is thinner than that is less work brewed by itself
DILUTIONS, SUGARS = 17, 9
# What one more operation costs, in squared steps of a beer's distance; twice that at its most.
TROUBLE: dict[Treatment, float] = {
    "dilution": 0.15,
    "sugar": 0.25,
    "hop tea": 0.40,
    "grain tea": 0.40,
    "long ageing": 0.80,
}
GRAVITY: tuple[Quality, ...] = ("og", "fg", "abv")
LATER_NAMED = 0.05  # what it costs to take a yeast that is named after another
TEA_INTO_SPAN = 0.35  # a tea brings a beer this far into its span, where it can


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Grid:
    """Worts that are tried, and the shares of liquor and kilograms of sugar that are tried in each.

    `pale` and `dark` are what colours the grist can give, by strength. [°P, mg/L, SRM, share, kg]
    """

    platos: Array
    ibus: Array
    srms: Array
    pale: Array
    dark: Array
    diluted: Array
    sugars: Array

    @property
    def shape(self) -> tuple[int, int, int]:
        """How many strengths, bitternesses and colours are tried."""
        return len(self.platos), len(self.ibus), len(self.srms)

    @property
    def grist_gives(self) -> Flags:
        """Whether the grist can be so dark at this strength, by [strength, colour]."""
        slack = self.srms[1] / self.srms[0] if len(self.srms) > 1 else 1.0
        low, high = self.pale[:, None] / slack**0.5, self.dark[:, None] * slack**0.5
        found: Flags = (self.srms >= low) & (self.srms <= high)
        return found


def grid_of(bench: Bench, beers: Sequence[BeerWanted], wort: tuple[float, float, float] | None) -> Grid:
    """Every wort that may serve the beers; with `wort` that one alone."""
    wish = bench.wish
    diluted = np.linspace(0.0, MOST_DILUTED, DILUTIONS)
    sugars = np.linspace(0.0, wish.sugar.mass_kg if wish.sugar else 0.0, SUGARS)
    if wort is not None:
        platos, ibus, srms = (np.array([one]) for one in wort)
        pale = dark = srms
    else:
        hopped = any(hop.portion is None for hop in wish.base.hops)
        most_ibu = _most(beers, "ibu", 40.0) / (1.0 - MOST_DILUTED)
        platos = np.linspace(WEAKEST, STRONGEST, STRENGTHS)
        ibus = np.linspace(0.0, most_ibu if hopped else 0.0, BITTERNESSES if hopped else 1)
        pale, dark = bench.colours(platos)
        srms = np.geomspace(pale.min(), dark.max() * 1.0001, COLOURS)
    return Grid(platos=platos, ibus=ibus, srms=srms, pale=pale, dark=dark, diluted=diluted, sugars=sugars)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Way:
    """One yeast of one beer, by [strength, dilution, sugar]: the cost of gravity and alcohol."""

    portion: Portion
    aged: bool
    gravity: Array
    missed: Array  # of that, what lies outside at the middle


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Tables:
    """The tables of one beer: bitterness by [bitterness, dilution, tea], colour by the same of colour."""

    beer: BeerWanted
    volume_l: float
    ways: tuple[Way, ...]
    bitter: Array
    dark: Array
    bitter_missed: Array
    dark_missed: Array
    tea_trouble: dict[Treatment, Array]  # by [bitterness or colour, dilution]


class TableMaker:
    """Makes the tables of beers on one bench, for one grid."""

    def __init__(self, bench: Bench, grid: Grid) -> None:
        self.bench, self.grid, self.wish = bench, grid, bench.wish

    def tables(self, beer: BeerWanted) -> Tables:
        """The tables of one beer."""
        volume = self.bench.volume_of(beer)
        plain = Choice(beer=beer, way=beer.ways[0], volume_l=volume)
        ageings = (False, True) if "long ageing" in beer.may and self.wish.ageing is not None else (False,)
        ways = tuple(
            self._way(beer, way, aged, volume, number)
            for number, way in enumerate(beer.ways)
            for aged in ageings
        )
        bitter, bitter_missed = self._bitter(plain)
        dark, dark_missed = self._dark(plain)
        return Tables(
            beer=beer,
            volume_l=volume,
            ways=ways,
            bitter=bitter,
            dark=dark,
            bitter_missed=bitter_missed,
            dark_missed=dark_missed,
            tea_trouble={
                "hop tea": trouble(
                    "hop tea",
                    self.hop_tea_kg(plain, self.grid.ibus[:, None] * (1.0 - self.grid.diluted)),
                    self.most("hop tea", volume),
                ),
                "grain tea": trouble(
                    "grain tea",
                    self.grain_tea_kg(plain, self.grid.srms[:, None] * (1.0 - self.grid.diluted)),
                    self.most("grain tea", volume),
                ),
            },
        )

    def most(self, treatment: Treatment, volume_l: float) -> float:
        """The most of a treatment that one beer may get. [L, kg]"""
        wish = self.wish
        return {
            "dilution": MOST_DILUTED * volume_l,
            "sugar": float(self.grid.sugars[-1]),
            "hop tea": wish.hop_tea.mass_kg if wish.hop_tea else 0.0,
            "grain tea": wish.grain_tea.mass_kg if wish.grain_tea else 0.0,
            "long ageing": 1.0,
        }[treatment]

    def _way(self, beer: BeerWanted, way: Portion, aged: bool, volume: float, number: int) -> Way:
        out = np.zeros((len(self.grid.platos), len(self.grid.diluted), len(self.grid.sugars)))
        off = np.zeros_like(out)
        choice = Choice(beer=beer, way=self.bench.way(way, aged), volume_l=volume, aged=aged)
        found = self.bench.thinned(choice, self.grid.platos, self.grid.diluted, self.grid.sugars)
        for quality in GRAVITY:
            if quality in beer.aims:
                far, cost = self.near(beer, quality, found.of(quality))
                off += far
                out += cost
        return Way(portion=choice.way, aged=aged, gravity=out + LATER_NAMED * number, missed=off)

    def near(self, beer: BeerWanted, quality: Quality, values: Array) -> tuple[Array, Array]:
        """By how much values miss a span, and what that and the risk of it cost."""
        span = beer.aims[quality]
        far = missed(quality, values, span)
        return far, far + risk(values, span, self.bench.sd_of(quality, values))

    def _bitter(self, plain: Choice) -> tuple[Array, Array]:
        """Cost of bitterness without and with a tea, and what of it is missed at the middle."""
        out = np.zeros((len(self.grid.ibus), len(self.grid.diluted), 2))
        off = np.zeros_like(out)
        if "ibu" not in plain.beer.aims:
            return out, off
        from_kettle = self.grid.ibus[:, None] * (1.0 - self.grid.diluted)
        tea = self.hop_tea_kg(plain, from_kettle)
        brought = tea * self.bench.iso_mg_per_kg(plain) / plain.volume_l
        for k, pitched in enumerate((from_kettle, from_kettle + brought)):
            ibu = self.bench.outcome(plain, np.full(pitched.size, 12.0), pitched.ravel()).ibu
            off[:, :, k], out[:, :, k] = self.near(plain.beer, "ibu", ibu.reshape(pitched.shape))
        return out, off

    def hop_tea_kg(self, plain: Choice, from_kettle: Array) -> Array:
        """Hops for a tea that brings the beer into its span."""
        per_kg = self.bench.iso_mg_per_kg(plain) / plain.volume_l
        if per_kg <= 0.0 or self.wish.hop_tea is None or "ibu" not in plain.beer.aims:
            return np.zeros_like(from_kettle)
        ibus = np.linspace(0.0, 250.0, 126)
        ends = self.bench.outcome(plain, np.full(ibus.size, 12.0), ibus).ibu
        wanted = np.interp(_into(plain.beer, "ibu"), ends, ibus)  # what dry hops take is asked for too
        return np.clip((wanted - from_kettle) / per_kg, 0.0, self.wish.hop_tea.mass_kg)

    def _dark(self, plain: Choice) -> tuple[Array, Array]:
        """Cost of colour without and with a tea of steeped grain, and what of it is missed at the middle."""
        out = np.zeros((len(self.grid.srms), len(self.grid.diluted), 2))
        off = np.zeros_like(out)
        if "colour_srm" not in plain.beer.aims:
            return out, off
        own = float(self.bench.outcome(plain, np.full(1, 12.0)).srm[0])  # of its fruit and sugar
        from_kettle = self.grid.srms[:, None] * (1.0 - self.grid.diluted) + own
        tea = self.grain_tea_kg(plain, from_kettle)
        brought = tea * self.bench.colour_srm_l_per_kg(plain) / plain.volume_l
        for k, srm in enumerate((from_kettle, from_kettle + brought)):
            off[:, :, k], out[:, :, k] = self.near(plain.beer, "colour_srm", srm)
        return out, off

    def grain_tea_kg(self, plain: Choice, from_kettle: Array) -> Array:
        """Grain for a tea that brings the beer into its span."""
        per_kg = self.bench.colour_srm_l_per_kg(plain) / plain.volume_l
        if per_kg <= 0.0 or self.wish.grain_tea is None or "colour_srm" not in plain.beer.aims:
            return np.zeros_like(from_kettle)
        return np.clip(
            (_into(plain.beer, "colour_srm") - from_kettle) / per_kg, 0.0, self.wish.grain_tea.mass_kg
        )


def trouble(treatment: Treatment, amounts: Array, most: float) -> Array:
    """What it costs to do it at all, and as much again to do the most of it."""
    if most <= 0.0:
        return np.zeros_like(amounts)
    return np.where(amounts > 0.0, TROUBLE[treatment] * (1.0 + amounts / most), 0.0)


def _into(beer: BeerWanted, quality: Quality) -> float:
    """Where in its span a tea brings a beer."""
    low, high = beer.aims[quality]
    if low is None:
        return 0.0
    return low if high is None else low + TEA_INTO_SPAN * (high - low)


def _most(beers: Sequence[BeerWanted], quality: Quality, usual: float) -> float:
    """The highest figure that any beer is wanted to have."""
    edges = [edge for beer in beers for edge in beer.aims.get(quality, ()) if edge is not None]
    return max(edges, default=usual)
