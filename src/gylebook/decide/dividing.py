"""Divide portions that no fermenter holds whole, as far as others stand empty.

In:  a beer and its plan, what each portion needs to the brim, and the fermenters there are.
Out: the same beer with such portions in several parts, each with its share of all that goes into it; `Note`s.

Idea: parts fill their fermenters alike, so each is as large as its fermenter.  The first part keeps the
portion's key, so that both plans can be laid side by side.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

from gylebook.brewery.beer import Beer, PortionOfBeer
from gylebook.brewery.gear import Fermenter
from gylebook.brewery.ingredients import Addition, GrainTea, Hop, HopTea
from gylebook.brewery.plan import Blend, Plan, Portion
from gylebook.decide.carried import Note
from gylebook.decide.housing import housed

Tea = TypeVar("Tea", GrainTea, HopTea)


@dataclass(frozen=True, slots=True, kw_only=True)
class Divided:
    """A beer whose portions fit their fermenters as far as these reach."""

    beer: Beer
    asked: Plan
    solved: Plan
    notes: tuple[Note, ...] = ()


@dataclass(frozen=True, slots=True)
class _Part:
    """One part of a portion: its number, key, fermenter, and how much of the portion it is."""

    number: int
    key: str
    fermenter: str
    of_it: float


def divided(
    beer: Beer, asked: Plan, solved: Plan, to_brim: Mapping[str, float], fermenters: Mapping[str, Fermenter]
) -> Divided:
    """The beer with a portion in several fermenters where none holds it whole and others are free.

    Where some portions are sized by litres and others take the rest, all stay whole.
    """
    sized = {portion.volume_l is not None for portion in asked.portions}
    taken = {} if len(sized) > 1 else _taken(asked, to_brim, fermenters)
    parts = {key: _parts(key, found, [p.key for p in asked.portions]) for key, found in taken.items()}
    if not parts:
        return Divided(beer=beer, asked=asked, solved=solved)
    names = {portion.key: portion.name for portion in asked.portions}
    return Divided(
        beer=replace(beer, portions=tuple(_beers(beer.portions, parts))),
        asked=_plan(asked, parts),
        solved=_plan(solved, parts),
        notes=tuple(
            Note(kind="portion divided", of=names[key], after=float(len(found)))
            for key, found in taken.items()
        ),
    )


def _taken(
    asked: Plan, to_brim: Mapping[str, float], fermenters: Mapping[str, Fermenter]
) -> dict[str, list[Fermenter]]:
    """Fermenters of each portion that takes more than one, the fewest."""
    found = housed(to_brim, {p.key: p.fermenter for p in asked.portions}, fermenters)
    free = [one for one in fermenters.values() if one.key not in found.values()]
    out = {}
    for key in sorted(found, key=lambda key: -to_brim[key]):
        own = [fermenters[found[key]]]
        while free and (short := to_brim[key] - sum(one.capacity_l for one in own)) > 0.0:
            enough = [one for one in free if one.capacity_l >= short]
            chosen = min(enough, key=_size) if enough else max(free, key=_size)
            free.remove(chosen)
            own.append(chosen)
        if len(own) > 1:
            out[key] = own
    return out


def _size(fermenter: Fermenter) -> float:
    return fermenter.capacity_l


def _parts(key: str, fermenters: Sequence[Fermenter], keys: Sequence[str]) -> list[_Part]:
    whole = sum(one.capacity_l for one in fermenters)
    out: list[_Part] = []
    for number, vessel in enumerate(fermenters, start=1):
        own = key if number == 1 else f"{key}-{number}"
        while number > 1 and own in keys:
            own += "-"
        out.append(_Part(number, own, vessel.key, vessel.capacity_l / whole))
    return out


def _beers(portions: Sequence[PortionOfBeer], parts: Mapping[str, list[_Part]]) -> Iterator[PortionOfBeer]:
    for one in portions:
        for part in parts.get(one.key, ()):
            yield replace(
                one,
                key=part.key,
                volume_l=one.volume_l * part.of_it,
                most_l=one.most_l * part.of_it,
                packs_needed=one.packs_needed * part.of_it,
            )
        if one.key not in parts:
            yield one


def _plan(plan: Plan, parts: Mapping[str, list[_Part]]) -> Plan:
    even = 1.0 / len(plan.portions)
    return replace(
        plan,
        hops=tuple(_hops(plan.hops, parts)),
        additions=tuple(_additions(plan.additions, parts)),
        portions=tuple(_portions(plan.portions, parts, even)),
        grain_teas=tuple(_teas(plan.grain_teas, parts)),
        hop_teas=tuple(_teas(plan.hop_teas, parts)),
        blends=tuple(_blend(blend, parts) for blend in plan.blends),
    )


def _portions(
    portions: Sequence[Portion], parts: Mapping[str, list[_Part]], even: float
) -> Iterator[Portion]:
    for one in portions:
        share = None if one.volume_l is not None else even if one.share is None else one.share
        for part in parts.get(one.key, ()):
            yield replace(
                one,
                key=part.key,
                name=one.name if part.number == 1 else f"{one.name} {part.number}",
                fermenter=part.fermenter,
                share=None if share is None else share * part.of_it,
                volume_l=None if one.volume_l is None else one.volume_l * part.of_it,
                top_up_l=one.top_up_l * part.of_it,
                yeast=replace(one.yeast, packs=one.yeast.packs * part.of_it),
            )
        if one.key not in parts:
            yield replace(one, share=share)


def _hops(hops: Sequence[Hop], parts: Mapping[str, list[_Part]]) -> Iterator[Hop]:
    for hop in hops:
        own = parts.get(hop.portion or "", ())
        for part in own:
            mass_kg = None if hop.mass_kg is None else hop.mass_kg * part.of_it
            yield replace(hop, key=_key(hop.key, part), portion=part.key, mass_kg=mass_kg)
        if not own:
            yield hop


def _additions(additions: Sequence[Addition], parts: Mapping[str, list[_Part]]) -> Iterator[Addition]:
    for one in additions:
        own = parts.get(one.at, ())
        for part in own:
            yield replace(one, key=_key(one.key, part), at=part.key, mass_kg=one.mass_kg * part.of_it)
        if not own:
            yield one


def _teas(teas: Sequence[Tea], parts: Mapping[str, list[_Part]]) -> Iterator[Tea]:
    for tea in teas:
        own = parts.get(tea.at, ())
        for part in own:
            mass_kg, water_l = tea.mass_kg * part.of_it, tea.water_l * part.of_it
            yield replace(tea, key=_key(tea.key, part), at=part.key, mass_kg=mass_kg, water_l=water_l)
        if not own:
            yield tea


def _blend(blend: Blend, parts: Mapping[str, list[_Part]]) -> Blend:
    """As much of each part as of the whole portion."""
    return replace(
        blend,
        parts=tuple(
            (own, share)
            for key, share in blend.parts
            for own in ([part.key for part in parts[key]] if key in parts else [key])
        ),
    )


def _key(key: str, part: _Part) -> str:
    return key if part.number == 1 else f"{key}-{part.number}"
