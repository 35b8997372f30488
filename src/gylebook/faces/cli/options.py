"""Share the options that many commands take.

In:  nothing.  Out: click decorators.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from gylebook.faces.words import METRIC, US, Units

Command = Callable[..., Any]
BOOK = "gylebook.names_from"


def plan_options(command: Command) -> Command:
    """PLAN, --brewery, --draws, --seed, --names-from: what every forecast needs."""
    for decorate in (
        click.option("--seed", type=int, default=1, show_default=True, help="Same seed, same answer."),
        click.option("--draws", type=int, default=4000, show_default=True, help="Futures to draw."),
        click.option(
            "--brewery",
            "-b",
            type=click.Path(path_type=Path),
            help="Brewery file; brewery.toml beside the plan if not given.",
        ),
        click.option(
            "--names-from",
            "book",
            expose_value=False,
            callback=_remember_book,
            help="Book whose own tables names are looked up in.",
        ),
        click.argument("plan", type=click.Path(path_type=Path)),
    ):
        command = decorate(command)
    return command


def _remember_book(ctx: click.Context, _param: click.Parameter, location: str | None) -> None:
    ctx.meta[BOOK] = location


def named_book() -> str | None:
    """The book whose own tables this command's plan is read with, where one was named."""
    location: str | None = click.get_current_context().meta.get(BOOK)
    return location


def readings_option(command: Command) -> Command:
    """--readings: what was measured so far."""
    decorate = click.option(
        "--readings", "-r", type=click.Path(path_type=Path), help="Readings file, [[reading]] tables."
    )
    return decorate(command)


def units_option(command: Command) -> Command:
    """--units: how amounts are shown."""
    decorate = click.option(
        "--units",
        type=click.Choice(["metric", "us"]),
        default="metric",
        show_default=True,
        callback=lambda _ctx, _param, name: US if name == "us" else METRIC,
        help="How amounts are shown.",
    )
    return decorate(command)


def json_option(command: Command) -> Command:
    """--json: for other programs."""
    return click.option("--json", "as_json", is_flag=True, help="JSON for other programs.")(command)


def book_option(command: Command) -> Command:
    """--book: where the record is kept."""
    decorate = click.option(
        "--book",
        "location",
        envvar="GYLEBOOK_BOOK",
        default="./book.gyle",
        show_default=True,
        help="Book file, or URL of a database; also from GYLEBOOK_BOOK.",
    )
    return decorate(command)


def brewery_beside(plan: Path, brewery: Path | None) -> Path:
    """The brewery file that was named, or the one beside the plan."""
    return brewery if brewery is not None else plan.parent / "brewery.toml"


__all__ = [
    "Units",
    "book_option",
    "brewery_beside",
    "json_option",
    "named_book",
    "plan_options",
    "readings_option",
    "units_option",
]
