"""List the places that a page leads to.

In:  the desk.
Out: names and addresses, in the order of a brewer's work; a place with nothing in it is left out.
"""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import quote

from gylebook.faces.web.desk import Desk
from gylebook.tasks.brews import Brew


@dataclass(frozen=True, slots=True)
class Place:
    """One place of the page."""

    name: str
    address: str


def places_of(desk: Desk) -> tuple[Place, ...]:
    """Reach, Gyle, Day, Cellar, Glass, House, Ledger: those that have something to show."""
    book = desk.hand.shelf()
    found = []
    if book.breweries:
        found.append(Place("Reach", "/reach"))
    if book.plans:
        found.append(Place("Gyle", "/gyle"))
    if book.brews:
        found.append(Place("Day", f"/day/{address_of_brew(book.brews[-1])}"))
        found.append(Place("Cellar", "/cellar"))
        found.append(Place("Glass", "/glass"))
    if book.breweries:
        found.append(Place("House", "/house"))
    if book.brews:
        found.append(Place("Ledger", "/ledger"))
    return tuple(found)


def address_of(name: str) -> str:
    """A name as part of an address."""
    return quote(name, safe="")


def address_of_brew(brew: Brew) -> str:
    """Its name as part of an address; its id where the name would be taken for a way through folders."""
    return str(brew.id) if "/" in brew.name or brew.name in (".", "..") else address_of(brew.name)
