"""Remember how a reader likes numbers: metric or US, SG or °P, EBC or SRM.

In:  the text of a cookie, or a form.
Out: `Units`, the text to remember them by, and the cookie that keeps it.

Idea: it is the reader's choice and not the book's, so each device keeps its own.
"""

from __future__ import annotations

from dataclasses import replace

from fastapi import Response

from gylebook.faces.words import METRIC, US, Units

COOKIE = "gylebook-reads"
A_YEAR = 365 * 24 * 3600
SYSTEMS = {"metric": METRIC, "us": US}


def units_of(kept: str) -> Units:
    """The units that such a cookie stands for; metric where it says nothing that is known."""
    system, gravity, colour = [*kept.split("."), "", "", ""][:3]
    units = SYSTEMS.get(system, METRIC)
    if gravity == "plato":
        units = replace(units, gravity="°P")
    if colour == "ebc":
        units = replace(units, colour="EBC")
    elif colour == "srm":
        units = replace(units, colour="SRM")
    return units


def system_of(units: Units) -> str:
    """“metric” or “us”."""
    return "metric" if units.volume == "L" else "us"


def in_system(units: Units, system: str) -> Units:
    """The same reader with the units of another system; gravity is read as before."""
    if system not in SYSTEMS or system == system_of(units):
        return units
    return replace(SYSTEMS[system], gravity=units.gravity)


def kept_as(units: Units) -> str:
    """The text that stands for units."""
    gravity = "plato" if units.gravity == "°P" else "sg"
    return f"{system_of(units)}.{gravity}.{units.colour.lower()}"


def remember(answer: Response, units: Units) -> None:
    """Keep the choice in a cookie of this device."""
    answer.set_cookie(COOKIE, kept_as(units), max_age=A_YEAR, httponly=True, samesite="lax")
