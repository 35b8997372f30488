"""Hold a calibration evening in a book: its readings as they come, and what they make of the gear.

In:  a book's location, a brewery's name, what was typed for each reading.
Out: `EveningInBook`; a new version of the evening, or of the brewery with its figures.

Idea: the readings are kept as the file of readings that they would be, value for value as typed, and the
newest such file counts.  It begins from what is published whatever the brewery file states of its house:
what was learned from these very readings would count twice.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import get_args

from gylebook.brewery.instruments import Quantity
from gylebook.brewery.site import Brewery
from gylebook.errors import Problem, Refused
from gylebook.exchange.brewery_file import read_brewery
from gylebook.exchange.drafts import Field, fields_of, with_fields
from gylebook.exchange.readings_file import read_readings
from gylebook.gyle.evening import instrument_at_hand
from gylebook.record.book import Book
from gylebook.record.events import BreweryVersion, EveningVersion
from gylebook.record.store import open_book
from gylebook.tasks.evening import EveningOutlook, look_at_evening
from gylebook.tasks.evening_kept import readings_kept
from gylebook.tasks.evening_view import EveningView, evening_view, gauged_text
from gylebook.tasks.gear import noted

Asked = tuple[str, str]  # step and quantity
WHERE = "evening"
NONE_READ = "# nothing read yet\n"


@dataclass(frozen=True, kw_only=True, eq=False)
class EveningInBook:
    """An evening on one brewery as it stands: `typed` are the values kept, by step and quantity."""

    version: int
    kept_at: str
    typed: Mapping[Asked, str]
    outlook: EveningOutlook
    view: EveningView


def evening_in_book(location: str, brewery: str) -> EveningInBook:
    """The newest evening on the newest version of a brewery, or one that is still to come.

    Raises Refused or NotConverged where kept readings do not fit gear that was changed since.
    """
    with open_book(location) as book:
        site, kept = _site(book, brewery), book.evening(brewery)
        outlook = look_at_evening(site, readings_kept(book, brewery))
    return EveningInBook(
        version=0 if kept is None else kept.version,
        kept_at="" if kept is None else kept.made_at,
        typed={} if kept is None else _values(kept.text),
        outlook=outlook,
        view=evening_view(outlook),
    )


def keep_evening(location: str, brewery: str, typed: Mapping[Asked, str]) -> EveningVersion:
    """Keep these values as the evening's readings; a value left empty was not read.

    Raises Refused with problems placed as “step quantity”, or NotConverged where the readings cannot all be
    true; nothing is kept then.
    """
    with open_book(location) as book:
        site = _site(book, brewery)
        read = [(asked, value.strip()) for asked, value in typed.items() if value.strip()]
        text = _text(site, read)
        try:
            readings = read_readings(text, where=WHERE)
        except Refused as refused:
            raise Refused([_placed(problem, read) for problem in refused.problems]) from None
        look_at_evening(site, readings)
        return book.keep_evening(brewery, text)


def start_over(location: str, brewery: str) -> EveningVersion:
    """Begin a new evening: the readings before stay in the book and count no more."""
    with open_book(location) as book:
        book.brewery(brewery)
        return book.keep_evening(brewery, NONE_READ)


def keep_gauged(location: str, brewery: str) -> BreweryVersion:
    """Keep what the evening told as the brewery's house figures, in its next version."""
    found = evening_in_book(location, brewery)
    with open_book(location) as book:
        newest = book.brewery(brewery)
        where = f"brewery “{brewery}” version {newest.version}"
        text = gauged_text(found.outlook, found.view, newest.text, where)
        return book.keep_brewery(brewery, noted(text))


def _site(book: Book, brewery: str) -> Brewery:
    kept = book.brewery(brewery)
    typed = read_brewery(kept.text, where=f"brewery “{kept.name}” version {kept.version}")
    return replace(typed, house={})


def _text(site: Brewery, read: list[tuple[Asked, str]]) -> str:
    fields: dict[str, Field] = {}
    for number, ((step, quantity), value) in enumerate(read):
        instrument = _instrument(site, step, quantity)
        here = f"reading.{number}"
        fields |= {
            f"{here}.step": step,
            f"{here}.quantity": quantity,
            f"{here}.value": value,
            f"{here}.instrument": instrument,
        }
    return with_fields(NONE_READ if not fields else "", fields, where=WHERE)


def _instrument(site: Brewery, step: str, quantity: str) -> str:
    known: tuple[Quantity, ...] = get_args(Quantity)
    what = next((one for one in known if one == quantity), None)
    found = None if what is None else instrument_at_hand(site, what)
    if found is None:
        raise Refused([Problem(f"{step} {quantity}", "no instrument reads that", "leave it out")])
    return found.key


def _placed(problem: Problem, read: list[tuple[Asked, str]]) -> Problem:
    """The problem at the reading that it is about."""
    for number, (asked, _) in enumerate(read, 1):
        if f"reading[{number}]" in problem.where:
            return replace(problem, where=" ".join(asked))
    return problem


def _values(text: str) -> dict[Asked, str]:
    fields = fields_of(text, where=WHERE)
    count = len({path.split(".")[1] for path in fields})
    return {
        (str(fields[f"reading.{n}.step"]), str(fields[f"reading.{n}.quantity"])): str(
            fields[f"reading.{n}.value"]
        )
        for n in range(count)
    }
