"""Look at the breweries of a book, and keep a changed one as the next version.

In:  a book's location, a brewery's name, changed fields or a whole text.
Out: `GearView`, with every version and what it changed; the version kept.

Idea: a form and a text editor change the same file.  Whoever saves says which version they saw: where
another was kept meanwhile nothing is written, and the fields that both changed are told of.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from gylebook.brewery.site import Brewery
from gylebook.errors import Problem, Refused
from gylebook.exchange.brewery_file import read_brewery
from gylebook.exchange.drafts import Field, fields_of, path_in, with_fields
from gylebook.record.events import BreweryVersion
from gylebook.record.store import open_book

__all__ = [
    "BreweryVersion",
    "Changed",
    "Field",
    "GearView",
    "KeptMeanwhile",
    "VersionView",
    "breweries",
    "changes_between",
    "gear",
    "keep_gear",
    "noted",
    "path_in",
    "read_gear",
    "with_fields",
]

NOTE = re.compile(r"\A# Version note: ([^\n]*)\n\n?")
LONGEST_NOTE = 200


@dataclass(frozen=True, slots=True)
class Changed:
    """One field that differs between two texts; None where it is not stated."""

    path: str
    before: str | None
    after: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class VersionView:
    """One version: what was said of it, and what it changed (nothing for the first)."""

    version: int
    made_at: str
    note: str
    changed: tuple[Changed, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class GearView:
    """A brewery as its newest version has it; `fields` by path, as texts."""

    name: str
    version: int
    text: str
    fields: Mapping[str, str]
    brewery: Brewery
    versions: tuple[VersionView, ...]


class KeptMeanwhile(Refused):
    """Another version was kept since the one that was seen; it changed these fields."""

    def __init__(self, newest: int, changed: tuple[Changed, ...]) -> None:
        self.newest, self.changed = newest, changed
        super().__init__(
            [Problem("version", f"version {newest} was kept meanwhile", "look at what it changed, then save")]
        )


def breweries(location: str) -> tuple[BreweryVersion, ...]:
    """The newest version of every brewery of a book, by name."""
    with open_book(location) as book:
        newest = {kept.name: kept for kept in book.breweries()}
    return tuple(newest.values())


def gear(location: str, name: str) -> GearView:
    """A brewery with all its versions."""
    with open_book(location) as book:
        newest = book.brewery(name)
        kept = [version for version in book.breweries() if version.name == name]
    texts = ["", *(version.text for version in kept)]
    versions = tuple(
        VersionView(
            version=version.version,
            made_at=version.made_at,
            note=note_of(version.text),
            changed=() if version.version == 1 else changes_between(before, version.text),
        )
        for before, version in zip(texts, kept, strict=False)
    )
    return GearView(
        name=name,
        version=newest.version,
        text=newest.text,
        fields=_as_texts(newest.text),
        brewery=read_brewery(newest.text, where=f"brewery “{name}” version {newest.version}"),
        versions=versions[::-1],
    )


def text_of_version(location: str, name: str, version: int) -> str:
    """One version as it was typed."""
    with open_book(location) as book:
        return book.brewery(name, version).text


def read_gear(text: str) -> Brewery:
    """The brewery that a text states; Refused with every fault."""
    return read_brewery(text, where="brewery")


def keep_gear(location: str, name: str, text: str, *, seen: int, note: str = "") -> BreweryVersion:
    """Keep a text as the next version of a brewery; what is there already word for word is kept once.

    Raises KeptMeanwhile where `seen` is not the newest version, Refused where the text is no brewery of
    this name.
    """
    brewery = read_gear(text)
    if brewery.name != name:
        accepted = f"versions of “{name}” keep its name; begin another brewery for another name"
        raise Refused([Problem("name", f"“{brewery.name}”", accepted)])
    with open_book(location) as book, book.all_or_nothing():
        newest = book.brewery(name)
        if not changes_between(newest.text, text) and _bare(newest.text) == _bare(text):
            return newest
        if newest.version != seen:
            raise KeptMeanwhile(newest.version, changes_between(book.brewery(name, seen).text, newest.text))
        return book.keep_brewery(name, noted(text, note))


def changes_between(before: str, after: str) -> tuple[Changed, ...]:
    """Every field that differs, in the order of the later text, then those that are gone."""
    old, new = _as_texts(before), _as_texts(after)
    paths = dict.fromkeys((*new, *old))
    return tuple(
        Changed(path, old.get(path), new.get(path)) for path in paths if old.get(path) != new.get(path)
    )


def note_of(text: str) -> str:
    """What was said of a version, which stands on its first line."""
    found = NOTE.match(text)
    return found[1] if found else ""


def _bare(text: str) -> str:
    return NOTE.sub("", text)


def noted(text: str, note: str = "") -> str:
    """The text with this note on its first line, in place of the one of an earlier version."""
    said = " ".join(note.split())[:LONGEST_NOTE]
    return f"# Version note: {said}\n\n{_bare(text)}" if said else _bare(text)


def _as_texts(text: str) -> dict[str, str]:
    """Fields as a form shows them: yes and no, lists with commas."""
    return {path: _as_text(value) for path, value in fields_of(text, where="brewery").items()}


def _as_text(value: Field) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return ", ".join(value) if isinstance(value, list) else value
