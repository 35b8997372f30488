"""Rank what else a wort could become, by yeast and additions alone.

In:  a wish whose one beer is a portion with every yeast at hand, the model of the plan whose wort it gets,
     and spans to aim at, such as those of styles.
Out: `Becoming`s, nearest first: the yeast and the treatments, how near the beer then lies, and the odds.

Idea: the wort is given, so every yeast, dilution and sugar is tried once for all aims together; the best of
each aim is then brought to the point and forecast on all draws.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from gylebook.brewery.plan import Plan, Portion
from gylebook.brewery.wish import QUALITIES, Quality, Span, Wish
from gylebook.decide.bench import Bench
from gylebook.decide.nearness import Nearness, nearness, odds_of_all
from gylebook.decide.wished import Choice, plan_of, wort_l
from gylebook.decide.wort_search import Banned, WortSearch
from gylebook.errors import OutsideValidity
from gylebook.figures.draws import Value, standard_normal_latents
from gylebook.gyle.forecast import Model
from gylebook.gyle.names import Named

# Words that stand in many names and tell nothing of the yeast.
EVERYWHERE = frozenset(("ale", "style", "strong", "dry", "pale", "clean", "high", "gravity", "beer", "non"))
FOLDED = str.maketrans("öäüèé", "oauee")


@dataclass(frozen=True, slots=True, kw_only=True)
class Aim:
    """Something that a wort may become: its code, its name, its spans."""

    code: str
    name: str
    aims: Mapping[Quality, Span]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Becoming:
    """An aim, what it takes, and how near the beer then lies."""

    aim: Aim
    choice: Choice
    nearness: tuple[Nearness, ...]
    odds_all: float
    plan: Plan
    numbers: Mapping[str, Value]  # of this portion alone, by what comes after its key

    @property
    def within(self) -> bool:
        """Whether it lies inside every span at the middle of the forecast."""
        return all(near.steps == 0.0 for near in self.nearness)


def becomes(
    wish: Wish, model: Model, aims: Sequence[Aim], *, draws: int, seed: int, most: int
) -> tuple[Becoming, ...]:
    """The nearest of the aims, with what each takes; those with the best odds of all their spans first."""
    (beer,) = wish.beers
    bench = Bench(wish, model.brewery, brewed=model)
    wort = _wort(model, beer.key)
    found = []
    for aim in aims:
        one = replace(beer, name=aim.name, aims=aim.aims, ways=_kin_first(beer.ways, aim.name))
        search = WortSearch(bench, (one,), wort)
        best = search.roughly(Banned())
        found.append((best.cost, aim, best.choices[0], search))
    made = []
    for _, aim, choice, search in sorted(found, key=lambda one: one[0])[:most]:
        becoming = _made(wish, model, aim, search.polished(choice, wort, 0.0), draws, seed)
        if becoming is not None:
            made.append(becoming)
    return tuple(sorted(made, key=lambda b: (not b.within, -b.odds_all)))


def _wort(model: Model, key: str) -> tuple[float, float, float]:
    """The wort that the portion draws, at the middle: strength, bitterness, colour. [°P, IBU, SRM]"""
    course = model.course(np.zeros((1, len(model.figures)), order="F"))
    drawn = next(portion for portion in course.portions if portion.portion.key == key)
    litres = float(np.ravel(drawn.drawn.volume_l)[0])
    kettle = course.kettle.wort
    colour = float(np.ravel(kettle.colour_srm_l / kettle.mass_kg)[0])
    return (
        float(np.ravel(drawn.drawn.plato)[0]),
        float(np.ravel(drawn.kettle_iso_mg)[0]) / litres,
        colour * float(np.ravel(drawn.drawn.mass_kg)[0]) / litres,
    )


def _kin_first(ways: Sequence[Portion], name: str) -> tuple[Portion, ...]:
    """The yeasts, those first that go by a word of the beer's name; numbers alone cannot tell them apart."""
    wanted = _words(name)
    return tuple(sorted(ways, key=lambda way: -len(wanted & _words(way.yeast.kind))))


def _words(name: str) -> frozenset[str]:
    plain = "".join(c if c.isalpha() else " " for c in name.lower().translate(FOLDED))
    return frozenset(plain.split()) - EVERYWHERE


def _made(wish: Wish, model: Model, aim: Aim, choice: Choice, draws: int, seed: int) -> Becoming | None:
    """The portion made so, in the plan that it is a part of; None where no equation covers it."""
    plan = _put(wish, model.plan, choice)
    changed = Model(plan, model.brewery)
    try:
        numbers: Named = changed.forecast(standard_normal_latents(draws, len(changed.figures), seed))
    except OutsideValidity:
        return None
    return Becoming(
        aim=aim,
        choice=choice,
        nearness=nearness(aim.aims, numbers, choice.beer.key),
        odds_all=odds_of_all(aim.aims, numbers, choice.beer.key),
        plan=plan,
        numbers={name: numbers[f"portion.{choice.beer.key}.{name}"] for name in ("volume_l", *QUALITIES)},
    )


def _put(wish: Wish, plan: Plan, choice: Choice) -> Plan:
    """The plan with that portion made as chosen; the others stay as they are.

    The fermenter is filled as before, so that liquor and teas take the place of wort, which is left over.
    """
    key = choice.beer.key
    own = plan_of(wish, (choice,))
    (made,) = own.portions
    drawn = wort_l(wish, choice)
    by_volume = any(one.volume_l is not None for one in plan.portions)
    alike = 1.0 / len(plan.portions)

    def portion(one: Portion) -> Portion:
        share = None if by_volume else alike if one.share is None else one.share
        if one.key != key:
            return replace(one, share=share)
        taken = None if share is None else share * drawn / choice.volume_l
        return replace(made, name=choice.beer.name, share=taken, volume_l=drawn if by_volume else None)

    return replace(
        plan,
        portions=tuple(portion(one) for one in plan.portions),
        hops=tuple(hop for hop in plan.hops if hop.portion != key),
        additions=(
            *(it for it in plan.additions if it.at != key),
            *(it for it in own.additions if it.at == key),
        ),
        grain_teas=(*(tea for tea in plan.grain_teas if tea.at != key), *own.grain_teas),
        hop_teas=(*(tea for tea in plan.hop_teas if tea.at != key), *own.hop_teas),
    )
