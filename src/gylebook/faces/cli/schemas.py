"""Print the JSON Schema of a file that a brewer writes by hand."""

from __future__ import annotations

import click

from gylebook.faces.answers import printed
from gylebook.tasks.files import brewery_schema, plan_schema


@click.command()
@click.argument("kind", type=click.Choice(["plan", "brewery"]))
def schema(kind: str) -> None:
    """Print the JSON Schema of a plan or a brewery file, for an editor that checks while you type."""
    click.echo(printed(plan_schema() if kind == "plan" else brewery_schema()))
