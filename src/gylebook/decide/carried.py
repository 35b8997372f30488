"""What carrying a beer over takes and gives: a wish, notes of what could not be kept, a plan.

Nouns only; `decide.adapt` does the work.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from gylebook.brewery.ingredients import Hop
from gylebook.brewery.plan import Plan

NoteKind = Literal[
    "way", "drain", "no water", "portion left out", "portion smaller", "portion divided", "aroma"
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """Something that could not be kept: of what, how it was and how it is, in base units or words.

    `why` is a fermenter's name, or a thing the brewery lacks.
    """

    kind: NoteKind
    of: str = ""
    before: float | str | None = None
    after: float | str | None = None
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Carried:
    """A plan for another brewery, its amounts open, and what could not be kept."""

    plan: Plan
    notes: tuple[Note, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """How a beer is to be carried over.

    `volume_l` is as much as is wanted, the beer's own where None; with a `mash_l` the rinse alone is solved.
    There is `kettle_times` as much wort when the boil ends, as much as in the fermenters where that is None.
    Dark malts have `dark_times` their share of the grist; late hops keep their `aroma` while any other brings
    bitterness; `extract_times` moves what is weighed for a wort without grain.  The most of a portion is
    `swing` times what it was before; a `purer` water of the brewery goes to its own, as far as ions ask.
    """

    volume_l: float | None = None
    mash_l: float | None = None
    kettle_times: float | None = None
    dark_times: float = 1.0
    aroma: bool = True
    extract_times: float = 1.0
    swing: float = 1.0
    purer: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """How many times as much there is in all fermenters, in the kettle, and of each portion that is left."""

    all: float
    kettle: float
    of: Mapping[str, float]

    def at(self, place: str) -> float | None:
        """Of the wort that something goes into; None for a portion that is gone."""
        return self.kettle if place in ("boil", "kettle end") else self.of.get(place)

    def of_hop(self, hop: Hop) -> float | None:
        """Of the wort or beer that an addition goes into."""
        if hop.use != "dry":
            return self.kettle
        return self.all if hop.portion is None else self.of.get(hop.portion)
