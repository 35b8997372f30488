"""Keep a brew in a book: start it, write readings down, adopt a remedy, look at any moment of it again.

In:  a book's location, files, readings.
Out: `Taken`, `Standing`: the brew with its outlook before and after.

Idea: the book pins the solved plan, the brewery as typed, the seed and the draws; with the events up to any
number they give the same outlook again, so no forecast needs to be stored, only its fingerprint.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from importlib import metadata
from pathlib import Path
from uuid import UUID, uuid4

from gylebook.brewery.instruments import Reading
from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.errors import Problem, Refused
from gylebook.exchange.brewery_file import read_brewery
from gylebook.exchange.plan_file import read_plan
from gylebook.exchange.plan_writer import write_plan
from gylebook.gyle.observe import observables
from gylebook.record.book import Book
from gylebook.record.events import PLAN_CHANGED, READING, WITHDRAWN, Brew, Event
from gylebook.record.replay import reading_body, reading_of, standing
from gylebook.record.store import new_book, open_book
from gylebook.tasks.brew_outlook import last_that_counts, outlook_of, write_shown
from gylebook.tasks.outlook import DRAWS, SEED, Outlook, look_ahead
from gylebook.tasks.own_tables import book_tables
from gylebook.tasks.reading_words import place_in_words, reading_in_words
from gylebook.tasks.remedy_view import found_remedies, last_step, remedy_told, what_can_be_done
from gylebook.tasks.texts import text_of


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Standing:
    """A brew as it stands, or stood: its events and the outlook they lead to.

    `written` are all its events, what was superseded or withdrawn among them.
    """

    brew: Brew
    events: tuple[Event, ...]
    outlook: Outlook
    written: tuple[Event, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Taken:
    """What was written down, and the outlook before and after it."""

    brew: Brew
    event: Event
    before: Outlook
    after: Outlook


def make_book(location: str) -> None:
    """A new, empty book."""
    new_book(location)


def make_book_if_none(location: str) -> None:
    """A new, empty book, unless something is there already."""
    if "://" in location or not Path(location).exists():
        make_book(location)


def start_brew(
    location: str,
    name: str,
    plan_path: str | Path,
    brewery_path: str | Path,
    started_at: str,
    *,
    draws: int = DRAWS,
    seed: int = SEED,
) -> Standing:
    """Start a brew: keep plan and brewery as typed, solve the plan, keep that too, and pin it.

    The plan's names are looked up in the book's own tables first.
    """
    plan_text, brewery_text = text_of(plan_path), text_of(brewery_path)
    with open_book(location) as book:
        plan = read_plan(plan_text, where=str(plan_path), tables=book_tables(book))
        brewery = read_brewery(brewery_text, where=str(brewery_path))
        solved = write_plan(look_ahead(plan, brewery, draws=draws, seed=seed).plan)
        with book.all_or_nothing():  # a name that is taken leaves no plan behind that nobody brews
            book.keep_plan(plan.name, plan_text.decode())
            kept = book.keep_plan(plan.name, solved, note=f"solved for {brewery.name}")
            gear = book.keep_brewery(brewery.name, brewery_text.decode())
            brew = book.start_brew(
                name, kept.id, gear.id, seed, draws, started_at, metadata.version("gylebook")
            )
        return _started(book, brew, plan, started_at)


def start_kept_brew(
    location: str,
    name: str,
    plan_name: str,
    brewery_name: str,
    started_at: str,
    *,
    plan_version: int | None = None,
    brewery_version: int | None = None,
    draws: int = DRAWS,
    seed: int = SEED,
) -> Standing:
    """Start a brew from a plan and a brewery that the book holds; the newest versions where none is named."""
    with open_book(location) as book:
        typed = book.plan(plan_name, plan_version)
        gear = book.brewery(brewery_name, brewery_version)
        plan = read_plan(
            typed.text, where=f"plan “{typed.name}” version {typed.version}", tables=book_tables(book)
        )
        brewery = read_brewery(gear.text, where=f"brewery “{gear.name}” version {gear.version}")
        solved = write_plan(look_ahead(plan, brewery, draws=draws, seed=seed).plan)
        with book.all_or_nothing():
            kept = book.keep_plan(typed.name, solved, note=f"solved for {brewery.name}")
            brew = book.start_brew(
                name, kept.id, gear.id, seed, draws, started_at, metadata.version("gylebook")
            )
        return _started(book, brew, plan, started_at)


def _started(book: Book, brew: Brew, asked: Plan, started_at: str) -> Standing:
    outlook = outlook_of(book, brew, ())
    write_shown(book, brew, outlook, started_at)
    return Standing(brew=brew, events=book.events(brew.id), outlook=replace(outlook, asked=asked))


def look_at_brew(location: str, name: str, *, up_to: int | None = None) -> Standing:
    """A brew as it stands, or as it stood after the event with number `up_to`."""
    with open_book(location) as book:
        brew = book.brew(name)
        events = book.events(brew.id)
        if up_to is not None:
            numbers = [event.seq for event in events]
            if up_to not in numbers:
                accepted = f"the events of “{name}” have numbers {numbers[0]} to {numbers[-1]}"
                raise Refused((Problem("up to", f"{up_to}", accepted),))
            events = tuple(event for event in events if event.seq <= up_to)
        outlook = outlook_of(book, brew, events)
        return Standing(brew=brew, events=standing(events), outlook=outlook, written=tuple(events))


def reading_numbered(location: str, name: str, number: int) -> UUID:
    """The id of a reading by the number it was written down as, whether it still counts or not."""
    with open_book(location) as book:
        brew = book.brew(name)
        numbers = {event.seq: event.id for event in book.events(brew.id) if event.kind == READING}
    if number not in numbers:
        known = ", ".join(str(seq) for seq in numbers) or "none yet"
        raise Refused((Problem("number", f"{number}", f"the readings of “{name}” are numbered {known}"),))
    return numbers[number]


def take_reading(
    location: str,
    name: str,
    reading: Reading,
    *,
    id: UUID | None = None,
    who: str = "",
    device: str = "",
    supersedes: UUID | None = None,
    reason: str = "",
) -> Taken:
    """Write a reading down; with `supersedes` it takes the place of an earlier one.

    Nothing is written where the reading cannot be tied to the brew or reconciled with it: what stands in a
    book must lead to a forecast.  One sent again, with the `id` it had, is not written again and gets the
    answer it got.
    """
    with open_book(location) as book:
        brew = book.brew(name)
        events = book.events(brew.id)
        before = outlook_of(book, brew, events)
        observables([reading], before.plan, before.brewery)
        if supersedes is not None:
            _refuse_another_place(reading, supersedes, events, before.brewery)
        ahead = None
        if all(event.id != id for event in events):
            ahead = outlook_of(book, brew, (*events, _unwritten(brew, events, reading, supersedes)))
        event = book.write_event(
            brew.id,
            READING,
            reading_body(reading),
            reading.at,
            id=id,
            who=who,
            device=device,
            supersedes=supersedes,
            reason=reason,
        )
        if ahead is None:
            before = outlook_of(book, brew, [e for e in events if e.seq < event.seq])
            after = outlook_of(book, brew, [e for e in events if e.seq <= event.seq])
            return Taken(brew=brew, event=event, before=before, after=after)
        if len(book.events(brew.id)) != len(events) + 1:  # another was written meanwhile
            return _taken(book, brew, event, before, reading.at)
        write_shown(book, brew, ahead, reading.at)
        return Taken(brew=brew, event=event, before=before, after=ahead)


def withdraw_reading(
    location: str,
    name: str,
    event_id: UUID,
    at: str,
    *,
    reason: str,
    id: UUID | None = None,
    device: str = "",
) -> Taken:
    """Take a reading back: it stays in the book and counts no more.  One `id` is written once."""
    with open_book(location) as book:
        brew = book.brew(name)
        events = book.events(brew.id)
        before = outlook_of(book, brew, events)
        event = book.write_event(
            brew.id, WITHDRAWN, {}, at, id=id, device=device, supersedes=event_id, reason=reason
        )
        if any(known.id == event.id for known in events):
            return Taken(brew=brew, event=event, before=before, after=before)
        return _taken(book, brew, event, before, at)


def adopt_remedy(
    location: str,
    name: str,
    number: int,
    at: str,
    *,
    id: UUID | None = None,
    device: str = "",
    seen: int | None = None,
) -> Taken:
    """Make the plan what the numbered remedy makes of it (1 is the best), from the step last read on.

    `seen` is the event after which the remedies were numbered: since a later one numbers them anew, it is
    refused then.  Sent again with its `id`, it is kept once.
    """
    with open_book(location) as book:
        brew = book.brew(name)
        events = book.events(brew.id)
        before = outlook_of(book, brew, events)
        for event in events:
            if event.id == id and event.kind == PLAN_CHANGED:
                return Taken(brew=brew, event=event, before=before, after=before)
        if seen is not None and seen != last_that_counts(events):
            accepted = "something was written since, so it may be another now: look at them again, and choose"
            raise Refused((Problem("remedy", f"{number}", accepted),))
        step = last_step(before)
        found = found_remedies(before)
        if not 1 <= number <= len(found):
            raise Refused((Problem("remedy", f"{number}", f"there are remedies 1 to {len(found)}"),))
        chosen = found[number - 1]
        kept = book.keep_plan(chosen.plan.name, write_plan(chosen.plan), note=f"{chosen.deed} after {step}")
        told = remedy_told(before, chosen)
        body = {"plan_version_id": str(kept.id), "after_step": step, "remedy": told}
        event = book.write_event(brew.id, PLAN_CHANGED, body, at, id=id, device=device)
        return _taken(book, brew, event, before, at)


def _refuse_another_place(
    reading: Reading, supersedes: UUID, events: Sequence[Event], brewery: Brewery
) -> None:
    """A correction is of the same quantity at the same step; another reading is none."""
    for event in events:
        if event.id != supersedes or event.kind != READING:
            continue
        earlier = reading_of(event.body)
        if (earlier.step, earlier.quantity) != (reading.step, reading.quantity):
            accepted = (
                f"number {event.seq} was the {reading_in_words(earlier, brewery)}; correct it with a "
                f"{place_in_words(earlier)}, or withdraw it and write this one by itself"
            )
            raise Refused((Problem("correction", f"a {place_in_words(reading)}", accepted),))


def _unwritten(brew: Brew, events: Sequence[Event], reading: Reading, supersedes: UUID | None) -> Event:
    """The event that a reading would be, to look ahead from before it is written."""
    known = supersedes if any(event.id == supersedes for event in events) else None
    return Event(
        seq=max((event.seq for event in events), default=0) + 1,
        id=uuid4(),
        brew_id=brew.id,
        kind=READING,
        at=reading.at,
        written_at="",
        who="",
        device="",
        body=reading_body(reading),
        supersedes=known,
        reason="",
    )


def _taken(book: Book, brew: Brew, event: Event, before: Outlook, at: str) -> Taken:
    after = outlook_of(book, brew, book.events(brew.id))
    write_shown(book, brew, after, at)
    return Taken(brew=brew, event=event, before=before, after=after)


__all__ = [
    "Brew",
    "Event",
    "Standing",
    "Taken",
    "adopt_remedy",
    "look_at_brew",
    "make_book",
    "make_book_if_none",
    "reading_numbered",
    "start_brew",
    "start_kept_brew",
    "take_reading",
    "what_can_be_done",
    "withdraw_reading",
]
