"""What a face may show of a divided wort: solutions, beers, conflicts, and what a wort could become.

In:  what `decide` found.  Out: frozen views in base units.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from gylebook.brewery.plan import Plan, Portion
from gylebook.brewery.wish import Quality, Span, Treatment
from gylebook.decide.becomes import Becoming
from gylebook.decide.conflicts import Conflict, Matter, Unmade, said_by
from gylebook.decide.divide import BeerMade, Solution
from gylebook.decide.nearness import Nearness
from gylebook.figures.draws import Summary, summarise
from gylebook.matter.extract import sg_from_plato
from gylebook.tasks.run_view import limit_view
from gylebook.tasks.views import LimitView

# What can hurt, or spoil the next beer, with a way to make one.
Caution = Literal["boiled liquor", "souring bacteria", "Brettanomyces", "bottles", "hot tea"]


@dataclass(frozen=True, slots=True, kw_only=True)
class NearView:
    """One quality of a beer at the middle, and its span; `over` is how far outside, below zero under it."""

    quality: Quality
    value: float
    span: Span
    over: float
    odds_inside: float


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnView:
    """Something that one beer gets of its own: how much of what [kg, L], in how much water, for how long.

    `of_wort` tells that it is no water but the beer's own wort.
    """

    treatment: Treatment
    of: str
    amount: float
    dimension: str
    water_l: float | None = None
    minutes: float | None = None
    hot: bool = True
    of_wort: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeView:
    """One beer of a divided wort: its yeast, what it gets of its own, and how near it lies."""

    key: str
    name: str
    style: str
    fermenter: str
    yeast: str
    packs: float
    later: str
    own: tuple[OwnView, ...]
    near: tuple[NearView, ...]
    odds_all: float
    volume_l: Summary
    og: Summary
    fg: Summary
    abv: Summary
    ibu: Summary
    colour_srm: Summary
    cautions: tuple[Caution, ...]

    @property
    def inside(self) -> int:
        """How many of its qualities lie inside their spans."""
        return sum(near.over == 0.0 for near in self.near)


@dataclass(frozen=True, slots=True, kw_only=True)
class SolutionView:
    """One wort, its beers, and the limits of the brewery that it does not keep.

    `grist` is name and kilograms, `hops` variety, use, minutes and kilograms.
    """

    number: int
    volume_l: Summary
    wort_og: Summary
    wort_ibu: Summary
    grist: tuple[tuple[str, float], ...]
    hops: tuple[tuple[str, str, float, float], ...]
    mash_l: float
    rinse_l: float
    beers: tuple[MadeView, ...]
    lost: tuple[LimitView, ...]

    @property
    def served(self) -> bool:
        """Whether every beer lies inside all its spans at the middle."""
        return all(beer.inside == len(beer.near) for beer in self.beers)

    @property
    def treatments(self) -> int:
        """How many treatments all beers together ask for."""
        return sum(len(beer.own) for beer in self.beers)


@dataclass(frozen=True, slots=True, kw_only=True)
class ConflictView:
    """Two beers that no one wort serves.

    `less_wants` and `more_wants` are of the beers, in the quality that each says it by; `at_most` and
    `at_least` of the wort that each could still come from. [SG, IBU, SRM]  `amount` [L, kg] of `bridge`
    would bring `bridged` there; None where none would.
    """

    matter: Matter
    less: str
    less_by: Quality
    less_wants: float | None
    at_most: float
    more: str
    more_by: Quality
    more_wants: float | None
    at_least: float
    bridge: Treatment
    bridged: str
    amount: float | None
    volume_l: float


@dataclass(frozen=True, slots=True, kw_only=True)
class UnmadeView:
    """A beer that none of the worts tried serves, in this, with all that it may get. [SG, IBU, SRM]"""

    matter: Matter
    beer: str
    least: float
    most: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BecomingView:
    """A style, and what it takes to make it of a wort; `within` all its spans at the middle or not."""

    code: str
    name: str
    within: bool
    made: MadeView


def solution_view(number: int, solution: Solution) -> SolutionView:
    """One solution as it is shown."""
    plan, numbers = solution.plan, solution.numbers
    return SolutionView(
        number=number,
        volume_l=summarise(numbers["fermenters.volume_l"]),
        wort_og=summarise(numbers["kettle.end.gravity"]),
        wort_ibu=summarise(numbers["kettle.end.ibu"]),
        grist=tuple((grain.name, grain.mass_kg or 0.0) for grain in plan.grist),
        hops=tuple((hop.variety, hop.use, hop.minutes, hop.mass_kg or 0.0) for hop in plan.hops),
        mash_l=plan.liquor.mash_l or 0.0,
        rinse_l=plan.liquor.rinse_l or 0.0,
        beers=tuple(_made(beer, solution) for beer in solution.beers),
        lost=tuple(
            limit_view(limit, plan.aims.odds) for limit in solution.limits if limit.odds_kept < plan.aims.odds
        ),
    )


def _made(beer: BeerMade, solution: Solution) -> MadeView:
    stem = f"portion.{beer.choice.beer.key}."
    summed = {name: summarise(solution.numbers[stem + name]) for name in _NUMBERS}
    return made_view(
        solution.plan,
        beer.choice.beer.key,
        style=beer.choice.beer.style,
        near=beer.nearness,
        odds_all=beer.odds_all,
        numbers=summed,
    )


_NUMBERS = ("volume_l", "og", "fg", "abv", "ibu", "colour_srm")


def made_view(
    plan: Plan,
    key: str,
    *,
    style: str,
    near: Sequence[Nearness],
    odds_all: float,
    numbers: dict[str, Summary],
) -> MadeView:
    """One portion of a plan as a beer that was wanted."""
    portion = next(one for one in plan.portions if one.key == key)
    own = tuple(_own(plan, portion))
    return MadeView(
        key=key,
        name=portion.name,
        style=style,
        fermenter=portion.fermenter,
        yeast=portion.yeast.kind,
        packs=portion.yeast.packs,
        later=portion.later.kind if portion.later else "",
        own=own,
        near=tuple(_near(one) for one in near),
        odds_all=odds_all,
        cautions=_cautions(portion, own),
        **numbers,
    )


def _near(near: Nearness) -> NearView:
    low, high = near.span
    over = 0.0
    if near.steps < 0.0 and low is not None:
        over = near.value - low
    elif near.steps > 0.0 and high is not None:
        over = near.value - high
    return NearView(
        quality=near.quality, value=near.value, span=near.span, over=over, odds_inside=near.odds_inside
    )


def _own(plan: Plan, portion: Portion) -> list[OwnView]:
    """What the portion gets that the others do not, of what a search may choose."""
    out = []
    if portion.top_up_l > 0.0:
        out.append(OwnView(treatment="dilution", of="", amount=portion.top_up_l, dimension="volume"))
    for it in plan.additions:
        if it.at == portion.key and it.key == f"sugar for {portion.key}":
            out.append(OwnView(treatment="sugar", of=it.name, amount=it.mass_kg, dimension="mass"))
    for tea in plan.hop_teas:
        if tea.at == portion.key:
            out.append(
                OwnView(
                    treatment="hop tea",
                    of=tea.variety,
                    amount=tea.mass_kg,
                    dimension="mass",
                    water_l=tea.water_l,
                    minutes=tea.minutes,
                    of_wort=tea.of_wort,
                )
            )
    for steeped in plan.grain_teas:
        if steeped.at == portion.key:
            out.append(
                OwnView(
                    treatment="grain tea",
                    of=steeped.name,
                    amount=steeped.mass_kg,
                    dimension="mass",
                    water_l=steeped.water_l,
                    hot=steeped.hot,
                )
            )
    later = portion.later
    if later is not None and later.attenuation is not None:
        out.append(OwnView(treatment="long ageing", of=later.kind, amount=later.months, dimension="months"))
    return out


def _cautions(portion: Portion, own: Sequence[OwnView]) -> tuple[Caution, ...]:
    """What to say at the beer: what can burn, burst, or spoil the next one."""
    treatments = {one.treatment for one in own}
    out: list[Caution] = []
    if "dilution" in treatments:
        out.append("boiled liquor")
    if treatments & {"hop tea", "grain tea"}:
        out.append("hot tea")
    if portion.later is not None:
        out.append("souring bacteria" if portion.later.attenuation is None else "Brettanomyces")
    if portion.package.kind == "bottles":
        out.append("bottles")
    return tuple(out)


def conflict_view(conflict: Conflict) -> ConflictView:
    """One conflict, strengths of wort as gravities."""
    matter, less, more = conflict.matter, conflict.less, conflict.more
    less_by, more_by = said_by(matter, less), said_by(matter, more)
    if less_by is None or more_by is None:  # only beers that say what they want can be apart
        raise ValueError("a conflict about what one of the beers does not aim at")
    return ConflictView(
        matter=matter,
        less=less.name,
        less_by=less_by,
        less_wants=less.aims[less_by][1],
        at_most=_of_the_wort(matter, conflict.at_most),
        more=more.name,
        more_by=more_by,
        more_wants=more.aims[more_by][0],
        at_least=_of_the_wort(matter, conflict.at_least),
        bridge=conflict.bridge,
        bridged=conflict.bridged.name,
        amount=conflict.amount,
        volume_l=conflict.volume_l,
    )


def unmade_view(found: Unmade) -> UnmadeView:
    """A beer that no wort serves, strengths of wort as gravities."""
    least, most = (_of_the_wort(found.matter, value) for value in (found.least, found.most))
    return UnmadeView(matter=found.matter, beer=found.beer.name, least=least, most=most)


def _of_the_wort(matter: Matter, value: float) -> float:
    """A strength of wort as its gravity, the others as they are."""
    return float(sg_from_plato(value)) if matter == "strength" else value


def becoming_view(found: Becoming) -> BecomingView:
    """A style within reach, or nearly so."""
    return BecomingView(
        code=found.aim.code,
        name=found.aim.name,
        within=found.within,
        made=made_view(
            found.plan,
            found.choice.beer.key,
            style=found.aim.code,
            near=found.nearness,
            odds_all=found.odds_all,
            numbers={name: summarise(draws) for name, draws in found.numbers.items()},
        ),
    )
