"""Draw what a draft gives: the run, its odds, its amounts; or what is wrong with it, field by field.

In:  a `Draft` and the plan's place in the book.
Out: `Given`, all that the picture's side of the page shows; `path_words`, a path as a brewer would say it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from gylebook.errors import GylebookError, Problem, Refused
from gylebook.faces.amount_words import AmountRow, amount_rows
from gylebook.faces.pictures.run import run_picture
from gylebook.faces.pictures.run_table import Row, run_table
from gylebook.faces.pictures.themes import WEB
from gylebook.faces.plan_words import Brief, brief_line
from gylebook.faces.web.planning.fields import SECTIONS, asked_at
from gylebook.faces.web.planning.form import id_of, text_of
from gylebook.faces.words import Units
from gylebook.tasks.drafts import Field, Tables, field_of, look_at_draft
from gylebook.tasks.outlook import Outlook
from gylebook.tasks.run_view import run_view
from gylebook.tasks.solved import amounts_answer
from gylebook.tasks.views import LimitView, RunView, YeastView
from gylebook.tasks.yeast_view import yeast_views


@dataclass(frozen=True, slots=True, kw_only=True)
class Wrong:
    """A problem where it belongs: what it is about, in words, and the path and id of its field, or none."""

    about: str
    said: str
    path: str = ""

    @property
    def id(self) -> str:
        """The id of its field on the page; empty where the form does not ask it."""
        if any(section.key == self.path for section in SECTIONS):
            return f"part-{self.path}" if self.path else ""
        return id_of(self.path) if asked_at(self.path) else ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast:
    """What a draft gives, ready to be laid out."""

    run: RunView
    picture: Markup
    table: Sequence[Row]
    brief: Sequence[Brief]
    failing: Sequence[LimitView]
    kept: Sequence[LimitView]
    amounts: Sequence[AmountRow]
    yeast: Sequence[YeastView]

    @property
    def solved(self) -> dict[str, str]:
        """Amounts by the path of their field."""
        return {row.field: row.amount for row in self.amounts if row.field}


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """A forecast, or none and what is wrong; `stale` where it is of the plan as it was before."""

    outlook: Outlook | None = None
    forecast: Forecast | None = None
    wrong: tuple[Wrong, ...] = ()
    stale: bool = False

    @property
    def by_path(self) -> dict[str, str]:
        """What is wrong, by the path of the field."""
        return {one.path: one.said for one in reversed(self.wrong) if one.path}


def given_by(
    text: str, brewery_text: str, tables: Tables, units: Units, fields: Mapping[str, Field]
) -> Given:
    """What a plan's text gives on a brewery."""
    try:
        outlook = look_at_draft(text, brewery_text, tables)
        return Given(outlook=outlook, forecast=forecast_of(outlook, units))
    except Refused as refused:
        return Given(wrong=wrongs(refused.problems, fields))
    except GylebookError as problem:
        return Given(wrong=(Wrong(about="", said=str(problem)),))


def forecast_of(outlook: Outlook, units: Units) -> Forecast:
    """The run of an outlook with everything said beside it."""
    run = run_view(outlook)
    limits = sorted(run.limits, key=lambda limit: limit.odds_kept)
    return Forecast(
        run=run,
        picture=Markup(run_picture(run, theme=WEB, units=units, bare=True)),
        table=run_table(run, units),
        brief=brief_line(run, units),
        failing=[limit for limit in limits if not limit.kept],
        kept=[limit for limit in limits if limit.kept],
        amounts=amount_rows(amounts_answer(outlook), units),
        yeast=yeast_views(outlook),
    )


def wrongs(problems: Sequence[Problem], fields: Mapping[str, Field]) -> tuple[Wrong, ...]:
    """Problems with the fields that they are about."""
    out = []
    for problem in problems:
        path = field_of(problem)
        accepted = problem.accepted[:1].upper() + problem.accepted[1:]
        said = f"{problem.understood}. {accepted}" if problem.understood else accepted
        about = path_words(path, fields) if path else problem.where
        out.append(Wrong(about=about, said=said[:1].upper() + said[1:], path=path))
    return tuple(out)


def path_words(path: str, fields: Mapping[str, Field]) -> str:
    """“Grist, Vienna malt: share of the mass”; a path that the form does not ask stays as it is."""
    found = asked_at(path)
    if found is None:
        return next((section.title for section in SECTIONS if section.key == path), path)
    section, asked = found
    label = asked.label if asked.label[1:2].isupper() else asked.label[:1].lower() + asked.label[1:]
    group = f"{asked.group.lower()}, " if asked.group and section.rows else ""
    if not section.rows:
        return f"{section.title}: {label}"
    row = ".".join(path.split(".")[:2])
    named = (
        text_of(fields.get(f"{row}.{section.lead}"))
        if section.rows == "list" or section.key == "portions"
        else ""
    )
    last = row.rpartition(".")[2]
    which = named or (f"{section.row} {int(last) + 1}" if last.isdecimal() else f"“{last}”")
    return f"{section.title}, {which}: {group}{label}"
