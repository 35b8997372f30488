"""Make a book, list what is in it, keep the brewer's own tables in it."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path

import click

from gylebook.errors import Problem, Refused
from gylebook.faces.answers import printed
from gylebook.faces.cli.options import Units, book_option, json_option, units_option
from gylebook.faces.cli.report_table import show_table
from gylebook.faces.cli.tables import print_table
from gylebook.tasks.brews import make_book
from gylebook.tasks.own_tables import (
    TABLE_NAMES,
    TableName,
    look_at_table,
    take_in_table,
    write_out_table,
)
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
    """List the breweries, plans, own tables and brews of a book."""
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
            "tables": [{"name": t.name, "version": t.version, "made_at": t.made_at} for t in view.tables],
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
    print_table("Own tables", ("name", "version"), [(t.name, str(t.version)) for t in view.tables])
    print_table("Brews", ("name", "started"), [(b.name, b.started_at) for b in view.brews])
    if not (view.breweries or view.plans or view.tables or view.brews):
        click.echo("Nothing in it yet: gylebook brew start NAME PLAN writes the first brew.")


@book.command()
@book_option
@units_option
@json_option
@click.option("--out", type=click.Path(path_type=Path), help="Write the whole table to this new CSV file.")
@click.option("--in", "in_", type=click.Path(path_type=Path), help="Keep the table in this file as your own.")
@click.argument("name", type=click.Choice(TABLE_NAMES))
def table(
    location: str, units: Units, as_json: bool, out: Path | None, in_: Path | None, name: TableName
) -> None:
    """Show a table as it stands in a book, write it out to be edited, or take yours in.

    Your rows take the place of the shipped ones with the same key. They count for every brew that is
    started from then on; one that was started before keeps the figures it had.
    """
    if out is not None and in_ is not None:
        raise Refused((Problem("--out, --in", "both were given", "write out, edit, then take in"),))
    if out is not None:
        write_out_table(location, name, out)
        click.echo(printed({"written": str(out)}) if as_json else f"written: {out}")
        return
    view = look_at_table(location, name) if in_ is None else take_in_table(location, name, in_)
    if as_json:
        rows = [{**asdict(row), **row.figures} for row in view.rows]
        for row in rows:
            del row["figures"]
        click.echo(printed({"table": view.name, "version": view.version, "rows": rows}))
    elif in_ is None:
        show_table(view, units)
    else:
        own = sum(row.own for row in view.rows)
        click.echo(f"kept: {view.name}, version {view.version}; {own} of its {len(view.rows)} rows your own")
