"""Set the ways of rinsing beside each other for a draft: what each needs, gains and risks.

In:  what a draft gives.
Out: `Rinses` for the page: a row for each way that the brewery has, and what rinsing is worth in words.

Idea: every way is solved for the same aims, which takes some pictures' time, so it is asked for.
"""

from __future__ import annotations

from dataclasses import dataclass

from gylebook.errors import GylebookError
from gylebook.faces import telling
from gylebook.faces.web.planning.shown import Given
from gylebook.faces.words import Units
from gylebook.tasks.views import WayView
from gylebook.tasks.ways import compare_ways


@dataclass(frozen=True, slots=True, kw_only=True)
class Rinses:
    """The ways that were found, what they are worth; `said` where nothing can be compared."""

    ways: tuple[WayView, ...] = ()
    worth: tuple[str, ...] = ()
    said: str = ""


def rinses_of(given: Given, units: Units) -> Rinses:
    """The same beer without a rinse, dunked and poured over."""
    if given.outlook is None or given.stale:
        return Rinses(said="The plan must be readable before ways can be compared.")
    try:
        ways = compare_ways(given.outlook)
    except GylebookError as problem:
        return Rinses(said=str(problem))
    worth = tuple(telling.gain_sentence(way, units) for way in ways)
    return Rinses(ways=ways, worth=tuple(text[:1].upper() + text[1:] for text in worth if text))
