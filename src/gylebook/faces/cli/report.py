"""Print outlooks in words: numbers with their ranges, limits, changes, remedies, the running order.

In:  outlooks and views.  Out: text on the terminal.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

import click

from gylebook.errors import Problem, Refused
from gylebook.faces import findings, telling, words
from gylebook.faces.cli.tables import print_heading, print_table
from gylebook.faces.words import Units
from gylebook.tasks.outlook import Outlook
from gylebook.tasks.run_view import aim_views, boundary_view, limit_views
from gylebook.tasks.solved import amounts_answer
from gylebook.tasks.views import ChangeView, OrderView, RemedyView, StepView

MIDDLE = "middle (90 of 100 lie between)"
LINES = (
    ("mash.volume_l", "Mash, standing hot with its grain"),
    ("mash.strike_temperature_c", "Strike temperature"),
    ("mash.gravity", "First wort"),
    ("bag.lift_kg", "Bag at lifting"),
    ("grain.retained_l_per_kg", "Wort the grain really holds"),
    ("grain.absorption_l_per_kg", "Liquor in less wort out (“absorption”)"),
    ("rinse.level_l", "Second vessel, standing hot with the bag"),
    ("kettle.preboil.volume_l", "Kettle before the boil, at 20 °C"),
    ("kettle.preboil.gravity", "Gravity before the boil"),
    ("kettle.end.volume_l", "Kettle after the boil, at 20 °C"),
    ("kettle.end.gravity", "Gravity after the boil"),
    ("fermenters.volume_l", "Into the fermenters"),
    ("og", "Original gravity"),
    ("ibu", "Bitterness"),
    ("efficiency.conversion", "Efficiency: grain to mash liquid"),
    ("efficiency.lauter", "Efficiency: mash liquid to kettle"),
    ("efficiency.kettle", "Efficiency: grain to kettle"),
    ("efficiency.fermenter", "Efficiency: grain to fermenters"),
)
FAR = 3.0  # sd from what the rest says, beyond which a reading wants a second look
PORTIONS_ABREAST = 3  # as many as a terminal of 80 columns holds
PORTION_LINES = (
    ("volume_l", "into it"),
    ("og", "original gravity"),
    ("fg", "final gravity"),
    ("abv", "alcohol"),
    ("ibu", "bitterness"),
    ("packaged_l", "packaged"),
)


def show_forecast(outlook: Outlook, units: Units) -> None:
    """The gyle step by step, then its portions."""
    rows = [(what, told(outlook, name, units)) for name, what in LINES if name in outlook.numbers]
    count = words.count(len(outlook.latents))
    print_table(f"{outlook.plan.name}: forecast of {count} draws", ("", MIDDLE), rows)
    for start in range(0, len(outlook.plan.portions), PORTIONS_ABREAST):
        click.echo()
        abreast = outlook.plan.portions[start : start + PORTIONS_ABREAST]
        lines = [
            (what, *(told(outlook, f"portion.{portion.key}.{cell}", units) for portion in abreast))
            for cell, what in PORTION_LINES
        ]
        print_table("", ("Portions", *(portion.name for portion in abreast)), lines)


def told(outlook: Outlook, name: str, units: Units) -> str:
    """One number with its range."""
    summary, unit = outlook.numbers[name], words.unit_of_name(name)
    if unit == "share":
        return f"{words.share(summary.median)} ({words.share(summary.low)} – {words.share(summary.high)})"
    return words.median_and_interval(summary, unit, units)


def show_aims(outlook: Outlook, units: Units) -> None:
    """How the forecast stands to each aim."""
    print_heading("Aims")
    for aim in aim_views(outlook):
        click.echo(f"  {findings.aim_sentence(aim, units)}")


def show_limits(outlook: Outlook, units: Units, *, every: bool = False) -> None:
    """Limits that are not kept as asked; all of them where asked for."""
    views = limit_views(outlook)
    failing = [limit for limit in views if not limit.kept]
    print_heading("Limits")
    for limit in views if every else failing:
        click.echo(f"  {findings.limit_sentence(limit, units)}")
    if not failing:
        asked = words.odds(outlook.plan.aims.odds)
        click.echo(f"  All {words.spelled(len(views))} limits are kept at least {asked}.")
        return
    found = boundary_view(outlook)
    if found is not None:
        click.echo(f"  {telling.boundary_sentence(found, units)}")


def show_amounts(outlook: Outlook, units: Units) -> None:
    """What to buy, weigh and measure."""
    answer = amounts_answer(outlook)
    rows = [(g["grain"], words.to_measure(g["mass_kg"], "mass", units)) for g in answer["grist"]]
    for name, key in (
        ("Mash liquor", "mash_l"),
        ("Rinse liquor", "rinse_l"),
        ("Liquor into the kettle", "kettle_l"),
    ):
        if answer["liquor"][key]:
            rows.append((name, words.to_measure(answer["liquor"][key], "volume", units)))
    if answer["strike_temperature_c"] is not None:
        rows.append(("Strike temperature", words.temperature(answer["strike_temperature_c"], units)))
    for hop in answer["hops"]:
        when = "" if hop["use"] in ("first wort", "dry") else f" {words.duration(hop['minutes'])}"
        rows.append(
            (f"{hop['variety']}, {hop['use']}{when}", words.to_measure(hop["mass_kg"], "mass", units))
        )
    for starter in answer["starters"]:
        if starter["volume_l"] is not None:
            rows.append(
                (f"Starter {starter['name']}", words.to_measure(starter["volume_l"], "volume", units))
            )
    print_table(f"{outlook.plan.name}: amounts", ("", "amount"), rows)


def show_readings(outlook: Outlook, units: Units) -> None:
    """Each reading with how well it agrees, and how far the result can be trusted."""
    found = outlook.diagnostic
    if found is None:
        return
    rows = []
    for reading, misfit in zip(outlook.readings, found.misfits, strict=True):
        kind = outlook.brewery.instruments[reading.instrument].kind
        value = telling.reading_text(reading.quantity, reading.value, units, kind)
        verdict = "agrees" if abs(misfit.from_rest) <= FAR else f"{findings.RISK} check it"
        what = f"{reading.quantity} {value}"
        rows.append((telling.clock_text(reading.at), reading.step, what, reading.instrument, verdict))
    print_table("Readings", ("at", "step", "reading", "instrument", ""), rows)
    click.echo(f"  {telling.trust_sentence(found.method, found.effective_draws, len(outlook.latents))}")


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
    print_table("Before → after the readings", columns, rows)


def show_remedies(remedies: Sequence[RemedyView], units: Units) -> None:
    """What can be done, the best first."""
    print_heading("What can be done")
    for number, remedy in enumerate(remedies, 1):
        click.echo(f"  {number}. {findings.remedy_sentence(remedy, units)}")
        click.echo(
            f"     loss {words.fixed(remedy.loss, 1)}, limits kept {words.odds(remedy.odds_limits_kept)}"
        )
        for portion in remedy.portions:
            click.echo(f"     {findings.remedy_outcome(portion, units)}")


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
        note = f" ({amount.note})" if amount.note else ""
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
    if not (hours.isdigit() and minutes.isdigit() and int(hours) < 24 and int(minutes) < 60):
        raise Refused((Problem("--pitch-at", f"“{clock}” is not a time of day", "write it like 18:30"),))
    return 60.0 * int(hours) + int(minutes)
