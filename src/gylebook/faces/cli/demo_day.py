"""Walk through an invented brew day, as a brewer would with the other commands.

In:  a folder.
Out: a book, a sheet and a picture in it, and the day on the terminal.

Idea: every line printed comes from the same tasks and words as the commands; the deeds are named as one
would type them, so that the walk teaches the tool.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from pathlib import Path

import click

from gylebook.errors import Problem, Refused
from gylebook.faces import findings, telling, words
from gylebook.faces.cli import report, report_day
from gylebook.faces.pictures.run import run_picture
from gylebook.faces.sheets.day import day_sheet
from gylebook.faces.words import METRIC
from gylebook.tasks.brews import adopt_remedy, look_at_brew, make_book, start_brew, take_reading
from gylebook.tasks.files import example_folder, load_readings
from gylebook.tasks.remedy_view import MASH_PH_DEEDS, changes, ways_to_the_mash_ph, what_can_be_done
from gylebook.tasks.run_view import run_view
from gylebook.tasks.sheet import sheet_view

NAME = "Orchard amber, first time"
BOOK, SHEET, PICTURE, AFTER = "demo.gyle", "sheet.pdf", "run.svg", "run-after-readings.svg"


def walk_through(folder: Path) -> None:
    """Plan, limits, sheet, readings, before and after, remedies."""
    example = example_folder("amber-three-ways")
    book = _fresh_book(folder)
    _say(f"export GYLEBOOK_BOOK={book}")
    _say("gylebook book new")
    make_book(str(book))
    _say(f'gylebook brew start "{NAME}" examples/{example.name}/plan.toml')
    started = datetime.now().astimezone().replace(hour=8, minute=0, second=0, microsecond=0)
    standing = start_brew(
        str(book), NAME, example / "plan.toml", example / "brewery.toml", started.isoformat()
    )
    before = standing.outlook
    report.show_amounts(before, METRIC)
    report.show_aims(before, METRIC)
    report.show_every_limit(before, METRIC)

    _say(f"gylebook sheet examples/{example.name}/plan.toml -o {folder / SHEET}")
    (folder / SHEET).write_bytes(day_sheet(sheet_view(before)))
    (folder / PICTURE).write_text(run_picture(run_view(before)), encoding="utf-8")

    for reading in load_readings(example / "readings.toml"):
        clock = datetime.strptime(reading.at, "%H:%M").time()
        at = datetime.combine(started.date(), clock).astimezone().isoformat()
        kind = before.brewery.instruments[reading.instrument].kind
        shown = telling.reading_text(reading.quantity, reading.value, kind=kind, beyond=reading.beyond)
        warm = reading.temperature_c
        noted = "" if warm is None else f' --temperature "{words.temperature(warm)}"'
        _say(f'gylebook brew read "{NAME}" "{reading.step}" "{shown}" --at {reading.at}{noted}')
        taken = take_reading(str(book), NAME, replace(reading, at=at))
        if reading.quantity == "ph":
            ways = ways_to_the_mash_ph(taken.after)
            report_day.show_mash_ph(taken.before, ways, METRIC)
            number = next(number for number, way in ways if way.deed in MASH_PH_DEEDS)
            _say(f'gylebook brew adopt "{NAME}" {number}')
            adopt_remedy(str(book), NAME, number, at)
        litres = next(c for c in changes(taken.before, taken.after) if c.name == "fermenters.volume_l")
        click.echo(f"  into the fermenters {findings.change_text(litres)}")

    after = look_at_brew(str(book), NAME).outlook
    report_day.show_readings(after, METRIC)
    report_day.show_changes(changes(before, after), after, METRIC)
    _say(f'gylebook brew remedies "{NAME}"')
    report_day.show_remedies(what_can_be_done(after), METRIC)
    (folder / AFTER).write_text(run_picture(run_view(after)), encoding="utf-8")
    click.echo()
    click.secho("To look at:", bold=True)
    for name, what in (
        (SHEET, "the day on paper"),
        (PICTURE, "the run as planned"),
        (AFTER, "the run after the readings"),
        (BOOK, "the book itself: gylebook book show"),
    ):
        click.echo(f"  {folder / name}  {what}")


def _fresh_book(folder: Path) -> Path:
    """The place of the demo's book, cleared of an earlier demo's and of nothing else."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name in (BOOK, f"{BOOK}-wal", f"{BOOK}-shm"):
            (folder / name).unlink(missing_ok=True)
    except OSError as problem:
        reason = (problem.strerror or type(problem).__name__).lower()
        raise Refused(
            (Problem(str(folder), f"cannot be written ({reason})", "name another --folder"),)
        ) from None
    return folder / BOOK


def _say(command: str) -> None:
    click.echo()
    click.secho(f"$ {command}", fg="cyan")
