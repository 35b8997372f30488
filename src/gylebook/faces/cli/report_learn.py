"""Print what was learned of a house, and how its past brews were foreseen.

In:  `LearnedView`, `Backtest`.  Out: text on the terminal.
"""

from __future__ import annotations

from collections import Counter

import click

from gylebook.faces import words
from gylebook.faces.cli.report import COLD_C, LINES, told_of
from gylebook.faces.cli.tables import print_heading, print_sentence, print_table
from gylebook.faces.figure_words import figure_name, in_words, level_and_scatter
from gylebook.faces.findings import RISK
from gylebook.faces.learned_words import (
    errors_text,
    foreseen_sentence,
    gone,
    inside_text,
    level_name,
    many,
    readings_to_take,
    what_was_foreseen,
)
from gylebook.faces.words import Units
from gylebook.tasks.backtest import Backtest
from gylebook.tasks.learned_view import LearnedView


def show_learned(view: LearnedView, units: Units) -> None:
    """Before and after, figure by figure; what to read next; what was not used."""
    known = [level for level in view.levels if level.brews]
    gears = Counter((level.family, level.kind) for level in known)
    rows = [
        (
            level_name(level, gears[level.family, level.kind] > 1, units),
            level_and_scatter(level.published.level, level.published.scatter, level.unit, units),
            level_and_scatter(level.next_brew.level, level.next_brew.scatter, level.unit, units),
            str(level.brews),
            gone(level.spread_gone),
        )
        for level in known
    ]
    title = f"{view.brewery}: {many(view.brews, 'brew')}, {many(view.readings, 'reading')}"
    if view.evening:
        title += f", and {many(view.evening, 'reading')} of an evening with water"
    print_table(title, ("", "published", "next brew", "brews", "gone"), rows)
    click.echo("  gone: of the published scatter, for the next brew")
    if view.evening:
        click.echo("  brews: the evening with water counts as one")
    for level in known:
        if level.since and level.comes_next:
            print_sentence(f"{figure_name(level.family)}: {in_words(level.gear)}, since {level.since}.")
    told = {level.family for level in known}
    unknown = [figure_name(level.family) for level in view.levels if level.family not in told]
    if unknown:
        print_sentence(f"Known no better than published: {', '.join(dict.fromkeys(unknown))}.")
    _show_foreseen(view, units)
    _show_next(view)
    _show_unused(view)


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
    asked = readings_to_take(view)
    if not asked:
        return
    print_heading("What to read at the next brew, and what it narrows")
    for sentence in asked:
        print_sentence(sentence)


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
    rows = [
        (what_was_foreseen(kind), str(kind.count), errors_text(kind, units), inside_text(kind))
        for kind in found.kinds
    ]
    title = "Every brew foreseen from those before it: published → learned"
    print_table(title, ("", "times", "mean error", "inside 90 of 100"), rows)
    print_sentence(foreseen_sentence(found))
