"""Print what was learned of a house, and how its past brews were foreseen.

In:  `LearnedView`, `Backtest`.  Out: text on the terminal.
"""

from __future__ import annotations

import math
from collections import Counter

import click

from gylebook.faces import words
from gylebook.faces.cli.report import COLD_C, LINES, told_of
from gylebook.faces.cli.tables import print_heading, print_sentence, print_table
from gylebook.faces.figure_words import figure_name, figure_unit, level_and_scatter
from gylebook.faces.findings import RISK
from gylebook.faces.words import Units
from gylebook.tasks.backtest import Backtest, Forecasts, Kind
from gylebook.tasks.learned_view import LearnedView, LevelView

EFFICIENCIES = {"efficiency.kettle": "grain to kettle", "efficiency.fermenter": "grain to fermenters"}


def show_learned(view: LearnedView, units: Units) -> None:
    """Before and after, figure by figure; what to read next; what was not used."""
    known = [level for level in view.levels if level.brews]
    gears = Counter((level.family, level.kind) for level in known)
    rows = [
        (
            _name(level, gears[level.family, level.kind] > 1, units),
            level_and_scatter(level.published.level, level.published.scatter, level.unit, units),
            level_and_scatter(level.next_brew.level, level.next_brew.scatter, level.unit, units),
            str(level.brews),
            f"{words.fixed(100 * level.spread_gone, 0)} %",
        )
        for level in known
    ]
    title = f"{view.brewery}: {_many(view.brews, 'brew')}, {_many(view.readings, 'reading')}"
    if view.evening:
        title += f", and {_many(view.evening, 'reading')} of an evening with water"
    print_table(title, ("", "published", "next brew", "brews", "gone"), rows)
    click.echo("  gone: of the published scatter, for the next brew")
    if view.evening:
        click.echo("  brews: the evening with water counts as one")
    for level in known:
        if level.since and level.comes_next:
            print_sentence(f"{figure_name(level.family)}: {level.gear}, since {level.since}.")
    told = {level.family for level in known}
    unknown = [figure_name(level.family) for level in view.levels if level.family not in told]
    if unknown:
        print_sentence(f"Known no better than published: {', '.join(dict.fromkeys(unknown))}.")
    _show_foreseen(view, units)
    _show_next(view)
    _show_unused(view)


def _name(level: LevelView, several: bool, units: Units) -> str:
    """What the figure is called: kind of work, gear where there was other, and unit included."""
    parts = [figure_name(level.family), level.kind, level.gear if several else ""]
    unit = figure_unit(level.unit, units)
    return ", ".join(part for part in parts if part) + (f" [{unit}]" if unit else "")


def _show_foreseen(view: LearnedView, units: Units) -> None:
    """The next brew on a house nobody knows, and on this one."""
    cold = words.temperature(COLD_C, units)
    named = dict(LINES)
    rows = [
        (
            named[change.name].format(cold=cold),
            *(told_of(change.name, s, units) for s in (change.before, change.after)),
        )
        for change in view.foreseen
    ]
    click.echo()
    print_table("", ("Next brew (90 of 100 between)", "published", "as learned"), rows)


def _show_next(view: LearnedView) -> None:
    """The readings to take, each with the figures it would narrow."""
    asked: dict[tuple[str, str, str, bool], list[str]] = {}
    for level in view.levels:
        reading = level.reading
        if reading is not None:
            key = (reading.step, reading.quantity, reading.instrument, reading.usual)
            share = max(1, round(100 * reading.takes_away))
            asked.setdefault(key, []).append(f"{figure_name(level.family)} by {share} %")
    if not asked:
        return
    print_heading("What to read at the next brew, and what it narrows")
    for (step, quantity, instrument, usual), figures in sorted(asked.items(), key=lambda item: item[0][3]):
        again = "again " if usual else ""
        said = "pH" if quantity == "ph" else quantity
        print_sentence(f"{again}{said} at {step} ({instrument}): {', '.join(figures)}")


def _show_unused(view: LearnedView) -> None:
    """What was not learned from, and whether the result can be trusted."""
    if view.set_aside:
        click.echo()
        for brew, step, quantity in view.set_aside:
            print_sentence(f"{RISK} set aside: {quantity} at {step} of {brew} fits nothing else; check it.")
    if view.unread:
        print_sentence(f"Without a reading: {', '.join(view.unread)}.")
    if view.left_out:
        print_sentence(f"{RISK} Without a forecast, so left out: {', '.join(view.left_out)}.")
    if not view.trusted:
        worth = words.count(round(view.effective_guesses))
        print_sentence(f"{RISK} The scatters were hard to find ({worth} guesses count): take them as rough.")


def show_backtest(found: Backtest, units: Units) -> None:
    """Each kind of reading: mean error and share inside the interval, published → learned."""
    click.echo()
    rows = [(_what(kind), str(kind.count), _errors(kind, units), _inside(kind)) for kind in found.kinds]
    title = "Every brew foreseen from those before it: published → learned"
    print_table(title, ("", "times", "mean error", "inside 90 of 100"), rows)
    gain = math.exp(found.likelier_each)
    before, after = (words.share(found.inside(learned)) for learned in (False, True))
    print_sentence(
        f"Of {_many(found.readings, 'reading')} {before} lay inside the 90 % interval as published, {after} "
        f"as learned, and a reading was {words.fixed(gain, 2)} times as likely, in the mean."
    )


def _what(kind: Kind) -> str:
    if kind.step in EFFICIENCIES:
        return f"efficiency, {EFFICIENCIES[kind.step]}"
    said = "pH" if kind.quantity == "ph" else kind.quantity
    return f"{said} at {kind.step}"


def _errors(kind: Kind, units: Units) -> str:
    """“0.98 → 0.72 L”."""
    size, unit = words.units_in_one(kind.unit, units), words.unit_word(kind.unit, units)
    if kind.unit == "share":
        size, unit = 100.0, "%"
    elif kind.unit == "SG":
        size, unit = 1.0, "SG"
    digits = 4 if kind.unit == "SG" else 2
    before, after = (words.fixed(size * way.error, digits) for way in (kind.published, kind.learned))
    return f"{before} → {after} {unit}".rstrip()


def _inside(kind: Kind) -> str:
    """“98 % → 91 %”; nothing for what has no interval."""
    ways = [_share(way) for way in (kind.published, kind.learned)]
    return " → ".join(way for way in ways if way)


def _share(way: Forecasts) -> str:
    return "" if way.inside is None else words.share(way.inside)


def _many(count: int, what: str) -> str:
    return f"{words.count(count)} {what}{'' if count == 1 else 's'}"
