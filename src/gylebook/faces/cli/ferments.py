"""Follow a portion through its fermentation, from files or in a book."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path

import click

from gylebook.faces.answers import printed
from gylebook.faces.cli import report_ferment
from gylebook.faces.cli.looking import outlook_of
from gylebook.faces.cli.options import (
    Command,
    Units,
    book_option,
    json_option,
    plan_options,
    readings_option,
    units_option,
)
from gylebook.faces.cli.planning import write_bytes
from gylebook.tasks.brews import look_at_brew
from gylebook.tasks.cellar import pitched_at
from gylebook.tasks.ferment_state import ferment_view
from gylebook.tasks.ferment_views import AMISS
from gylebook.tasks.fermenting import follow
from gylebook.tasks.outlook import Outlook


def ferment_options(command: Command) -> Command:
    """--portion, --pitched, --picture."""
    for decorate in (
        click.option(
            "--picture",
            type=click.Path(path_type=Path),
            help="Draw the curve into this file, like curve.svg.",
        ),
        click.option(
            "--pitched",
            help="When the yeast went in, like 2026-11-20T18:00; when the fermenter was read if not given.",
        ),
        click.option("--portion", required=True, help="Key of the portion in the plan."),
    ):
        command = decorate(command)
    return command


@click.command()
@plan_options
@readings_option
@ferment_options
@units_option
@json_option
def ferment(
    plan: Path,
    brewery: Path | None,
    draws: int,
    seed: int,
    readings: Path | None,
    portion: str,
    pitched: str | None,
    picture: Path | None,
    units: Units,
    as_json: bool,
) -> int:
    """Say how a portion of PLAN ferments: its curve, its end and the day, how long to wait.

    Readings taken at the step "portion.KEY ferment" count, gravities and temperatures of the beer, each with
    its date and time.
    """
    outlook = outlook_of(plan, brewery, draws, seed, readings)
    return show(outlook, portion, pitched, picture, units, as_json)


@click.command("ferment")
@book_option
@ferment_options
@units_option
@json_option
@click.argument("name")
def brew_ferment(
    location: str,
    portion: str,
    pitched: str | None,
    picture: Path | None,
    units: Units,
    as_json: bool,
    name: str,
) -> int:
    """Say how a portion of the brew NAME ferments: its curve, its end and the day, how long to wait."""
    standing = look_at_brew(location, name)
    known = pitched or pitched_at(standing, portion)
    return show(standing.outlook, portion, known, picture, units, as_json)


def show(
    outlook: Outlook, portion: str, pitched: str | None, picture: Path | None, units: Units, as_json: bool
) -> int:
    """Print the answer, and draw it; 1 where the fermentation has gone amiss."""
    view = ferment_view(follow(outlook, portion, pitched))
    if picture is not None:
        from gylebook.faces.pictures.ferment import ferment_picture

        write_bytes(picture, ferment_picture(view, units=units).encode())
    if as_json:
        click.echo(printed(asdict(view)))
    else:
        report_ferment.show_ferment(view, units)
        if picture is not None:
            click.echo(f"written: {picture}")
    return 1 if view.verdict in AMISS else 0
