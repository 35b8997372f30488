"""Say what was learned of a house: each level, what to read next, how past brews were foreseen.

In:  the views of `tasks.learned_view` and `tasks.backtest`.
Out: names, cells and sentences, the same on the terminal and on a page.
"""

from __future__ import annotations

import math

from gylebook.faces import words
from gylebook.faces.figure_words import figure_name, figure_unit, in_words
from gylebook.faces.words import Units
from gylebook.tasks.backtest import Backtest, Forecasts, Kind
from gylebook.tasks.learned_view import LearnedView, LevelView
from gylebook.tasks.table_names import name_of

LEAST_GONE = 0.005  # less is told as none
EFFICIENCIES = {"efficiency.kettle": "grain to kettle", "efficiency.fermenter": "grain to fermenters"}


def level_name(level: LevelView, several: bool, units: Units) -> str:
    """What the figure is called: kind of work, gear where there was other, and unit included."""
    parts = [figure_name(level.family), name_of(level.kind), in_words(level.gear) if several else ""]
    unit = figure_unit(level.unit, units)
    return ", ".join(part for part in parts if part) + (f" [{unit}]" if unit else "")


def readings_to_take(view: LearnedView) -> list[str]:
    """The readings to take next, each with the figures it would narrow; those not usual first."""
    asked: dict[tuple[str, str, str, bool], list[str]] = {}
    for level in view.levels:
        reading = level.reading
        if reading is not None:
            key = (reading.step, reading.quantity, reading.instrument, reading.usual)
            share = max(1, round(100 * reading.takes_away))
            asked.setdefault(key, []).append(f"{figure_name(level.family)} by {share} %")
    out = []
    for (step, quantity, instrument, usual), figures in sorted(asked.items(), key=lambda item: item[0][3]):
        again = "again " if usual else ""
        said = "pH" if quantity == "ph" else quantity
        out.append(f"{again}{said} at {step} ({in_words(instrument)}): {', '.join(figures)}")
    return out


def foreseen_sentence(found: Backtest) -> str:
    """How often readings lay inside their interval, and how much likelier they were as learned."""
    gain = math.exp(found.likelier_each)
    before, after = (words.share(found.inside(learned)) for learned in (False, True))
    return (
        f"Of {many(found.readings, 'reading')} {before} lay inside the 90 % interval as published, {after} "
        f"as learned, and a reading was {words.fixed(gain, 2)} times as likely, in the mean."
    )


def what_was_foreseen(kind: Kind) -> str:
    if kind.step in EFFICIENCIES:
        return f"efficiency, {EFFICIENCIES[kind.step]}"
    said = "pH" if kind.quantity == "ph" else kind.quantity
    return f"{said} at {kind.step}"


def errors_text(kind: Kind, units: Units) -> str:
    """“0.98 → 0.72 L”."""
    size, unit = words.units_in_one(kind.unit, units), words.unit_word(kind.unit, units)
    if kind.unit == "share":
        size, unit = 100.0, "%"
    elif kind.unit == "SG":
        size, unit = 1.0, "SG"
    digits = 4 if kind.unit == "SG" else 2
    before, after = (words.fixed(size * way.error, digits) for way in (kind.published, kind.learned))
    return f"{before} → {after} {unit}".rstrip()


def inside_text(kind: Kind) -> str:
    """“98 % → 91 %”; nothing for what has no interval."""
    ways = [_share(way) for way in (kind.published, kind.learned)]
    return " → ".join(way for way in ways if way)


def _share(way: Forecasts) -> str:
    return "" if way.inside is None else words.share(way.inside)


def many(count: int, what: str) -> str:
    """“1 brew”, “12 brews”."""
    return f"{words.count(count)} {what}{'' if count == 1 else 's'}"


def gone(share: float) -> str:
    """“43 %”: of a scatter before, what is gone; “none” where that rounds to nothing, or it grew."""
    return words.share(share) if share >= LEAST_GONE else "none"
