"""Find the one wort from which all beers of a wish can be made with the least ado.

In:  a `Bench`, and what is left out of play.
Out: `Wort`: strength, bitterness and colour to knock out, with a `Choice` for each beer.

Idea: for a given wort each beer chooses for itself, so the search is a sum of the beers' tables over a grid
of worts.  Then each beer's own amounts are brought to the point on the forward run of its portion.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from gylebook.brewery.wish import BeerWanted, Treatment
from gylebook.decide.beer_tables import MOST_DILUTED, TROUBLE, TableMaker, Tables, Way, grid_of, trouble
from gylebook.decide.bench import USUAL_PLATO, Bench
from gylebook.decide.wished import Choice, measured, wort_l
from gylebook.errors import NotConverged
from gylebook.figures.draws import Array, Flags

A_TRIFLE = 1e-5  # for each °P from the usual, so that a wort nobody aims at is a usual one
# The field of a choice that holds each treatment's amount.
AMOUNTS: dict[Treatment, str] = {
    "dilution": "dilution_l",
    "sugar": "sugar_kg",
    "hop tea": "hop_tea_kg",
    "grain tea": "grain_tea_kg",
}


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
        self.grid = grid_of(bench, beers, wort)
        self.maker = TableMaker(bench, self.grid)
        self.beers = tuple(self.maker.tables(beer) for beer in beers)

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
        total: Array = np.where(self.grid.grist_gives, 0.0, np.inf)[:, None, :]
        total = np.broadcast_to(total, self.grid.shape).copy()
        total += A_TRIFLE * np.square(self.grid.platos - USUAL_PLATO)[:, None, None]
        for tables in self.beers:
            total += self._cost_of(tables, banned)
        if not np.isfinite(total.min()):
            raise NotConverged("A beer has no yeast left to make it with.")
        p, b, c = (int(n) for n in np.unravel_index(int(np.argmin(total)), total.shape))
        return Wort(
            plato=float(self.grid.platos[p]),
            ibu=float(self.grid.ibus[b]),
            srm=float(self.grid.srms[c]),
            choices=tuple(self._choice(tables, banned, (p, b, c)) for tables in self.beers),
            cost=float(total[p, b, c]),
        )

    def _pays(self, tables: Tables, treatment: Treatment, row: int, x: int) -> bool:
        """Whether a tea is worth its trouble."""
        without, with_tea = (tables.bitter if treatment == "hop tea" else tables.dark)[row, x]
        return bool(with_tea + tables.tea_trouble[treatment][row, x] < without)

    def _cost_of(self, tables: Tables, banned: Banned) -> Array:
        """What a beer costs, by [strength, bitterness, colour]."""
        gravity, bitter, dark = self._by_dilution(tables, banned)
        out = np.full(self.grid.shape, np.inf)
        for x in range(len(self.grid.diluted)):
            own = gravity[:, x, None, None] + bitter[None, :, x, None] + dark[None, None, :, x]
            np.minimum(out, own, out=out)
        return out

    def _by_dilution(self, tables: Tables, banned: Banned) -> tuple[Array, Array, Array]:
        """The cheapest gravity, bitterness and colour at each dilution, its own trouble in the first."""
        ways = [self._way_cost(tables.beer, way, banned).min(axis=2) for way in tables.ways]
        gravity = np.minimum.reduce(ways) + banned.price * tables.volume_l * (1.0 - self.grid.diluted)
        return gravity, self._teas(tables, "hop tea", banned), self._teas(tables, "grain tea", banned)

    def _teas(self, tables: Tables, treatment: Treatment, banned: Banned) -> Array:
        both = tables.bitter if treatment == "hop tea" else tables.dark
        without: Array = both[:, :, 0]
        if not banned.allows(tables.beer, treatment):
            return without
        return np.minimum(without, both[:, :, 1] + tables.tea_trouble[treatment])

    def _way_cost(self, beer: BeerWanted, way: Way, banned: Banned) -> Array:
        """Cost of one way by [strength, dilution, sugar]; what is not allowed costs without end."""
        out = way.gravity + trouble("dilution", self.grid.diluted, MOST_DILUTED)[:, None]
        out += trouble("sugar", self.grid.sugars, float(self.grid.sugars[-1]))
        if way.aged:
            out += TROUBLE["long ageing"]
        return np.where(self.allowed(beer, way, banned), out, np.inf)

    def allowed(self, beer: BeerWanted, way: Way, banned: Banned) -> Flags:
        """Whether the beer may have this yeast, dilution and sugar, by [strength, dilution, sugar]."""
        out = np.ones(way.gravity.shape, dtype=bool)
        if not banned.allows(beer, "dilution"):
            out[:, 1:] = False
        if not banned.allows(beer, "sugar") or self.grid.sugars[-1] == 0.0:
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
        share = 1.0 - self.grid.diluted[x]
        hops = grain = 0.0
        if banned.allows(tables.beer, "hop tea") and self._pays(tables, "hop tea", b, x):
            hops = float(self.maker.hop_tea_kg(plain, np.array([self.grid.ibus[b] * share]))[0])
        if banned.allows(tables.beer, "grain tea") and self._pays(tables, "grain tea", c, x):
            grain = float(self.maker.grain_tea_kg(plain, np.array([self.grid.srms[c] * share]))[0])
        return replace(
            plain,
            dilution_l=float(self.grid.diluted[x]) * tables.volume_l,
            sugar_kg=float(self.grid.sugars[s]),
            hop_tea_kg=hops,
            grain_tea_kg=grain,
        )

    def polished(self, choice: Choice, wort: tuple[float, float, float], price: float) -> Choice:
        """The amounts brought to the point, on the forward run of the portion, and as they are measured."""
        active = {
            name: self.maker.most(treatment, choice.volume_l)
            for treatment, name in AMOUNTS.items()
            if getattr(choice, name) > 0.0
        }
        if active:
            choice = self._searched(choice, wort, active, price)
        for name in active if not price else ():  # what the search has brought to nothing is left out
            without = _with_amounts(choice, (name,), np.zeros(1))
            if self.cost_at(without, wort) <= self.cost_at(choice, wort):
                choice = without
        return self._measured(choice, wort)

    def _measured(self, choice: Choice, wort: tuple[float, float, float]) -> Choice:
        """The choice in amounts that can be measured out, each taken up or down to where it costs less."""
        for treatment, name in AMOUNTS.items():
            amount = getattr(choice, name)
            if amount > 0.0:
                either = [_with_amounts(choice, (name,), np.array([a])) for a in measured(amount, treatment)]
                choice = min(either, key=lambda one: self.cost_at(one, wort))
        return choice

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
        off = sum(float(self.maker.near(choice.beer, q, found.of(q))[1][0]) for q in choice.beer.aims)
        return off + self.trouble_of(choice)

    def trouble_of(self, choice: Choice) -> float:
        """What the beer's treatments cost as work."""
        out = TROUBLE["long ageing"] if choice.aged else 0.0
        for treatment, name in AMOUNTS.items():
            most = self.maker.most(treatment, choice.volume_l)
            out += float(trouble(treatment, np.array(getattr(choice, name)), most))
        return out


def _with_amounts(choice: Choice, names: Iterable[str], amounts: Array) -> Choice:
    """The choice with these amounts of its treatments."""
    put: dict[str, Any] = dict(zip(names, amounts.tolist(), strict=True))
    return replace(choice, **put)
