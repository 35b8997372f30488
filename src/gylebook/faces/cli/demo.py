"""Go through a whole invented brew day."""

from __future__ import annotations

from pathlib import Path

import click


@click.command()
@click.option(
    "--folder",
    type=click.Path(path_type=Path),
    default=Path("demo-book"),
    show_default=True,
    help="Where book and sheet go; a demo book there is made anew.",
)
def demo(folder: Path) -> None:
    """Plan, limits, sheet, readings of an invented day, and what they change."""
    from gylebook.faces.cli.demo_day import walk_through

    walk_through(folder)
