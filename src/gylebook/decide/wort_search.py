"""Find the one wort from which all beers of a wish can be made with the least ado.

In:  a `Bench`, and what is left out of play.
Out: `Wort`: strength, bitterness and colour to knock out, with a `Choice` for each beer.

Idea: for a given wort each beer chooses for itself, so the search is a sum of small tables over a grid of
worts: what strength, dilution and sugar do to gravity and alcohol, what dilution and a tea of hops do to
bitterness, and a tea of grain to colour.  Then each beer's own amounts are brought to the point on the
forward run of its portion.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from gylebook.brewery.plan import Portion
from gylebook.brewery.wish import BeerWanted, Quality, Treatment
from gylebook.decide.bench import Bench
from gylebook.decide.nearness import missed, risk
from gylebook.decide.wished import Choice, measured, wort_l
from gylebook.errors import NotConverged
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
# The field of a choice that holds each treatment's amount.
AMOUNTS: dict[Treatment, str] = {
    "dilution": "dilution_l",
    "sugar": "sugar_kg",
    "hop tea": "hop_tea_kg",
    "grain tea": "grain_tea_kg",
}
LATER_NAMED = 0.05  # what it costs to take a yeast that is named after another
TEA_INTO_SPAN = 0.35  # a tea brings a beer this far into its span, where it can


@dataclass(frozen=True, slots=True, kw_only=True)
class Banned:
    """What is left out of play: a treatment (of a beer, or of all), or a beer's yeast by its kind."""

    treatments: frozenset[tuple[str, Treatment]] = frozenset()
    yeasts: frozenset[tuple[str, str]] = frozenset()
    price: float = 0.0  # of a litre of wort: what makes strong wort, let down later, worth its trouble

    def allows(self, beer: BeerWanted, treatment: Treatment) -> bool:
        """Whether a beer may get a treatment."""
        out = {(beer.key, treatment), ("", treatment)} & self.treatments
        return treatment in beer.may and not out


@dataclass(frozen=True, slots=True, kw_only=True)
class Wort:
    """A wort as it is divided, and what each beer makes of it; `cost` is what all of that costs."""

    plato: float
    ibu: float
    srm: float
    choices: tuple[Choice, ...]
    cost: float


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


