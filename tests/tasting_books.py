"""Lend tests a book with a brew to taste, and tasters who are as good as one likes.

`answer_all(location, number, right)` answers every set, the first `right` of them rightly.
"""

from __future__ import annotations

from pathlib import Path

from gylebook.brewery.tasting import GlassSet, Tasting
from gylebook.tasks.brews import make_book, start_brew
from gylebook.tasks.tasting import tasting_in_book, write_answer

EXAMPLE = Path(__file__).parents[1] / "examples" / "amber-three-ways"
BREW = "Orchard amber"
AT = "2026-04-18T19:00+02:00"


def book_to_taste(folder: Path, *more: str) -> str:
    """A new book with the example's brew, and brews of the same plan under `more` names."""
    location = str(folder / "book.gyle")
    make_book(location)
    for name in (BREW, *more):
        start_brew(
            location,
            name,
            EXAMPLE / "plan.toml",
            EXAMPLE / "brewery.toml",
            "2026-03-14T09:00+01:00",
            draws=200,
        )
    return location


def odd_code(one: GlassSet) -> str:
    """The code of the glass whose beer stands there once."""
    return next(code for code, beer in zip(one.codes, one.beers, strict=True) if one.beers.count(beer) == 1)


def picked(tasting: Tasting, one: GlassSet, right: bool) -> list[str]:
    """A right or a wrong answer to a set; of a pair the first beer counts as right."""
    if tasting.kind == "tetrad":
        first = one.beers[0]
        mate = next(place for place in range(1, 4) if (one.beers[place] == first) is right)
        return [one.codes[0], one.codes[mate]]
    if tasting.kind == "paired":
        return [one.codes[one.beers.index(0 if right else 1)]]
    odd = odd_code(one)
    return [odd if right else next(code for code in one.codes if code != odd)]


def answer_all(location: str, number: int, right: int, *, but: int = 0) -> None:
    """Answer every set but the last `but`, `right` of them rightly."""
    tasting = tasting_in_book(location, number).tasting
    for place, one in enumerate(tasting.sets[: len(tasting.sets) - but]):
        write_answer(location, number, picked(tasting, one, place < right), at=AT)
