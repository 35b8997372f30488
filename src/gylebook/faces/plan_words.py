"""Say the few words that stand over a plan: its odds in one line, and what two versions differ in.

In:  a `RunView`, changes of named numbers, and the brewer's `Units`.
Out: short texts.
"""

from __future__ import annotations

from dataclasses import dataclass

from gylebook.faces import words
from gylebook.faces.findings import limit_label
from gylebook.faces.named_numbers import unit_of_name
from gylebook.faces.words import METRIC, Units
from gylebook.tasks.views import AimView, ChangeView, RunView


@dataclass(frozen=True, slots=True)
class Brief:
    """A few words of the line of odds, and whether they tell of a risk."""

    text: str
    risk: bool = False


def brief_line(run: RunView, units: Units = METRIC) -> list[Brief]:
    """“34.0 L: 90 in 100”, then the limit that is least surely kept, or that all are."""
    told = [Brief(_aim(aim, units)) for aim in run.aims[:2]]
    failing = sorted((limit for limit in run.limits if not limit.kept), key=lambda limit: limit.odds_kept)
    if not failing:
        return [*told, Brief("every limit kept")]
    more = len(failing) - 1
    also = f", and {words.spelled(more)} more" if more else ""
    return [*told, Brief(f"{limit_label(failing[0])}{also}", risk=True)]


def _aim(aim: AimView, units: Units) -> str:
    return f"{words.amount(aim.aim, aim.unit, units)}: {words.odds(aim.odds)}"


def heading_of(name: str, units: Units = METRIC) -> str:
    """What a column of a named number is headed with: “original gravity”, “volume, L”."""
    last = name.rpartition(".")[2]
    unit = words.unit_word(unit_of_name(name), units)
    told = _COLUMNS.get(last, last)
    return f"{told}, {unit}" if unit and unit != told else told


_COLUMNS = {
    "volume_l": "volume",
    "og": "original gravity",
    "fg": "final gravity",
    "abv": "alcohol",
    "ibu": "IBU",
}


def change_cell(change: ChangeView, units: Units = METRIC) -> tuple[str, str]:
    """Both middles as bare numbers, for a column whose heading says the unit."""
    unit = unit_of_name(change.name)
    before, after = (words.number(s.median, unit, units) for s in (change.before, change.after))
    return before, after
