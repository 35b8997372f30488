"""Put what was learned where the next plan finds it: in a brewery file, or in the book.

In:  what was learned.
Out: a new file, or a new version of the brewery in the book.

Idea: the file is the newest one of the book with the learned figures in it and all else as it was typed.
Each figure is stated by itself; what two of them share cannot be said there, which leaves forecasts from
the file a little wider than they need be.
"""

from __future__ import annotations

from pathlib import Path

from gylebook.brewery.site import HouseFigure
from gylebook.errors import Problem, Refused
from gylebook.exchange.brewery_file import read_brewery
from gylebook.exchange.house_writer import with_house
from gylebook.gyle.house import ABSORPTION, OF_A_PLAN
from gylebook.record.events import BreweryVersion
from gylebook.record.store import open_book
from gylebook.tasks.gear import noted
from gylebook.tasks.learned_view import LearnedView, LevelView
from gylebook.tasks.learning import Learning
from gylebook.tasks.texts import write_new


def stated(view: LearnedView) -> tuple[LevelView, ...]:
    """The levels that a brewery file may state: those that the next brew meets and some brew told of.

    A figure of a yeast belongs to a portion of one plan, so it is left out.
    """
    return tuple(
        level
        for level in view.levels
        if level.comes_next and level.brews and not OF_A_PLAN.fullmatch(level.name)
    )


def learned_text(learning: Learning, view: LearnedView) -> str:
    """The newest brewery file of the book with the learned figures in it."""
    levels = stated(view)
    if not levels:
        accepted = "the readings so far tell nothing of the figures that the next brew has"
        raise Refused((Problem("learn", "there is nothing to write", accepted),))
    names = {level.name for level in levels}
    text = with_house(
        learning.gathered.text,
        {
            level.name: HouseFigure(level=level.next_brew.level, scatter=level.next_brew.scatter)
            for level in levels
        },
        {level.name: level.unit for level in levels},
        where=f"brewery “{view.brewery}” version {view.version}",
        instead_of={ABSORPTION} if "retained_l_per_kg" in names else (),
        note=_note(view),
    )
    read_brewery(text, where="the brewery with what was learned")  # what is written must be read
    return text


def _note(view: LearnedView) -> str:
    """From what it was learned, beside each figure."""
    water = " and an evening with water" if view.evening else ""
    return f"learned from {view.brews} brew{'s' if view.brews > 1 else ''}{water}"


def write_learned(learning: Learning, view: LearnedView, path: Path) -> None:
    """Write it to a new file."""
    write_new(path, learned_text(learning, view))


def keep_learned(location: str, learning: Learning, view: LearnedView) -> BreweryVersion:
    """Keep it in the book as the brewery's next version.

    Brews that were started keep the version they had.
    """
    text = learned_text(learning, view)
    with open_book(location) as book:
        return book.keep_brewery(view.brewery, noted(text))
