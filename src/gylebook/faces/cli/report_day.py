"""Print a day in words: readings, what they changed, what can be done, the running order.

In:  outlooks and views.  Out: text on the terminal.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

import click

from gylebook.errors import Problem, Refused
from gylebook.faces import findings, telling, words
from gylebook.faces.cli.tables import print_heading, print_sentence, print_table
from gylebook.faces.words import Units
from gylebook.tasks.outlook import Outlook
from gylebook.tasks.reading_view import reading_views, trust_view
from gylebook.tasks.run_view import aim_views
from gylebook.tasks.trust import ReadingView, TrustView
from gylebook.tasks.views import ChangeView, OrderView, RemedyView, StepView, WorthView

NARROWED = (("fermenters.volume_l", "volume"), ("og", "gravity"), ("efficiency.fermenter", "efficiency"))


def show_readings(outlook: Outlook, units: Units) -> None:
    """Each reading of a day with how well it agrees, and how far the result can be trusted."""
    show_read(reading_views(outlook), trust_view(outlook), units)


def show_read(views: Sequence[ReadingView], trust: TrustView | None, units: Units) -> None:
    """Readings with how well each agrees, and how far the result can be trusted; nothing where none are."""
    if trust is None:
        return
    rows, doubts = [], []
    for view in views:
        told = f"{findings.RISK} check it" if view.doubtful else "agrees"
        what = telling.what_was_read(view, units)
        rows.append((telling.clock_text(view.at), view.step, what, view.instrument, told))
        if view.doubtful:
            doubts.append(f"{view.step}, {what}: {telling.verdict(view, units)}")
    print_table("Readings", ("at", "step", "reading", "instrument", ""), rows)
    for doubt in doubts:
        print_sentence(doubt, indent=2)
    print_sentence(telling.trust_sentence(trust), indent=2)


def show_changes(changes: Sequence[ChangeView], outlook: Outlook, units: Units) -> None:
    """Before and after, for each portion."""
    by_name = {change.name: change for change in changes}
    columns = ("", units.volume, "original", "final", "alcohol %", "IBU")
    rows = []
    for portion in outlook.plan.portions:
        cells = [
            telling.change_short(by_name[f"portion.{portion.key}.{what}"], units)
            for what in ("volume_l", "og", "fg", "abv", "ibu")
        ]
        rows.append((portion.name, *cells))
    click.echo()
    print_table("Before → after", columns, rows)


def show_mash_ph(before: Outlook, ways: Sequence[tuple[int, RemedyView]], units: Units) -> None:
    """Where the mash stands before and after a reading, and what would finish it."""
    if not ways:
        return
    print_heading("Mash pH")
    for aim in aim_views(before):
        if aim.name == "mash pH":
            print_sentence(f"Before: {findings.aim_sentence(aim, units)}")
    for number, remedy in ways:
        print_sentence(f"{number}. {findings.remedy_sentence(remedy, units)}: {findings.remedy_ph(remedy)}.")


def show_remedies(remedies: Sequence[RemedyView], units: Units) -> None:
    """What can be done, the best first."""
    print_heading("What can be done")
    for number, remedy in enumerate(remedies, 1):
        click.echo(f"  {number}. {findings.remedy_sentence(remedy, units)}")
        click.echo(f"     loss {words.fixed(remedy.loss, 1)}, {findings.remedy_limits(remedy)}")
        told = [findings.remedy_ph(remedy), *(findings.remedy_outcome(p, units) for p in remedy.portions)]
        outcomes = "; ".join(part for part in told if part)
        print_sentence(f"{outcomes}.", indent=5)


def show_order(order: OrderView, units: Units, pitch_at: float | None) -> None:
    """The running order, one step after the other."""
    print_heading(f"{order.name}: running order")
    for step in order.steps:
        when = (
            words.until_pitching(step.start_min)
            if pitch_at is None
            else words.clock(pitch_at + step.start_min)
        )
        length = f", {words.duration(step.minutes)}" if step.minutes else ""
        where = f" [{step.vessel}]" if step.vessel else ""
        click.secho(f"{when:>14}  {step.title}{length}{where}", bold=True)
        for line in _step_lines(step, units):
            click.echo(f"{'':16}{line}")


def _step_lines(step: StepView, units: Units) -> list[str]:
    lines = [step.detail]
    for amount in step.amounts:
        beside = telling.amount_note(amount)
        note = f" ({beside})" if beside else ""
        lines.append(f"{telling.amount_text(amount, units)} {amount.what}{note}")
    for asked in step.reading:
        lines.append(telling.asked_sentence(asked, units))
    lines += [f"{findings.RISK} {findings.caution_sentence(caution)}" for caution in step.cautions]
    return lines


def order_answer(order: OrderView) -> dict[str, Any]:
    """The running order for other programs, cautions in words."""
    answer = asdict(order)
    for step in answer["steps"]:
        step["cautions"] = [findings.caution_sentence(caution) for caution in step["cautions"]]
    return answer


def minutes_of(clock: str | None) -> float | None:
    """Minutes since midnight of a time such as 18:30."""
    if clock is None:
        return None
    hours, _, minutes = clock.partition(":")
    if not (hours.isdecimal() and minutes.isdecimal() and int(hours) < 24 and int(minutes) < 60):
        raise Refused((Problem("--pitch-at", f"“{clock}” is not a time of day", "write it like 18:30"),))
    return 60.0 * int(hours) + int(minutes)


def show_worth(worth: Sequence[WorthView]) -> None:
    """The readings that would tell most."""
    if not worth:
        return
    click.echo()
    rows = [
        (
            f"{view.step}: {'pH' if view.quantity == 'ph' else view.quantity}",
            view.instrument,
            *(words.share(view.narrows.get(name, 0.0)) for name, _ in NARROWED),
        )
        for view in worth
    ]
    columns = ("Readings worth taking", "on", *(what for _, what in NARROWED))
    print_table("", columns, rows)
    click.echo("  By how much each would narrow the forecasts, beyond the ones above it.")
    for told in filter(None, map(telling.settled_sentence, worth)):
        print_sentence(told)
