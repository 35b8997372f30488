"""Read the files a brewer keeps: plan, brewery, readings.

In:  paths.
Out: nouns; everything that is wrong with a file is told at once, with its line.
"""

from __future__ import annotations

from pathlib import Path

from gylebook.brewery.instruments import Reading
from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.errors import Problem, Refused
from gylebook.exchange.brewery_file import brewery_schema, read_brewery
from gylebook.exchange.larder_file import larder_schema
from gylebook.exchange.plan_file import plan_schema, read_plan
from gylebook.exchange.readings_file import read_readings
from gylebook.exchange.wish_file import wish_schema
from gylebook.tasks.texts import text_of

# The files that a brewer writes by hand, and what describes each.
SCHEMAS = {
    "plan": plan_schema,
    "brewery": brewery_schema,
    "wish": wish_schema,
    "larder": larder_schema,
}

__all__ = [
    "SCHEMAS",
    "brewery_schema",
    "example_folder",
    "load_brewery",
    "load_plan",
    "load_readings",
    "plan_schema",
]


def load_plan(path: str | Path, book: str | None = None) -> Plan:
    """The plan in a file; names are looked up in the own tables of `book` first, where one is given."""
    if book is None:
        return read_plan(text_of(path), where=str(path))
    from gylebook.tasks.own_tables import tables_of  # loads the record, which most plans never need

    return read_plan(text_of(path), where=str(path), tables=tables_of(book))


def load_brewery(path: str | Path) -> Brewery:
    """The brewery in a file."""
    return read_brewery(text_of(path), where=str(path))


def load_readings(path: str | Path) -> tuple[Reading, ...]:
    """The readings in a file, in the order they stand there."""
    return read_readings(text_of(path), where=str(path))


def example_folder(name: str) -> Path:
    """A folder of example files: beside the package where it is installed, else in the checkout."""
    package = Path(__file__).resolve().parents[1]
    for place in (package / "examples", package.parents[1] / "examples"):
        if (place / name).is_dir():
            return place / name
    raise Refused((Problem(name, "the example files are not here", "take them from the project's source"),))
