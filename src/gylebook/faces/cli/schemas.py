"""Print the JSON Schema of a file that a brewer writes by hand."""

from __future__ import annotations

import click

from gylebook.faces.answers import printed
from gylebook.tasks.files import SCHEMAS


@click.command()
@click.argument("kind", type=click.Choice(list(SCHEMAS)))
def schema(kind: str) -> None:
    """Print the JSON Schema of a file that you write, for an editor that checks while you type."""
    click.echo(printed(SCHEMAS[kind]()))
