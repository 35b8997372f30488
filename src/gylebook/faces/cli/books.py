"""Make a book and list what is in it."""

from __future__ import annotations

from dataclasses import asdict

import click

from gylebook.faces.cli.answers import printed
from gylebook.faces.cli.options import book_option, json_option
from gylebook.faces.cli.tables import print_table
from gylebook.tasks.brews import make_book
from gylebook.tasks.shelf import look_at_book


@click.group()
def book() -> None:
    """Make a book, or see what is in it."""


@book.command()
@book_option
def new(location: str) -> None:
    """Make a new, empty book; one that is there already is left alone."""
    make_book(location)
    click.echo(f"made: {location}")


@book.command()
@book_option
@json_option
def show(location: str, as_json: bool) -> None:
    """List the breweries, plans and brews of a book."""
    view = look_at_book(location)
    if as_json:
        answer = {
            "made_at": view.about.made_at,
            "revision": view.about.revision,
            "breweries": [
                {"name": b.name, "version": b.version, "made_at": b.made_at} for b in view.breweries
            ],
            "plans": [
                {"name": p.name, "version": p.version, "made_at": p.made_at, "note": p.note}
                for p in view.plans
            ],
            "brews": [
                {**asdict(b), "id": str(b.id), "plan_id": str(b.plan_id), "brewery_id": str(b.brewery_id)}
                for b in view.brews
            ],
        }
        click.echo(printed(answer))
        return
    click.echo(f"{view.location}, made {view.about.made_at}")
    print_table("Breweries", ("name", "version"), [(b.name, str(b.version)) for b in view.breweries])
    print_table("Plans", ("name", "version", "note"), [(p.name, str(p.version), p.note) for p in view.plans])
    print_table("Brews", ("name", "started"), [(b.name, b.started_at) for b in view.brews])
    if not (view.breweries or view.plans or view.brews):
        click.echo("Nothing in it yet: gylebook brew start NAME PLAN writes the first brew.")
