"""Search for what would keep one limit of a draft, and lay it out.

In:  what a draft gives, and the limit as the page names it: “mash brim”, “head room|oak”.
Out: `Fixes` for the page: a sentence for each change, and the fields that taking it would set.

Idea: it takes longer than the picture, so it is asked for one limit at a time, by somebody who wants to know.
"""

from __future__ import annotations

import json
from dataclasses import dataclass

from gylebook.errors import Refused
from gylebook.faces.fix_words import NOTHING, fix_deed, fix_sentence
from gylebook.faces.web.planning.shown import Given
from gylebook.faces.words import Units
from gylebook.tasks.fixes import ways_to_keep


@dataclass(frozen=True, slots=True, kw_only=True)
class FixRow:
    """A change in words; `fields` as a button sends them, empty where the change is one of gear."""

    deed: str
    sentence: str
    fields: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Fixes:
    """What was found for one limit, named by its `key`; `said` where nothing was."""

    key: str
    rows: tuple[FixRow, ...] = ()
    said: str = ""


def fixes_of(given: Given, key: str, units: Units) -> Fixes:
    """The least change of each kind that keeps the limit."""
    if given.outlook is None or given.stale:
        return Fixes(key=key, said="The plan must be readable before anything can be searched for.")
    name, _, portion = key.partition("|")
    try:
        found = ways_to_keep(given.outlook, name, portion or None)
    except Refused:  # the limit went away with what was typed meanwhile
        return Fixes(key=key, said="This limit is gone from the plan as it now stands.")
    rows = tuple(
        FixRow(
            deed=fix_deed(fix, units),
            sentence=fix_sentence(fix, units),
            fields=json.dumps(dict(fix.fields)) if fix.fields else "",
        )
        for fix in found
    )
    return Fixes(key=key, rows=rows, said="" if rows else NOTHING)
