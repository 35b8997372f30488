"""Describe the beers that are wanted of one wort, before anyone knows what that wort is.

In:  a wish file read at the border.
Out: `Wish`, frozen: how the wort is made, the beers, and what each of them is allowed.

Idea: a beer is wanted as spans of five qualities; what is left out is free.  Its `ways` are the same portion
with each yeast that may make it.  Nothing here computes.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, get_args

from gylebook.brewery.ingredients import Addition, Grain, GrainTea, HopTea
from gylebook.brewery.plan import Later, Plan, Portion

# Named as a portion's numbers are: original and final gravity [SG], alcohol [% vol], bitterness, colour.
Quality = Literal["og", "fg", "abv", "ibu", "colour_srm"]
QUALITIES: tuple[Quality, ...] = get_args(Quality)
Span = tuple[float | None, float | None]
Treatment = Literal["dilution", "sugar", "hop tea", "grain tea", "long ageing"]
TREATMENTS: tuple[Treatment, ...] = get_args(Treatment)


@dataclass(frozen=True, slots=True, kw_only=True)
class BeerWanted:
    """One beer: its `aims` as spans, what it `may` get, and its `ways`, one portion for each yeast.

    `style` is the code of the published ranges that the aims were taken from.  `volume_l` is wort in the
    fermenter; None fills it.
    """

    key: str
    name: str
    aims: Mapping[Quality, Span]
    may: tuple[Treatment, ...]
    ways: tuple[Portion, ...]
    volume_l: float | None = None
    style: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ColourGrain:
    """A grain that may darken the wort, and the largest share of the grist that it may have."""

    grain: Grain
    most: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """Beers wanted of one wort.

    `base` is the plan without portions, its grist given in shares and its hops without a mass.  `hop_tea`,
    `grain_tea` and `sugar` are patterns of what a portion may get, their mass the most that one may get;
    `ageing` is what long ageing is done with.
    """

    base: Plan
    beers: tuple[BeerWanted, ...]
    colour_grains: tuple[ColourGrain, ...] = ()
    hop_tea: HopTea | None = None
    grain_tea: GrainTea | None = None
    sugar: Addition | None = None
    ageing: Later | None = None
