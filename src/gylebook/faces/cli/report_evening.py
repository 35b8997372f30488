"""Print an evening with water: its steps, the readings that pay, and what they told of the gear.

In:  `EveningOutlook`, `EveningView`.  Out: text on the terminal.
"""

from __future__ import annotations

from collections.abc import Iterator

import click

from gylebook.faces import findings, telling, words
from gylebook.faces.cli.report_day import show_read
from gylebook.faces.cli.tables import print_heading, print_sentence, print_table
from gylebook.faces.evening_words import worth_sentence
from gylebook.faces.figure_words import figure_name, figure_unit, level_and_scatter
from gylebook.faces.words import Units
from gylebook.tasks.evening import EveningOutlook
from gylebook.tasks.evening_readings import evening_readings, evening_trust
from gylebook.tasks.evening_view import EveningView
from gylebook.tasks.views import ReadingAsked, StepView


def show_steps(view: EveningView, units: Units) -> None:
    """The evening, one step after the other."""
    print_heading(f"{view.brewery}: an evening with water")
    if view.too_slow:
        print_sentence(
            f"{findings.RISK} Bringing so much water to the boil takes longer than the patience that the "
            "brewery file states, if it boils at all: take less, with --litres."
        )
    for number, step in enumerate(view.order.steps, 1):
        length = f", {words.duration(round(step.minutes))}" if step.minutes else ""
        where = f" [{step.vessel}]" if step.vessel else ""
        after = words.duration(round(step.start_min)) if step.start_min else "0 min"
        click.secho(f"{number:>3}. after {after}: {step.title}{length}{where}", bold=True)
        for line in _lines(step, units):
            print_sentence(line, indent=5)


def _lines(step: StepView, units: Units) -> Iterator[str]:
    yield step.detail
    for amount in step.amounts:
        yield f"{telling.amount_text(amount, units)} {amount.what}"
    for asked in step.reading:
        yield _asked(asked, units)
    for caution in step.cautions:
        yield f"{findings.RISK} {findings.caution_sentence(caution)}"


def _asked(asked: ReadingAsked, units: Units) -> str:
    """“Write as “evening heat”: time (clock), expected 46 – 51 min.”"""
    said = f"Write as “{asked.step}”: {asked.quantity} ({asked.instrument})"
    if asked.expected is None:
        return f"{said}."
    expected = words.interval_with_unit(asked.expected, telling.READ_IN[asked.quantity], units)
    return f"{said}, expected {expected}."


def show_worth(view: EveningView) -> None:
    """The readings that pay, each beyond the ones above it."""
    if not view.worth:
        return
    print_heading(
        "Readings that pay, and by how much each narrows the next brew's figures beyond those above"
    )
    for number, worth in enumerate(view.worth, 1):
        print_sentence(f"{number}. {worth_sentence(worth)}")


def show_gauged(outlook: EveningOutlook, view: EveningView, units: Units) -> None:
    """How the readings agree, and each figure of the gear before and after them."""
    show_read(evening_readings(outlook), evening_trust(outlook), units)
    rows = [
        (
            _name(figure.name, figure.unit, units),
            *(
                level_and_scatter(known.level, known.scatter, figure.unit, units)
                for known in (figure.before, figure.tonight, figure.next_brew)
            ),
            f"{words.fixed(100.0 * figure.spread_gone, 0)} %",
        )
        for figure in view.figures
    ]
    click.echo()
    print_table(f"{view.brewery}: the gear", ("", "before", "that evening", "next brew", "gone"), rows)
    if rows:
        click.echo("  gone: of the scatter before, for the next brew")
    if view.untold:
        print_sentence(f"Known no better than before: {', '.join(figure_name(n) for n in view.untold)}.")
    if view.stated:
        names = ", ".join(figure_name(name) for name in view.stated)
        print_sentence(
            f"Before is what the brewery file states for: {names}. If that came from these very readings, "
            "start from the file as it was before them."
        )


def _name(name: str, unit: str, units: Units) -> str:
    shown_in = figure_unit(unit, units)
    return figure_name(name) + (f" [{shown_in}]" if shown_in else "")
