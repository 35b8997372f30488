"""Learn a house's own figures from a book, and hold past brews to them."""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import asdict
from pathlib import Path
from typing import Any

import click

from gylebook.faces.answers import printed
from gylebook.faces.cli import report_learn
from gylebook.faces.cli.options import Units, book_option, json_option, units_option
from gylebook.faces.pictures.foreseen import foreseen_picture
from gylebook.tasks.backtest import Backtest, backtest
from gylebook.tasks.files import load_plan, load_readings
from gylebook.tasks.keep_learned import keep_learned, write_learned
from gylebook.tasks.learned_view import learned_view
from gylebook.tasks.learning import learn_from_book
from gylebook.tasks.texts import write_new


@click.command()
@book_option
@units_option
@json_option
@click.option("--brewery", help="Name of the brewery; that of the newest brew if not given.")
@click.option(
    "--next",
    "upcoming",
    type=click.Path(path_type=Path),
    help="Plan to be brewed next, for whose size and process levels are told; else the newest brew's.",
)
@click.option(
    "--evening",
    "water",
    type=click.Path(path_type=Path),
    help="Readings of a calibration evening on this gear; those kept in the book if not given.",
)
@click.option(
    "--backtest", "foresee", is_flag=True, help="Hold every past brew to its forecast from those before."
)
@click.option("--picture", type=click.Path(path_type=Path), help="Draw the backtest into a new SVG file.")
@click.option("--write", type=click.Path(path_type=Path), help="Write a brewery file with what was learned.")
@click.option(
    "--keep", is_flag=True, help="Keep what was learned in the book, as the brewery's next version."
)
def learn(
    location: str,
    units: Units,
    as_json: bool,
    brewery: str | None,
    upcoming: Path | None,
    water: Path | None,
    foresee: bool,
    picture: Path | None,
    write: Path | None,
    keep: bool,
) -> None:
    """Learn the figures of the house from every brew in a book.

    Each figure is told as published and as learned, for the next brew: its level and its scatter. Kettle,
    crush, yeast and size make levels of their own, which still tell of each other. Nothing is changed
    unless --write or --keep is given.
    """
    plan = None if upcoming is None else load_plan(upcoming, location)
    learning = learn_from_book(
        location,
        brewery,
        plan,
        evening=None if water is None else load_readings(water),
        progress=_progress("looking at brew"),
    )
    view = learned_view(learning)
    found = backtest(learning, progress=_progress("foreseeing brew")) if foresee or picture else None
    if picture is not None and found is not None:
        write_new(picture, foreseen_picture(found, view.brewery, units=units))
    if write is not None:
        write_learned(learning, view, write)
    kept = keep_learned(location, learning, view).version if keep else None
    if as_json:
        answer = asdict(view)
        answer["backtest"] = None if found is None else _backtest_answer(found)
        answer["drawn"] = None if picture is None else str(picture)
        answer["written"] = None if write is None else str(write)
        answer["kept_as_version"] = kept
        click.echo(printed(answer))
        return
    report_learn.show_learned(view, units)
    if found is not None:
        report_learn.show_backtest(found, units)
    if picture is not None:
        click.echo(f"drawn: {picture}")
    if write is not None:
        click.echo(f"written: {write}")
    if kept is not None:
        click.echo(f"kept: {view.brewery}, version {kept}")


def _backtest_answer(found: Backtest) -> dict[str, Any]:
    return {
        **asdict(found),
        "readings": found.readings,
        "likelier_each": found.likelier_each,
        "inside_published": found.inside(learned=False),
        "inside_learned": found.inside(learned=True),
    }


def _progress(deed: str) -> Callable[[int, int], None]:
    """Tell how far it is, on a terminal; a file or a pipe gets the result alone."""

    def show(done: int, of: int) -> None:
        if not sys.stderr.isatty():
            return
        end = "\r\033[K" if done == of else f"\r{deed} {done + 1} of {of}"
        click.echo(end, nl=False, err=True)

    return show
