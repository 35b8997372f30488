"""Try on paper what one wort could become in one fermenter.

In:  a wish and a brewery.
Out: `Bench`: how a beer turns out for worts of many strengths, diluted or sugared by so much, with each of
     its yeasts; how bitter and how dark it ends; what a gram of tea brings; what colours the grist can give.

Idea: all of it is asked of the forward run of one portion, at the middle of every figure and for many worts
at once.  Bitterness and colour go with the mass and never with each other or the gravity, so small tables
stand for all worts there are.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from functools import cached_property

import numpy as np

from gylebook.brewery.plan import Aims, Portion
from gylebook.brewery.site import Brewery
from gylebook.brewery.wish import QUALITIES, BeerWanted, Quality, Treatment, Wish
from gylebook.decide.solve import solve
from gylebook.decide.wished import Choice, grist_of, plan_of, wort_l
from gylebook.figures.draws import Array, Value, standard_normal_latents
from gylebook.gyle.course import Course
from gylebook.gyle.forecast import Model
from gylebook.gyle.limits import HEAD_ROOM, limits
from gylebook.gyle.portions import PortionCourse, run_portion
from gylebook.gyle.treat import treated
from gylebook.gyle.wort import Measured, Wort, add_liquor

FILLED = 0.92  # of what a fermenter holds below its head room: wort comes out some per cent either way
FEW = 100  # draws, enough to know a spread
STRENGTHS = (6.0, 12.0, 20.0)  # °P at which the colour of the grist and the size of the gear are asked
SEED = 1
RELATIVE: tuple[Quality, ...] = ("ibu", "colour_srm")  # known to a share of themselves
USUAL_PLATO, USUAL_IBU = 12.5, 25.0
TRIAL_HOPS_KG, TRIAL_GRAIN_KG, TRIAL_L = 0.02, 0.2, 20.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Outcome:
    """What worts become, as arrays over them."""

    og: Array
    fg: Array
    abv: Array
    ibu: Array
    srm: Array
    plato: Array
    volume_l: Array
    mass_kg: Array

    def of(self, quality: Quality) -> Array:
        """One quality."""
        found: Mapping[Quality, Array] = {
            "og": self.og,
            "fg": self.fg,
            "abv": self.abv,
            "ibu": self.ibu,
            "colour_srm": self.srm,
        }
        return found[quality]


class Bench:
    """The wish's process on this brewery, at the middle of all figures.

    `brewed` is the model of a plan whose wort is settled already, so that no usual one is made for a probe.
    """

    def __init__(
        self, wish: Wish, brewery: Brewery, *, filled: float = 1.0, brewed: Model | None = None
    ) -> None:
        self.wish, self.brewery, self.filled, self.brewed = wish, brewery, filled, brewed
        self._figures: dict[tuple[str, str, bool], Mapping[str, Array]] = {}
        self._thinned: dict[tuple[object, ...], Outcome] = {}
        self._teas: dict[tuple[str, float], _Brought] = {}

    def volume_of(self, beer: BeerWanted) -> float:
        """Wort in the beer's fermenter: what was asked for, or what it takes below its head room. [L]

        The gear may make less than fills all; then those without a volume of their own are `filled` less.
        """
        if beer.volume_l is not None:
            return beer.volume_l
        way = beer.ways[0]
        room = HEAD_ROOM if way.head_room is None else way.head_room
        holds = self.brewery.fermenters[way.fermenter].capacity_l / (1.0 + room)
        return self.filled * FILLED * holds

    def way(self, portion: Portion, aged: bool) -> Portion:
        """The portion as it is when it is aged long, or not."""
        return replace(portion, later=self.wish.ageing) if aged else portion

    def outcome(self, choice: Choice, plato: Value, ibu: Value = 0.0, srm: Value = 0.0) -> Outcome:
        """What worts of this strength, bitterness and colour become with all that the choice says."""
        measured = Measured.as_strong_as(np.asarray(plato, dtype=float), wort_l(self.wish, choice))
        return self._run(choice, measured.wort(ibu, srm))

    def thinned(self, choice: Choice, plato: Array, diluted: Array, sugars: Array) -> Outcome:
        """What worts become when a share of the fermenter is filled with liquor, and with so much sugar.

        By [strength, share, kilograms].
        """
        tried = (choice.beer.key, choice.way.yeast.kind, choice.aged, choice.volume_l)
        asked = (*tried, plato.tobytes(), diluted.tobytes(), sugars.tobytes())
        if asked not in self._thinned:  # another beer's aims ask the same of the same wort
            found = [self._thin(replace(choice, sugar_kg=float(kg)), plato, diluted) for kg in sugars]
            self._thinned[asked] = Outcome(
                **{f.name: np.stack([getattr(one, f.name) for one in found], axis=2) for f in fields(Outcome)}
            )
        return self._thinned[asked]

    def _thin(self, choice: Choice, plato: Array, diluted: Array) -> Outcome:
        platos, shares = np.meshgrid(plato, diluted, indexing="ij")
        litres = wort_l(self.wish, choice)
        wort = Measured.as_strong_as(platos.ravel(), litres * (1.0 - shares.ravel())).wort()
        liquor = Measured.as_strong_as(np.zeros(shares.size), litres * shares.ravel())
        found = self._run(choice, add_liquor(wort, liquor.mass_kg))
        return Outcome(**{f.name: getattr(found, f.name).reshape(platos.shape) for f in fields(Outcome)})

    def _run(self, choice: Choice, wort: Wort) -> Outcome:
        plan = plan_of(self.wish, (choice,))
        portion = plan.portions[0]
        figures = self._figures_of(choice)
        course, _ = run_portion(plan, self.brewery, figures, portion, wort, self.probe.limit)
        return _outcome(course, np.shape(wort.water_kg))

    def _figures_of(self, choice: Choice) -> Mapping[str, Array]:
        """The middle of every figure that a portion may ask, teas and dry hops among them."""
        name = (choice.beer.key, choice.way.yeast.kind, choice.aged)
        if name not in self._figures:
            wish = self.wish
            full = replace(
                choice,
                hop_tea_kg=wish.hop_tea.mass_kg if wish.hop_tea else 0.0,
                grain_tea_kg=wish.grain_tea.mass_kg if wish.grain_tea else 0.0,
            )
            model = Model(plan_of(wish, (full,)), self.brewery)
            self._figures[name] = model.draw(np.zeros((1, len(model.figures)), order="F"))
        return self._figures[name]

    def iso_mg_per_kg(self, choice: Choice) -> float:
        """Bitterness that a kilogram of hops brings as a tea; nothing where there are none."""
        if self.wish.hop_tea is None:
            return 0.0
        return self._brought("hop tea", replace(choice, hop_tea_kg=TRIAL_HOPS_KG)).iso_mg / TRIAL_HOPS_KG

    def colour_srm_l_per_kg(self, choice: Choice) -> float:
        """Colour that a kilogram of steeped grain brings."""
        if self.wish.grain_tea is None:
            return 0.0
        brought = self._brought("grain tea", replace(choice, grain_tea_kg=TRIAL_GRAIN_KG))
        return brought.srm_l / TRIAL_GRAIN_KG

    def _brought(self, tea: Treatment, choice: Choice) -> _Brought:
        asked = (tea, choice.volume_l)
        if asked not in self._teas:
            self._teas[asked] = self._steeped(choice)
        return self._teas[asked]

    def _steeped(self, choice: Choice) -> _Brought:
        """Bitterness and colour that a trial of a tea brings."""
        plain = Measured.as_strong_as(np.full(1, USUAL_PLATO), TRIAL_L).wort()
        bare = replace(choice, dilution_l=0.0, sugar_kg=0.0)
        plan = plan_of(self.wish, (bare,))
        made = treated(plan, plan.portions[0], self._figures_of(choice), plain).wort
        own = plan_of(self.wish, (replace(bare, hop_tea_kg=0.0, grain_tea_kg=0.0),))
        without = treated(own, own.portions[0], self._figures_of(choice), plain).wort
        return _Brought(
            iso_mg=float(np.sum(made.iso_alpha_mg) - np.sum(without.iso_alpha_mg)),
            srm_l=float(np.sum(made.colour_srm_l) - np.sum(without.colour_srm_l)),
        )

    @cached_property
    def probe(self) -> Course:
        """A usual wort of this process, for what strength does not change: how far its mash lets yeast go."""
        return self._usual[1]

    @cached_property
    def _usual(self) -> tuple[Model, Course]:
        if self.brewed is None:
            return self._probed(self.whole_l, USUAL_PLATO, 0.0)
        return self.brewed, self.brewed.course(np.zeros((1, len(self.brewed.figures)), order="F"))

    @cached_property
    def spread(self) -> Mapping[Quality, float]:
        """How well each quality of a beer is known: sd of gravities and alcohol, relative of the others."""
        model, _ = self._usual
        latents = standard_normal_latents(FEW, len(model.figures), SEED)
        stem = f"portion.{self.wish.beers[0].key}."
        numbers = model.forecast(latents)
        sds = {quality: float(np.std(numbers[stem + quality])) for quality in QUALITIES}
        for quality in RELATIVE:
            sds[quality] /= max(float(np.median(numbers[stem + quality])), 1e-9)
        return sds

    def sd_of(self, quality: Quality, values: Array) -> Array:
        """Standard deviation of a quality that is foreseen at these values."""
        return self.spread[quality] * (values if quality in RELATIVE else np.ones_like(values))

    @cached_property
    def whole_l(self) -> float:
        """What all fermenters are to hold. [L]"""
        return sum(self.volume_of(beer) for beer in self.wish.beers)

    def colours(self, platos: Array) -> tuple[Array, Array]:
        """The palest and the darkest that the grist can be, at each strength. [SRM]"""
        known = np.array(STRENGTHS)
        pale, dark = (
            np.exp(np.interp(platos, known, np.log([self._colour(plato, part) for plato in known])))
            for part in (0.0, 1.0)
        )
        return pale, dark

    def _colour(self, plato: float, part: float) -> float:
        (portion,) = self._probed(self.whole_l, plato, part)[1].portions
        return float(np.median(portion.srm))

    def most_l(self, plato: float) -> float:
        """How much wort of a strength the gear makes with every limit of its vessels kept. [L]"""
        return float(np.interp(plato, STRENGTHS, self._most_at))

    @cached_property
    def _most_at(self) -> list[float]:
        return [self._most(plato) for plato in STRENGTHS]

    def _most(self, plato: float) -> float:
        """Where the first margin runs out, drawn on from two volumes: margins fall evenly with the volume."""
        litres = (0.5 * self.whole_l, 0.8 * self.whole_l)
        margins = [self._margins(volume, plato) for volume in litres]
        ends = [
            litres[0] + (litres[1] - litres[0]) * one / (one - other)
            for one, other in zip(*margins, strict=True)
            if one > other
        ]
        return max(min(ends, default=math.inf), 0.0)

    def _margins(self, volume_l: float, plato: float) -> list[float]:
        """The margin of every limit of the hot side, as surely as the brewer asks."""
        model, _ = self._probed(volume_l, plato, 0.0)
        latents = standard_normal_latents(FEW, len(model.figures), SEED)
        course = model.course(latents)
        return [
            float(np.quantile(limit.margin, 1.0 - self.wish.base.aims.odds))
            for limit in limits(model.plan, self.brewery, model.draw(latents), course)
            if limit.sized and limit.portion is None and limit.unit in ("L", "kg")
        ]

    def _probed(self, litres: float, plato: float, part: float) -> tuple[Model, Course]:
        """So much wort of this strength, divided among nobody, and its middling course."""
        wish = self.wish
        hops = tuple(hop for hop in wish.base.hops if hop.portion is None)
        way = wish.beers[0].ways[0]
        plan = replace(
            wish.base,
            aims=Aims(volume_l=litres, plato=plato, bitterness_ibu=USUAL_IBU if hops else None, odds=0.5),
            hops=hops,
            additions=tuple(it for it in wish.base.additions if it.at in ("boil", "kettle end")),
            grist=grist_of(wish, part),
            portions=(replace(way, share=1.0, volume_l=None, top_up_l=0.0),),
        )
        middle = np.zeros((1, len(Model(plan, self.brewery).figures)), order="F")
        model = Model(solve(plan, self.brewery, middle), self.brewery)
        return model, model.course(middle)


@dataclass(frozen=True, slots=True)
class _Brought:
    iso_mg: float
    srm_l: float


def _outcome(course: PortionCourse, shape: tuple[int, ...]) -> Outcome:
    def filled(value: Value) -> Array:
        return np.broadcast_to(np.asarray(value, dtype=float), shape)

    return Outcome(
        og=filled(course.pitched.sg),
        fg=filled(course.fg),
        abv=filled(course.abv),
        ibu=filled(course.ibu),
        srm=filled(course.srm),
        plato=filled(course.pitched.plato),
        volume_l=filled(course.pitched.volume_l),
        mass_kg=filled(course.pitched.mass_kg),
    )
