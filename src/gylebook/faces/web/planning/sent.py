"""Read what the form of a plan sends back, and make the next draft of it.

In:  the names and values of a form.
Out: `Draft`: the text it leads to, and what was typed where that text cannot be made.

Idea: the form carries the text it was drawn from.  A field counts where it differs from that text, so what
was written meanwhile in the file itself and what was typed in the fields come together; nothing that the form
does not show can be lost.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass

from starlette.datastructures import FormData

from gylebook.errors import Problem, Refused
from gylebook.faces.web.planning.fields import SECTIONS, Section, asked_at
from gylebook.faces.web.planning.form import MARK, chosen_of, row_keys, text_of
from gylebook.tasks.drafts import Choices, Field, draft_fields, draft_with

LONGEST_NOTE = 300


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """A plan as it stands in a form.

    `text` is None where none could be made of what was sent; then `written` is what stood as the file itself,
    and `problems` say why.  `fields` are what the form shows in either case.
    """

    base: str
    written: str
    text: str | None
    fields: Mapping[str, Field]
    problems: tuple[Problem, ...]
    made_from: int
    note: str
    on: str


def draft_of(text: str, version: int, on: str) -> Draft:
    """The draft that a kept version begins."""
    return _judged(text, text, {}, version, "", on)


def draft_sent(form: FormData, choices: Choices) -> Draft:
    """The draft that a form sends."""
    base = _typed(form, "base")
    written = _typed(form, "text") or base
    version = _typed(form, "version")
    changes = changes_in(form, base, choices)
    made_from = int(version) if version.isdecimal() and len(version) < 9 else 0
    return _judged(
        base, written, changes, made_from, _typed(form, "note").strip()[:LONGEST_NOTE], _typed(form, "on")
    )


def changes_in(form: FormData, base: str, choices: Choices) -> dict[str, Field | None]:
    """Every field that says something else than the text that the form was drawn from."""
    before = draft_fields(base)
    changes: dict[str, Field | None] = {}
    for name in dict.fromkeys(key for key in form if key.startswith(MARK)):
        path = name.removeprefix(MARK)
        found = asked_at(path)
        if found is None:
            continue
        asked = found[1]
        values = [value.strip() for value in form.getlist(name) if isinstance(value, str)]
        if asked.many:
            ticked = [value for value in values if value]
            if set(ticked) != set(chosen_of(asked, before.get(path), choices)):
                changes[path] = ticked
            continue
        value = values[-1] if values else ""
        if value == text_of(before.get(path)):
            continue
        if asked.flag and value in ("yes", "no"):
            changes[path] = value == "yes"
        else:  # what must be there stays, empty, so that it is asked for and its row does not vanish
            changes[path] = value if value or asked.must else None
    return changes


def with_row(draft: Draft, table: str, choices: Choices) -> tuple[Draft, str]:
    """The draft with another row, and the path of the field to go on with."""
    section = _rows_of(table)
    if draft.text is None:
        return draft, ""
    keys = row_keys(draft.fields, table)
    if section.rows == "list":
        row = f"{table}.{max((int(key) for key in keys if key.isdecimal()), default=-1) + 1}"
        new: dict[str, Field | None] = {f"{row}.{section.lead}": ""}
    elif table == "portions":
        taken = {text_of(draft.fields.get(f"portions.{key}.fermenter")) for key in keys}
        free = next((one.key for one in choices.fermenters if one.key not in taken), "")
        row = f"portions.{_free_key('beer', keys)}"
        new = {
            f"{row}.name": "",
            f"{row}.fermenter": free,
            f"{row}.yeast.kind": "",
            f"{row}.package.kind": "keg",
        }
    else:
        row = f"{table}.{_free_key(section.row, keys)}"
        new = {f"{row}.{section.lead}": "stirred"}
    return _changed(draft, new), f"{row}.{section.lead}"


def without_row(draft: Draft, row: str) -> Draft:
    """The draft without a row, such as `grist.2`."""
    table, _, _ = row.partition(".")
    _rows_of(table)
    return draft if draft.text is None else _changed(draft, {row: None})


def with_fields(draft: Draft, told: str) -> tuple[Draft, str]:
    """The draft with fields set as a button says it, a JSON object by path; and the path of the first."""
    fields = _fields_told(told)
    if draft.text is None:
        return draft, ""
    return _changed(draft, fields), next(iter(fields))


def _fields_told(told: str) -> dict[str, Field | None]:
    try:
        read = json.loads(told)
    except ValueError:
        read = None
    if isinstance(read, dict) and read and all(asked_at(at) and isinstance(read[at], str) for at in read):
        return dict(read)
    raise Refused((Problem("form", f"“{told[:60]}”", "is no change of fields that this form asks"),))


def _changed(draft: Draft, changes: Mapping[str, Field | None]) -> Draft:
    text = draft_with(draft.text or "", changes)
    return _judged(text, text, {}, draft.made_from, draft.note, draft.on)


def _judged(
    base: str, written: str, changes: Mapping[str, Field | None], made_from: int, note: str, on: str
) -> Draft:
    """Put the changes on what was written; where that is not possible, keep both as they were sent."""
    try:
        text = draft_with(written, changes) if changes else written
        return Draft(
            base=text,
            written=text,
            text=text,
            fields=draft_fields(text),
            problems=(),
            made_from=made_from,
            note=note,
            on=on,
        )
    except Refused as refused:
        typed = {path: value if value is not None else "" for path, value in changes.items()}
        return Draft(
            base=base,
            written=written,
            text=None,
            fields={**draft_fields(base), **typed},
            problems=refused.problems,
            made_from=made_from,
            note=note,
            on=on,
        )


def _rows_of(table: str) -> Section:
    found = next((section for section in SECTIONS if section.key == table and section.rows), None)
    if found is None:
        raise Refused((Problem("form", f"“{table[:40]}”", "has no rows to add or take out"),))
    return found


def _free_key(stem: str, taken: list[str]) -> str:
    number = 1
    while (key := stem if number == 1 else f"{stem} {number}") in taken:
        number += 1
    return key


def _typed(form: FormData, name: str) -> str:
    """A text of the form; browsers send every line end as two signs."""
    value = form.get(name)
    return value.replace("\r\n", "\n") if isinstance(value, str) else ""
