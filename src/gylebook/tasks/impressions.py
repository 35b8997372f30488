"""Keep what somebody tasted in a portion: free words, how much of what, off-flavours.

In:  a book's location, a brew and the key of a portion, what was tasted.
Out: an event on that brew; `Impression`, as it is read back.

Idea: words first.  A rating is one of five words and may be left out; an off-flavour has its trade name, so
that it can be found again.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from gylebook.brewery.tasting import OFF_FLAVOURS, STRENGTHS, TRAITS, Poured
from gylebook.errors import Problem, Refused
from gylebook.record.events import TASTED, Event
from gylebook.record.replay import standing
from gylebook.record.store import open_book
from gylebook.tasks.tasting import beer_asked

LONGEST = 4000  # letters of a note


@dataclass(frozen=True, slots=True, kw_only=True)
class Impression:
    """What was tasted once.  `traits` are 0 to 4, as `STRENGTHS` words them."""

    number: int
    at: str
    who: str
    brew_id: str
    portion: str
    words: str
    traits: Mapping[str, int]
    off_flavours: tuple[str, ...]


def write_impression(
    location: str,
    brew: str,
    portion: str,
    *,
    words: str = "",
    traits: Mapping[str, int] | None = None,
    off_flavours: Iterable[str] = (),
    at: str,
    who: str = "",
    device: str = "",
    corrects: int | None = None,
    reason: str = "",
    id: UUID | None = None,
) -> Impression:
    """Write down what was tasted; with `corrects` in the place of the impression of that number."""
    beer = beer_asked(location, brew, portion)
    rated, off = dict(traits or {}), tuple(dict.fromkeys(off_flavours))
    _refuse_strange(words, rated, off)
    with open_book(location) as book:
        supersedes = (
            None if corrects is None else _numbered(book.events(UUID(beer.brew_id)), portion, corrects)
        )
        kept = [event for event in book.events(UUID(beer.brew_id)) if id is not None and event.id == id]
        if kept:
            return _impression(kept[0])
        body: dict[str, Any] = {
            "portion": beer.portion, "words": words.strip(), "traits": rated, "off_flavours": list(off),
        }  # fmt: skip
        event = book.write_event(
            UUID(beer.brew_id), TASTED, body, at,
            id=id, who=who.strip(), device=device, supersedes=supersedes, reason=reason,
        )  # fmt: skip
    return _impression(event)


def impressions(location: str) -> tuple[Impression, ...]:
    """All that was tasted and stands, the newest first."""
    with open_book(location) as book:
        events = standing(book.events_of(TASTED))
    return tuple(_impression(event) for event in events if event.kind == TASTED)[::-1]


def impressions_of(location: str, brew: str, portion: str) -> tuple[Poured, tuple[Impression, ...]]:
    """The same of one portion."""
    beer = beer_asked(location, brew, portion)
    mine = (
        one for one in impressions(location) if (one.brew_id, one.portion) == (beer.brew_id, beer.portion)
    )
    return beer, tuple(mine)


def _refuse_strange(words: str, traits: Mapping[str, int], off: tuple[str, ...]) -> None:
    found = []
    for trait, strength in traits.items():
        if trait not in TRAITS:
            found.append(Problem("trait", f"“{trait}”", f"known are {', '.join(TRAITS)}"))
        elif not 0 <= strength < len(STRENGTHS):
            scale = ", ".join(f"{n} {word}" for n, word in enumerate(STRENGTHS))
            found.append(Problem(trait, f"{strength}", f"is one of {scale}"))
    for name in off:
        if name not in OFF_FLAVOURS:
            found.append(Problem("off-flavour", f"“{name}”", f"known are {', '.join(OFF_FLAVOURS)}"))
    if len(words) > LONGEST:
        found.append(Problem("words", f"{len(words)} letters", f"at most {LONGEST} are kept in one note"))
    if not words.strip() and not traits and not off:
        found.append(Problem("words", "nothing was said", "write a word, or rate something"))
    if found:
        raise Refused(found)


def _numbered(events: Iterable[Event], portion: str, number: int) -> UUID:
    for event in events:
        if event.seq == number and event.kind == TASTED and event.body.get("portion") == portion:
            return event.id
    raise Refused((Problem("corrects", f"{number}", "is no note on how this portion tastes"),))


def _impression(event: Event) -> Impression:
    body = event.body
    return Impression(
        number=event.seq,
        at=event.at,
        who=event.who,
        brew_id=str(event.brew_id),
        portion=str(body["portion"]),
        words=str(body["words"]),
        traits=dict(body["traits"]),
        off_flavours=tuple(body["off_flavours"]),
    )
