"""Put two versions of a plan side by side: what is written otherwise, and what becomes of it.

In:  two texts, a brewery, the reader's units.
Out: `Beside`.

Idea: the words of the fields come from the form, so a difference reads as it would be typed.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from gylebook.errors import GylebookError
from gylebook.faces import words
from gylebook.faces.findings import aim_subject, limit_subject
from gylebook.faces.plan_words import change_cell, heading_of
from gylebook.faces.web.planning.form import text_of
from gylebook.faces.web.planning.shown import path_words
from gylebook.faces.words import Units
from gylebook.tasks.drafts import Tables, draft_fields, look_at_draft
from gylebook.tasks.outlook import Outlook
from gylebook.tasks.run_view import run_view
from gylebook.tasks.views import ChangeView, LimitView

COLUMNS = ("volume_l", "og", "fg", "abv", "ibu")


@dataclass(frozen=True, slots=True)
class Differs:
    """One field, as both versions say it; empty where it was left empty."""

    what: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class PortionRow:
    """A portion's numbers in both; a cell is before and after."""

    name: str
    cells: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class OddsRow:
    """Odds of an aim or a limit in both; a dash where one has no such."""

    what: str
    before: str
    after: str
    before_risk: bool = False
    after_risk: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """Two versions side by side; without `columns` there is no forecast of one of them."""

    differs: tuple[Differs, ...]
    columns: tuple[str, ...] = ()
    portions: tuple[PortionRow, ...] = ()
    odds: tuple[OddsRow, ...] = ()
    wrong: tuple[str, ...] = ()


def beside(a: str, b: str, brewery_text: str | None, tables: Tables, units: Units) -> Beside:
    """Both texts side by side."""
    differs = tuple(_differs(a, b))
    if brewery_text is None:
        return Beside(differs=differs)
    outlooks, wrong = [], []
    for text in (a, b):
        try:
            outlooks.append(look_at_draft(text, brewery_text, tables))
        except GylebookError as problem:
            wrong.append(str(problem))
    if wrong:
        return Beside(differs=differs, wrong=tuple(dict.fromkeys(wrong)))
    before, after = outlooks
    return Beside(
        differs=differs,
        columns=tuple(heading_of(column, units) for column in COLUMNS),
        portions=tuple(_portions(before, after, units)),
        odds=tuple(_odds(before, after, units)),
    )


def _differs(a: str, b: str) -> Iterator[Differs]:
    before, after = draft_fields(a), draft_fields(b)
    for path in dict.fromkeys([*after, *before]):
        if before.get(path) != after.get(path):
            fields = after if path in after else before
            yield Differs(path_words(path, fields), text_of(before.get(path)), text_of(after.get(path)))


def _portions(before: Outlook, after: Outlook, units: Units) -> Iterator[PortionRow]:
    both = {portion.key: portion.name for plan in (before.plan, after.plan) for portion in plan.portions}
    for key, name in both.items():
        names = [f"portion.{key}.{column}" for column in COLUMNS]
        cells = []
        for number in names:
            of = [outlook.numbers.get(number) for outlook in (before, after)]
            first, second = of
            if first is not None and second is not None:
                cells.append(change_cell(ChangeView(name=number, before=first, after=second), units))
            else:
                known = first or second
                assert known is not None
                shown = change_cell(ChangeView(name=number, before=known, after=known), units)[0]
                cells.append((shown, "–") if first is not None else ("–", shown))
        yield PortionRow(name, tuple(cells))


def _odds(before: Outlook, after: Outlook, units: Units) -> Iterator[OddsRow]:
    runs = [run_view(outlook) for outlook in (before, after)]
    aims = [{aim.name: aim for aim in run.aims} for run in runs]
    for name in dict.fromkeys([*aims[0], *aims[1]]):
        pair = [found.get(name) for found in aims]
        subjects = {aim_subject(aim, units) for aim in pair if aim is not None}
        what = subjects.pop() if len(subjects) == 1 else f"{name[:1].upper()}{name[1:]}, as each aims at it"
        first, second = ("–" if aim is None else words.odds_in_a_column(aim.odds) for aim in pair)
        yield OddsRow(what=what, before=first, after=second)
    limits = [{(limit.name, limit.vessel): limit for limit in run.limits} for run in runs]
    rows = [(key, [found.get(key) for found in limits]) for key in dict.fromkeys([*limits[0], *limits[1]])]
    for _, both in sorted(rows, key=lambda row: _least(row[1])):
        subject = next(limit_subject(limit) for limit in both if limit is not None)
        texts = ["–" if limit is None else words.odds_in_a_column(limit.odds_kept) for limit in both]
        if texts[0] != texts[1] or any(limit is not None and not limit.kept for limit in both):
            risks = [limit is not None and not limit.kept for limit in both]
            yield OddsRow(
                what=subject, before=texts[0], after=texts[1], before_risk=risks[0], after_risk=risks[1]
            )


def _least(both: list[LimitView | None]) -> float:
    return min(limit.odds_kept for limit in both if limit is not None)
