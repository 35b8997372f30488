"""Print the sheet of the day: amounts, running order, boxes for readings, the picture, the odds.

In:  a `SheetView` and the brewer's units.
Out: an A4 PDF as bytes, tagged for readers that cannot see it, the same bytes for the same view.

Idea: every text is worded here and handed to the template as JSON, which only lays it out; nothing that a
brewer typed is ever read as markup.  The template, `day.typ`, is package data.
"""

from __future__ import annotations

import json
import re
from importlib.resources import files
from typing import Any, Literal

from gylebook.faces import telling, words
from gylebook.faces.findings import (
    DEFERRAL,
    RISK,
    aim_subject,
    caution_sentence,
    limit_subject,
)
from gylebook.faces.pictures.run import run_picture
from gylebook.faces.pictures.run_table import run_table, spoken
from gylebook.faces.pictures.themes import PRINT
from gylebook.faces.telling import amount_note
from gylebook.faces.words import METRIC, Units
from gylebook.tasks.views import AmountView, ReadingAsked, RunView, SheetView, StepView

_ENDLESS = re.compile(r"\S{18}(?=\S\S)")  # longer than a column
_NO_TIME = 0  # seconds since 1970 in the file's own data: when it was printed is not part of the sheet
_READ_IN = {
    "volume": "L",
    "gravity": "SG",
    "temperature": "°C",
    "mass": "kg",
    "time": "min",
    "count": "bottles",
}


def day_sheet(view: SheetView, units: Units = METRIC) -> bytes:
    """The printed sheet of the day.

    It claims PDF/UA-1, unless something typed holds a sign that no font here can draw (an emoji, say): the
    standard forbids an undrawn sign, so that sheet is printed the same way without the claim.
    """
    picture = run_picture(view.run, theme=PRINT, units=units, bare=True)
    return compiled("day.typ", page_data(view, units), picture=picture)


def compiled(template: str, page: dict[str, Any], **more: str) -> bytes:
    """A template of this folder filled with data, as a PDF that claims PDF/UA-1 where it may."""
    import typst  # 30 MB that only printing needs

    layout = files("gylebook.faces.sheets").joinpath(template).read_bytes()
    inputs = {"page": json.dumps(page, ensure_ascii=False), **more}

    def made(*standards: Literal["ua-1"]) -> bytes:
        return typst.compile(
            layout, format="pdf", sys_inputs=inputs, pdf_standards=[*standards], timestamp=_NO_TIME
        )

    try:
        return made("ua-1")
    except typst.TypstError as problem:
        if "could not be displayed" not in str(problem):
            raise
        return made()


def page_data(view: SheetView, units: Units = METRIC) -> dict[str, Any]:
    """All words of the sheet, as the template takes them."""
    run = view.run
    return {
        "title": plain(run.name),
        "brewery": plain(view.brewery),
        "makes": _makes(run, units),
        "cold": words.temperature(20.0, units),
        "portions": [_portion_line(run, place, units) for place in range(len(run.portions))],
        "amounts": [_amount(amount, units) for amount in view.amounts],
        "steps": [_step(step, units) for step in view.order.steps],
        "odds": _odds(run, units),
        "alt": plain(spoken(run_table(run, units))),
        "draws": f"Forecast of {words.count(run.draws)} draws. A range holds 90 of 100 futures.",
        "trust": [plain(told) for told in _trust(view, units)],
        "closing": DEFERRAL,
    }


def _trust(view: SheetView, units: Units) -> list[str]:
    """How the readings were taken in, and each that wants a second look; nothing before any."""
    if view.trust is None:
        return []
    doubts = [
        f"{doubt.step}, {telling.what_was_read(doubt, units)}: {telling.verdict(doubt, units)}"
        for doubt in view.doubtful
    ]
    return [telling.trust_sentence(view.trust), *doubts]


def plain(text: str) -> str:
    """A typed text without control signs."""
    shown = "".join(sign if sign.isprintable() else " " for sign in text).split()
    return " ".join(shown) or "—"


def in_column(text: str) -> str:
    """A typed text for a narrow column, endless words given places to break."""
    return _ENDLESS.sub("\\g<0>\u200b", plain(text))


def _makes(run: RunView, units: Units) -> str:
    count = len(run.portions)
    return (
        f"{words.median_and_interval(run.volume_l, 'L', units)} of wort at "
        f"{words.median_and_interval(run.og, 'SG', units)}, "
        + ("for one beer" if count == 1 else f"parted into {words.spelled(count)} beers")
    )


def _portion_line(run: RunView, place: int, units: Units) -> dict[str, str]:
    portion = run.portions[place]
    then = f", then {portion.later}" if portion.later else ""
    return {
        "name": in_column(portion.name),
        "volume": words.median_and_interval(portion.volume_l, "L", units),
        "gravity": f"{words.gravity(portion.og.median, units)} → {words.gravity(portion.fg.median, units)}",
        "strength": f"{words.abv(portion.abv.median)} · {words.amount(portion.ibu.median, 'IBU')}",
        "yeast": in_column(f"{portion.yeast}{then}"),
        "package": in_column(portion.package),
    }


def _amount(amount: AmountView, units: Units) -> dict[str, str]:
    note = amount_note(amount)
    return {
        "what": in_column(amount.what),
        "amount": words.to_measure(amount.amount, amount.dimension, units),
        "note": in_column(note) if note else "",
    }


def _step(step: StepView, units: Units) -> dict[str, Any]:
    return {
        "start": words.until_pitching(step.start_min),
        "lasts": words.duration(step.minutes) if step.minutes > 0 else "",
        "title": plain(step.title),
        "detail": plain(step.detail) if step.detail else "",
        "amounts": [_amount(amount, units) for amount in step.amounts],
        "cautions": [f"{RISK} {plain(caution_sentence(caution))}" for caution in step.cautions],
        "readings": [_reading(asked, units) for asked in step.reading],
    }


def _reading(asked: ReadingAsked, units: Units) -> dict[str, str]:
    """A box to write in: what to read of which portion on what, the unit, where it is expected."""
    unit = _READ_IN.get(asked.quantity, "")
    quantity = "pH" if asked.quantity == "ph" else asked.quantity
    expected = ""
    if asked.expected is not None:
        expected = f"expected {words.interval(asked.expected, unit or 'pH', units)}"
    return {
        "what": plain(", ".join(part for part in (asked.portion, quantity, asked.instrument) if part)),
        "unit": words.unit_word(unit, units),
        "expected": expected,
        "pays": telling.PAYS.lower() if asked.pays else "",
    }


def _odds(run: RunView, units: Units) -> list[dict[str, Any]]:
    """Aims first, then every limit, the least sure at the top."""
    rows = [(aim_subject(aim, units), aim.odds, True) for aim in run.aims]
    limits = sorted(run.limits, key=lambda limit: limit.odds_kept)
    rows += [(limit_subject(limit), limit.odds_kept, limit.kept) for limit in limits]
    return [
        {
            "what": in_column(what if kept else f"{RISK} {what}"),
            "odds": words.odds(odds).replace(" in ", "\u00a0in\u00a0"),
            "kept": kept,
        }
        for what, odds, kept in rows
    ]
