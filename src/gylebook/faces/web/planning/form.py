"""Fill the form of a plan in: what is typed, what may be chosen, what was found, what is wrong where.

In:  the fields of a draft by path, what there is to choose from, problems and solved amounts by path.
Out: `Part`s, which the template only lays out.

Idea: a field shows the text of the file as it was typed.  A value that is no choice any more is offered
all the same, so that nothing is lost by looking at it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from itertools import groupby

from gylebook.faces import words
from gylebook.faces.web.planning.examples import as_read
from gylebook.faces.web.planning.fields import SECTIONS, Asked, Section
from gylebook.faces.words import Units
from gylebook.tasks.drafts import Choices, Field

MARK = "f."  # begins the name of every field that belongs to the plan


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """One thing to choose, and whether it is chosen."""

    value: str
    label: str
    chosen: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """One field with its words; `options` where it is chosen, several where `many`."""

    asked: Asked
    path: str
    value: str
    options: tuple[Option, ...]
    problem: str
    solved: str

    @property
    def widest(self) -> int:
        """Characters of the longest thing that it offers."""
        return max((len(option.label) for option in self.options), default=0)

    @property
    def name(self) -> str:
        """What the form sends it as."""
        return f"{MARK}{self.path}"

    @property
    def id(self) -> str:
        """Its id on the page."""
        return id_of(self.path)


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Fields under one small heading, or none."""

    title: str
    shown: tuple[Shown, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """A row of a section: `open` groups, and the `folded` ones that say nothing yet."""

    path: str
    legend: str
    open: tuple[Group, ...]
    folded: tuple[Group, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A section with its rows."""

    section: Section
    entries: tuple[Entry, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Filled:
    """All that a form is filled in with, each by the path of its field."""

    fields: Mapping[str, Field]
    choices: Choices
    problems: Mapping[str, str]
    solved: Mapping[str, str]
    units: Units


def id_of(path: str) -> str:
    """The id of a field on the page; a key of the brewer's own may hold a space."""
    return MARK + path.replace(" ", "_")


def parts_of(filled: Filled) -> tuple[Part, ...]:
    """The whole form."""
    return tuple(
        Part(section=section, entries=tuple(_entry(filled, section, row) for row in rows_in(filled, section)))
        for section in SECTIONS
    )


def rows_in(filled: Filled, section: Section) -> list[str]:
    """Paths of a section's tables: its own, or one for each row."""
    if not section.rows:
        return [section.key]
    keys = row_keys(filled.fields, section.key)
    return [f"{section.key}.{key}" for key in keys if section.rows == "named" or key.isdecimal()]


def row_keys(fields: Mapping[str, Field], table: str) -> list[str]:
    """The numbers or keys of the rows of a table, in the order of the file."""
    inside = (path.split(".") for path in fields if path.startswith(f"{table}."))
    return list(dict.fromkeys(parts[1] for parts in inside))


def text_of(value: Field | None) -> str:
    """A value as a field shows it."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return ", ".join(value) if isinstance(value, list) else value or ""


def chosen_of(asked: Asked, value: Field | None, choices: Choices) -> list[str]:
    """What is ticked of several: what was typed, else what is usual."""
    if value is None:
        return list(choices.usual_salts)
    return list(value) if isinstance(value, list) else [text_of(value)]


def _entry(filled: Filled, section: Section, row: str) -> Entry:
    shown = [_shown(filled, _read_by(asked, filled.units), row) for asked in section.asked]
    said = [not one.asked.rare or bool(one.value) or bool(one.problem) for one in shown]
    return Entry(
        path=row,
        legend=_legend(filled, section, row),
        open=_groups(one for one, out in zip(shown, said, strict=True) if out),
        folded=_groups(one for one, out in zip(shown, said, strict=True) if not out),
    )


def _read_by(asked: Asked, units: Units) -> Asked:
    """The question with its examples in the reader's units."""
    hint, example, usual = (as_read(text, units) for text in (asked.hint, asked.example, asked.usual))
    return replace(asked, hint=hint, example=example, usual=usual)


def _legend(filled: Filled, section: Section, row: str) -> str:
    if not section.rows:
        return ""
    last = row.rpartition(".")[2]
    if section.rows == "list":
        return f"{section.row.capitalize()} {int(last) + 1}"
    return f"{section.row.capitalize()} “{last}”"


def _groups(shown: Iterable[Shown]) -> tuple[Group, ...]:
    return tuple(
        Group(title=title, shown=tuple(members))
        for title, members in groupby(shown, key=lambda one: one.asked.group)
    )


def _shown(filled: Filled, asked: Asked, row: str) -> Shown:
    path = f"{row}.{asked.key}" if row else asked.key
    if f"{path}.aim" in filled.fields:  # an ion with its bounds
        path = f"{path}.aim"
    value = filled.fields.get(path)
    text = text_of(value)
    return Shown(
        asked=asked,
        path=path,
        value=text,
        options=_ticked(filled, asked, value) if asked.many else tuple(_options(filled, asked, text)),
        problem=filled.problems.get(path, ""),
        solved="" if text else filled.solved.get(path, ""),
    )


def _ticked(filled: Filled, asked: Asked, value: Field | None) -> tuple[Option, ...]:
    chosen = chosen_of(asked, value, filled.choices)
    known = dict.fromkeys([*filled.choices.salts, *chosen])
    return tuple(Option(value=salt, label=salt, chosen=salt in chosen) for salt in known)


def _options(filled: Filled, asked: Asked, text: str) -> list[Option]:
    """What to choose from; nothing for a field that is typed."""
    offered = _offered(filled, asked)
    if not offered:
        return []
    if not asked.must:
        offered = {"": f"as usual: {asked.usual}" if asked.usual else "none", **offered}
    elif not text:
        offered = {"": "choose", **offered}
    if text not in offered:
        offered[text] = text
    return [Option(value=value, label=label, chosen=value == text) for value, label in offered.items()]


def _offered(filled: Filled, asked: Asked) -> dict[str, str]:
    fields, choices = filled.fields, filled.choices
    if asked.flag:
        return {"yes": "yes", "no": "no"}
    portions = {
        key: text_of(fields.get(f"portions.{key}.name")) or key for key in row_keys(fields, "portions")
    }
    match asked.offers:
        case "fermenters":
            return {
                one.key: f"{one.name}, {words.capacity(one.capacity_l or 0.0, filled.units)}"
                for one in choices.fermenters
            }
        case "waters":
            return {one.key: one.name for one in choices.waters}
        case "alkalis":
            return {**{name: name for name in choices.alkalis}, "none": "none at all"}
        case "starters":
            return {key: key for key in row_keys(fields, "starters")}
        case "portions":
            return portions
        case "places":
            return {"boil": "the boil", "kettle end": "the kettle at the end", **portions}
        case _:
            return {choice: choice for choice in asked.choices}
