"""Keep at hand what a book has taught of a brewery, until something new is written.

In:  a book's location, a brewery's name.
Out: `HouseFigures`: what was learned and how past brews were foreseen, or that nothing taught yet; the
     figures that the brewery file states, version by version.

Idea: what is learned follows from the events, the evening and the brewery file alone, so it is worked out
once for each state of them.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from gylebook.exchange.drafts import fields_of
from gylebook.record.events import BreweryVersion
from gylebook.record.store import open_book
from gylebook.tasks.backtest import Backtest, backtest
from gylebook.tasks.keep_learned import keep_learned, stated
from gylebook.tasks.learned_view import LearnedView, learned_view
from gylebook.tasks.learning import Learning, learn_from_book

KEPT = 4  # houses; each holds its brews as matrices of some hundred numbers
HOUSE, LEVEL, SCATTER = "house.", ".level", ".scatter"
State = tuple[int, str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stated:
    """A house figure in the brewery file: (version, level, scatter) as typed, oldest first."""

    name: str
    history: tuple[tuple[int, str, str], ...]


@dataclass(frozen=True, kw_only=True, eq=False)
class HouseFigures:
    """`keepable` tells whether some of what was learned can be stated in a brewery file."""

    learning: Learning
    view: LearnedView
    backtest: Backtest
    keepable: bool


def taught_by(location: str, brewery: str) -> int:
    """How many brews on a brewery have a reading or could have one: those that were started."""
    with open_book(location) as book:
        names = {version.id: version.name for version in book.breweries()}
        return sum(names[brew.brewery_id] == brewery for brew in book.brews())


def house_figures(location: str, brewery: str) -> HouseFigures:
    """What the brews on a brewery, and an evening with water, have taught.

    Raises Refused (its problem placed at `learn`) where no brew has a reading yet.
    """
    return _worked_out(location, brewery, _state(location, brewery))


def keep_house_figures(location: str, brewery: str) -> BreweryVersion:
    """Keep what was learned as the brewery's next version."""
    found = house_figures(location, brewery)
    return keep_learned(location, found.learning, found.view)


def stated_figures(location: str, brewery: str) -> tuple[Stated, ...]:
    """Every house figure of the newest brewery file, with what earlier versions stated."""
    with open_book(location) as book:
        versions = [kept for kept in book.breweries() if kept.name == brewery]
    history: dict[str, list[tuple[int, str, str]]] = {}
    newest: list[str] = []
    for kept in versions:
        fields = fields_of(kept.text, where=f"brewery “{kept.name}” version {kept.version}")
        newest = [p[len(HOUSE) : -len(LEVEL)] for p in fields if p.startswith(HOUSE) and p.endswith(LEVEL)]
        for name in newest:
            level, scatter = fields[f"{HOUSE}{name}{LEVEL}"], fields.get(f"{HOUSE}{name}{SCATTER}", "")
            told = history.setdefault(name, [])
            if not told or told[-1][1:] != (level, scatter):
                told.append((kept.version, str(level), str(scatter)))
    return tuple(Stated(name=name, history=tuple(history[name])) for name in newest)


def _state(location: str, brewery: str) -> State:
    with open_book(location) as book:
        evening = book.evening(brewery)
        return book.newest_seq(), str(book.brewery(brewery).id), str(evening.id) if evening else ""


@lru_cache(maxsize=KEPT)
def _worked_out(location: str, brewery: str, state: State) -> HouseFigures:
    del state  # what it was worked out for
    learning = learn_from_book(location, brewery)
    view = learned_view(learning)
    return HouseFigures(
        learning=learning, view=view, backtest=backtest(learning), keepable=bool(stated(view))
    )
