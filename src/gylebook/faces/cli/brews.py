"""Start a brew in a book, write readings down, adopt a remedy, look at any moment again."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import get_args
from uuid import UUID

import click

from gylebook.brewery.water import MeterWay
from gylebook.faces.answers import (
    event_answer,
    forecast_answer,
    printed,
    reading_answers,
    taken_answer,
)
from gylebook.faces.cli import report, report_day
from gylebook.faces.cli.ferments import brew_ferment
from gylebook.faces.cli.options import (
    Units,
    book_option,
    brewery_beside,
    json_option,
    units_option,
)
from gylebook.faces.cli.tables import print_table
from gylebook.faces.event_words import event_text
from gylebook.faces.moments import moment
from gylebook.tasks.brew_outlook import SHOWN
from gylebook.tasks.brews import (
    Taken,
    adopt_remedy,
    look_at_brew,
    reading_numbered,
    start_brew,
    take_reading,
    what_can_be_done,
    withdraw_reading,
)
from gylebook.tasks.cellar import moment_corrected
from gylebook.tasks.fermenting import followed_portion
from gylebook.tasks.remedy_view import changes, ways_to_the_mash_ph
from gylebook.tasks.typed import reading_typed


@click.group()
def brew() -> None:
    """Start a brew in a book, read into it, look at it."""


brew.add_command(brew_ferment)


@brew.command()
@book_option
@click.option(
    "--brewery",
    "-b",
    type=click.Path(path_type=Path),
    help="Brewery file; else brewery.toml beside the plan.",
)
@click.option("--draws", type=int, default=4000, show_default=True, help="Futures to draw.")
@click.option("--seed", type=int, default=1, show_default=True, help="Same seed, same answer.")
@click.option("--at", help="When it starts; now if not given.")
@units_option
@click.argument("name")
@click.argument("plan", type=click.Path(path_type=Path))
def start(
    location: str,
    brewery: Path | None,
    draws: int,
    seed: int,
    at: str | None,
    units: Units,
    name: str,
    plan: Path,
) -> int:
    """Start the brew NAME from PLAN: both files are kept as typed, the solved plan is pinned."""
    standing = start_brew(
        location, name, plan, brewery_beside(plan, brewery), moment(at), draws=draws, seed=seed
    )
    click.echo(f"started: {standing.brew.name}")
    report.show_amounts(standing.outlook, units)
    report.show_limits(standing.outlook, units)
    return 0 if standing.outlook.limits_kept else 1


@brew.command()
@book_option
@units_option
@json_option
@click.option("--on", "instrument", help="The instrument; needed where several could have shown it.")
@click.option("--temperature", help="Of the sample or the liquid, where it matters.")
@click.option(
    "--meter",
    type=click.Choice(get_args(MeterWay)),
    help="How a pH was read, where the sample was hot: by a meter corrected for its warmth, or not.",
)
@click.option("--gassy", is_flag=True, help="Its carbon dioxide was still in the sample.")
@click.option("--at", help="When it was read; now if not given.")
@click.option("--who", default="", help="Who read it.")
@click.option("--id", "id_", type=click.UUID, help="An id of the sender's own: sent twice, kept once.")
@click.option("--corrects", type=int, help="Number of the earlier reading that this one replaces.")
@click.option("--reason", default="", help="Why it replaces the earlier one.")
@click.argument("name")
@click.argument("step")
@click.argument("value")
def read(
    location: str,
    units: Units,
    as_json: bool,
    instrument: str | None,
    temperature: str | None,
    meter: MeterWay | None,
    gassy: bool,
    at: str | None,
    who: str,
    id_: UUID | None,
    corrects: int | None,
    reason: str,
    name: str,
    step: str,
    value: str,
) -> int:
    """Write a reading of the brew NAME down, and show what it changes.

    VALUE carries its unit, which tells what was read: "41.6 L", 1.047, "12.1 °Bx", "66 °C", "17.4 kg",
    "45 min", "pH 5.4"; "above 38 L" where it stood off the scale. STEP is where in the day: mash, lift,
    rinse, preboil, "boil end", fermenters ... "portion.KEY ferment" is read again and again while a portion
    ferments.
    """
    standing = look_at_brew(location, name)
    when = moment(at) if at is not None else moment_corrected(standing.events, corrects) or moment(None)
    typed = reading_typed(standing.outlook, step, value, instrument, temperature, when, meter)
    reading = replace(typed, gassy=gassy)
    taken = take_reading(
        location,
        name,
        reading,
        id=id_,
        who=who,
        device="command line",
        supersedes=reading_numbered(location, name, corrects) if corrects is not None else None,
        reason=reason,
    )
    return _show_taken(taken, units, as_json)


@brew.command()
@book_option
@units_option
@json_option
@click.option("--at", help="When; now if not given.")
@click.option("--reason", required=True, help="Why it is taken back.")
@click.argument("name")
@click.argument("number", type=int)
def withdraw(
    location: str, units: Units, as_json: bool, at: str | None, reason: str, name: str, number: int
) -> int:
    """Take a reading of the brew NAME back, by its NUMBER; it stays in the book and counts no more."""
    taken = withdraw_reading(
        location, name, reading_numbered(location, name, number), moment(at), reason=reason
    )
    return _show_taken(taken, units, as_json)


@brew.command()
@book_option
@units_option
@json_option
@click.argument("name")
def remedies(location: str, units: Units, as_json: bool, name: str) -> int:
    """Put side by side what can still be done about the brew NAME."""
    outlook = look_at_brew(location, name).outlook
    found = what_can_be_done(outlook)
    if as_json:
        click.echo(printed({"remedies": found, "readings": reading_answers(outlook)}))
    else:
        report_day.show_readings(outlook, units)
        report_day.show_remedies(found, units)
    return 0 if outlook.limits_kept else 1


@brew.command()
@book_option
@units_option
@json_option
@click.option("--at", help="When; now if not given.")
@click.argument("name")
@click.argument("number", type=int)
def adopt(location: str, units: Units, as_json: bool, at: str | None, name: str, number: int) -> int:
    """Do what `brew remedies NAME` lists under NUMBER: the plan changes from the step last read on."""
    return _show_taken(adopt_remedy(location, name, number, moment(at)), units, as_json)


@brew.command()
@book_option
@units_option
@json_option
@click.option("--up-to", type=int, help="As it stood after the event with this number.")
@click.argument("name")
def show(location: str, units: Units, as_json: bool, up_to: int | None, name: str) -> int:
    """Show the brew NAME: what happened, and what is forecast; with --up-to, as it stood then."""
    standing = look_at_brew(location, name, up_to=up_to)
    outlook = standing.outlook
    if as_json:
        answer = forecast_answer(outlook)
        answer["about"]["brew"] = standing.brew.name
        answer["about"]["events"] = [event_answer(e) for e in standing.events if e.kind != SHOWN]
        click.echo(printed(answer))
        return 0 if outlook.limits_kept else 1
    kinds = {key: instrument.kind for key, instrument in outlook.brewery.instruments.items()}
    rows = [
        (str(event.seq), event.at[:16].replace("T", " "), event.kind, event_text(event.body, kinds, units))
        for event in standing.events
        if event.kind != SHOWN
    ]
    print_table(f"{standing.brew.name}: what happened", ("number", "at", "what", ""), rows)
    report.show_forecast(outlook, units)
    report_day.show_readings(outlook, units)
    report.show_limits(outlook, units)
    return 0 if outlook.limits_kept else 1


def _show_taken(taken: Taken, units: Units, as_json: bool) -> int:
    code = 0 if taken.after.limits_kept else 1
    if as_json:
        click.echo(printed(taken_answer(taken)))
        return code
    click.echo(f"written down as number {taken.event.seq}")
    key = followed_portion(str(taken.event.body.get("step", "")))
    if key is not None:
        click.echo(f'  what it tells: gylebook brew ferment "{taken.brew.name}" --portion {key}')
        return code
    report_day.show_readings(taken.after, units)
    report_day.show_mash_ph(taken.before, ways_to_the_mash_ph(taken.after), units)
    report_day.show_changes(changes(taken.before, taken.after), taken.after, units)
    report.show_limits(taken.after, units)
    return code