class WortSearch:
    """The tables of a wish, made once; `best` is asked often."""

    def __init__(
        self,
        bench: Bench,
        beers: Sequence[BeerWanted] | None = None,
        wort: tuple[float, float, float] | None = None,
    ) -> None:
        """Search for beers, the wish's own where none are given; with `wort` only that one is tried."""
        self.bench, self.wish = bench, bench.wish
        beers = self.wish.beers if beers is None else beers
        self.diluted = np.linspace(0.0, MOST_DILUTED, DILUTIONS)
        self.sugars = np.linspace(0.0, self.wish.sugar.mass_kg if self.wish.sugar else 0.0, SUGARS)
        if wort is not None:
            self.platos, self.ibus, self.srms = (np.array([one]) for one in wort)
            self.pale = self.dark = self.srms
        else:
            hopped = any(hop.portion is None for hop in self.wish.base.hops)
            most_ibu = _most(beers, "ibu", 40.0) / (1.0 - MOST_DILUTED)
            self.platos = np.linspace(WEAKEST, STRONGEST, STRENGTHS)
            self.ibus = np.linspace(0.0, most_ibu if hopped else 0.0, BITTERNESSES if hopped else 1)
            self.pale, self.dark = bench.colours(self.platos)
            self.srms = np.geomspace(self.pale.min(), self.dark.max() * 1.0001, COLOURS)
        self.beers = tuple(self._tables(beer) for beer in beers)

    def best(self, banned: Banned) -> Wort:
        """The wort that costs least, with what each beer makes of it, its amounts brought to the point.

        Raises NotConverged where a beer has no yeast left.
        """
        wort = self.roughly(banned)
        at = (wort.plato, wort.ibu, wort.srm)
        choices = tuple(self.polished(choice, at, banned.price) for choice in wort.choices)
        return replace(wort, choices=choices)

    def roughly(self, banned: Banned) -> Wort:
        """The same, as far as the grid tells."""
        total: Array = np.where(self._grist_gives(), 0.0, np.inf)[:, None, :]
        total = np.broadcast_to(total, (len(self.platos), len(self.ibus), len(self.srms))).copy()
        for tables in self.beers:
            total += self._cost_of(tables, banned)
        if not np.isfinite(total.min()):
            raise NotConverged("A beer has no yeast left to make it with.")
        p, b, c = (int(n) for n in np.unravel_index(int(np.argmin(total)), total.shape))
        return Wort(
            plato=float(self.platos[p]),
            ibu=float(self.ibus[b]),
            srm=float(self.srms[c]),
            choices=tuple(self._choice(tables, banned, (p, b, c)) for tables in self.beers),
            cost=float(total[p, b, c]),
        )

    def _grist_gives(self) -> Flags:
        """Whether the grist can be so dark at this strength, by [strength, colour]."""
        slack = self.srms[1] / self.srms[0] if len(self.srms) > 1 else 1.0
        low, high = self.pale[:, None] / slack**0.5, self.dark[:, None] * slack**0.5
        found: Flags = (self.srms >= low) & (self.srms <= high)
        return found

    def _tables(self, beer: BeerWanted) -> Tables:
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
                "hop tea": _trouble(
                    "hop tea",
                    self._hop_tea_kg(plain, self.ibus[:, None] * (1.0 - self.diluted)),
                    self.most("hop tea", volume),
                ),
                "grain tea": _trouble(
                    "grain tea",
                    self._grain_tea_kg(plain, self.srms[:, None] * (1.0 - self.diluted)),
                    self.most("grain tea", volume),
                ),
            },
        )

    def most(self, treatment: Treatment, volume_l: float) -> float:
        """The most of a treatment that one beer may get. [L, kg]"""
        wish = self.wish
        return {
            "dilution": MOST_DILUTED * volume_l,
            "sugar": float(self.sugars[-1]),
            "hop tea": wish.hop_tea.mass_kg if wish.hop_tea else 0.0,
            "grain tea": wish.grain_tea.mass_kg if wish.grain_tea else 0.0,
            "long ageing": 1.0,
        }[treatment]

    def _way(self, beer: BeerWanted, way: Portion, aged: bool, volume: float, number: int) -> Way:
        out = np.zeros((len(self.platos), len(self.diluted), len(self.sugars)))
        off = np.zeros_like(out)
        choice = Choice(beer=beer, way=self.bench.way(way, aged), volume_l=volume, aged=aged)
        found = self.bench.thinned(choice, self.platos, self.diluted, self.sugars)
        for quality in GRAVITY:
            if quality in beer.aims:
                far, cost = self._near(beer, quality, found.of(quality))
                off += far
                out += cost
        return Way(portion=choice.way, aged=aged, gravity=out + LATER_NAMED * number, missed=off)

    def _near(self, beer: BeerWanted, quality: Quality, values: Array) -> tuple[Array, Array]:
        """By how much values miss a span, and what that and the risk of it cost."""
        span = beer.aims[quality]
        far = missed(quality, values, span)
        return far, far + risk(values, span, self.bench.sd_of(quality, values))

    def _bitter(self, plain: Choice) -> tuple[Array, Array]:
        """Cost of bitterness without and with a tea, and what of it is missed at the middle."""
        out = np.zeros((len(self.ibus), len(self.diluted), 2))
        off = np.zeros_like(out)
        if "ibu" not in plain.beer.aims:
            return out, off
        from_kettle = self.ibus[:, None] * (1.0 - self.diluted)
        tea = self._hop_tea_kg(plain, from_kettle)
        brought = tea * self.bench.iso_mg_per_kg(plain) / plain.volume_l
        for k, pitched in enumerate((from_kettle, from_kettle + brought)):
            ibu = self.bench.outcome(plain, np.full(pitched.size, 12.0), pitched.ravel()).ibu
            off[:, :, k], out[:, :, k] = self._near(plain.beer, "ibu", ibu.reshape(pitched.shape))
        return out, off

    def _hop_tea_kg(self, plain: Choice, from_kettle: Array) -> Array:
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
        out = np.zeros((len(self.srms), len(self.diluted), 2))
        off = np.zeros_like(out)
        if "colour_srm" not in plain.beer.aims:
            return out, off
        own = float(self.bench.outcome(plain, np.full(1, 12.0)).srm[0])  # of its fruit and sugar
        from_kettle = self.srms[:, None] * (1.0 - self.diluted) + own
        tea = self._grain_tea_kg(plain, from_kettle)
        brought = tea * self.bench.colour_srm_l_per_kg(plain) / plain.volume_l
        for k, srm in enumerate((from_kettle, from_kettle + brought)):
            off[:, :, k], out[:, :, k] = self._near(plain.beer, "colour_srm", srm)
        return out, off

    def _grain_tea_kg(self, plain: Choice, from_kettle: Array) -> Array:
        per_kg = self.bench.colour_srm_l_per_kg(plain) / plain.volume_l
        if per_kg <= 0.0 or self.wish.grain_tea is None or "colour_srm" not in plain.beer.aims:
            return np.zeros_like(from_kettle)
        return np.clip(
            (_into(plain.beer, "colour_srm") - from_kettle) / per_kg, 0.0, self.wish.grain_tea.mass_kg
        )

    def _pays(self, tables: Tables, treatment: Treatment, row: int, x: int) -> bool:
        """Whether a tea is worth its trouble."""
        without, with_tea = (tables.bitter if treatment == "hop tea" else tables.dark)[row, x]
        return bool(with_tea + tables.tea_trouble[treatment][row, x] < without)

    def _cost_of(self, tables: Tables, banned: Banned) -> Array:
        """What a beer costs, by [strength, bitterness, colour]."""
        gravity, bitter, dark = self._by_dilution(tables, banned)
        out = np.full((len(self.platos), len(self.ibus), len(self.srms)), np.inf)
        for x in range(len(self.diluted)):
            own = gravity[:, x, None, None] + bitter[None, :, x, None] + dark[None, None, :, x]
            np.minimum(out, own, out=out)
        return out

    def _by_dilution(self, tables: Tables, banned: Banned) -> tuple[Array, Array, Array]:
        """The cheapest gravity, bitterness and colour at each dilution, its own trouble in the first."""
        ways = [self._way_cost(tables.beer, way, banned).min(axis=2) for way in tables.ways]
        gravity = np.minimum.reduce(ways) + banned.price * tables.volume_l * (1.0 - self.diluted)
        return gravity, self._teas(tables, "hop tea", banned), self._teas(tables, "grain tea", banned)

    def _teas(self, tables: Tables, treatment: Treatment, banned: Banned) -> Array:
        both = tables.bitter if treatment == "hop tea" else tables.dark
        without: Array = both[:, :, 0]
        if not banned.allows(tables.beer, treatment):
            return without
        return np.minimum(without, both[:, :, 1] + tables.tea_trouble[treatment])

    def _way_cost(self, beer: BeerWanted, way: Way, banned: Banned) -> Array:
        """Cost of one way by [strength, dilution, sugar]; what is not allowed costs without end."""
        out = way.gravity + _trouble("dilution", self.diluted, MOST_DILUTED)[:, None]
        out += _trouble("sugar", self.sugars, float(self.sugars[-1]))
        if way.aged:
            out += TROUBLE["long ageing"]
        return np.where(self.allowed(beer, way, banned), out, np.inf)

    def allowed(self, beer: BeerWanted, way: Way, banned: Banned) -> Flags:
        """Whether the beer may have this yeast, dilution and sugar, by [strength, dilution, sugar]."""
        out = np.ones(way.gravity.shape, dtype=bool)
        if not banned.allows(beer, "dilution"):
            out[:, 1:] = False
        if not banned.allows(beer, "sugar") or self.sugars[-1] == 0.0:
            out[:, :, 1:] = False
        shut = (beer.key, way.portion.yeast.kind) in banned.yeasts
        if shut or (way.aged and not banned.allows(beer, "long ageing")):
            out[:] = False
        return out

    def _choice(self, tables: Tables, banned: Banned, at: tuple[int, int, int]) -> Choice:
        """What the beer chooses at a wort of the grid."""
        p, b, c = at
        gravity, bitter, dark = self._by_dilution(tables, banned)
        x = int(np.argmin(gravity[p] + bitter[b] + dark[c]))
        costs = [self._way_cost(tables.beer, way, banned)[p, x] for way in tables.ways]
        best = min(range(len(costs)), key=lambda n: float(costs[n].min()))
        way, s = tables.ways[best], int(np.argmin(costs[best]))
        plain = Choice(beer=tables.beer, way=way.portion, volume_l=tables.volume_l, aged=way.aged)
        share = 1.0 - self.diluted[x]
        hops = grain = 0.0
        if banned.allows(tables.beer, "hop tea") and self._pays(tables, "hop tea", b, x):
            hops = float(self._hop_tea_kg(plain, np.array([self.ibus[b] * share]))[0])
        if banned.allows(tables.beer, "grain tea") and self._pays(tables, "grain tea", c, x):
            grain = float(self._grain_tea_kg(plain, np.array([self.srms[c] * share]))[0])
        return replace(
            plain,
            dilution_l=float(self.diluted[x]) * tables.volume_l,
            sugar_kg=float(self.sugars[s]),
            hop_tea_kg=hops,
            grain_tea_kg=grain,
        )

    def polished(self, choice: Choice, wort: tuple[float, float, float], price: float) -> Choice:
        """The amounts brought to the point, on the forward run of the portion, and as they are measured."""
        active = {
            name: self.most(treatment, choice.volume_l)
            for treatment, name in AMOUNTS.items()
            if getattr(choice, name) > 0.0
        }
        if active:
            choice = self._searched(choice, wort, active, price)
        for name in active if not price else ():  # what the search has brought to nothing is left out
            without = _with_amounts(choice, (name,), np.zeros(1))
            if self.cost_at(without, wort) <= self.cost_at(choice, wort):
                choice = without
        return measured(choice)

    def _searched(
        self, choice: Choice, wort: tuple[float, float, float], active: dict[str, float], price: float
    ) -> Choice:
        from scipy.optimize import minimize

        tops = np.array(list(active.values()))
        start = np.array([getattr(choice, name) for name in active]) / tops

        def put(x: Array) -> Choice:
            return _with_amounts(choice, active, np.clip(x, 0.01, 1.0) * tops)

        def off(x: Array) -> float:
            beyond = float(np.sum(np.square(x - np.clip(x, 0.01, 1.0))))
            tried = put(x)
            return self.cost_at(tried, wort) + price * wort_l(self.wish, tried) + 100.0 * beyond

        found = minimize(off, start, method="Nelder-Mead", options={"xatol": 2e-3, "fatol": 1e-4})
        return put(found.x)

    def cost_at(self, choice: Choice, wort: tuple[float, float, float]) -> float:
        """What a choice costs at a wort: the beer's distance from its aims, and the trouble of it."""
        plato, ibu, srm = wort
        found = self.bench.outcome(choice, np.array([plato]), ibu, srm)
        off = sum(float(self._near(choice.beer, q, found.of(q))[1][0]) for q in choice.beer.aims)
        return off + self.trouble_of(choice)

    def trouble_of(self, choice: Choice) -> float:
        """What the beer's treatments cost as work."""
        return (TROUBLE["long ageing"] if choice.aged else 0.0) + sum(
            float(_trouble(treatment, np.array(getattr(choice, name)), self.most(treatment, choice.volume_l)))
            for treatment, name in AMOUNTS.items()
        )


def _with_amounts(choice: Choice, names: Iterable[str], amounts: Array) -> Choice:
    """The choice with these amounts of its treatments."""
    put: dict[str, Any] = dict(zip(names, amounts.tolist(), strict=True))
    return replace(choice, **put)


def _trouble(treatment: Treatment, amounts: Array, most: float) -> Array:
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
