"""Remember how a reader likes numbers: metric or US, SG or °P, EBC or SRM.

In:  the text of a cookie, or a form.
Out: `Units`, and the text to remember them by.

Idea: it is the reader's choice and not the book's, so each device keeps its own.
"""

from __future__ import annotations

from dataclasses import replace

from gylebook.faces.words import METRIC, US, Units

COOKIE = "gylebook-reads"
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


def kept_as(units: Units) -> str:
    """The text that stands for units."""
    system = "metric" if units.volume == "L" else "us"
    gravity = "plato" if units.gravity == "°P" else "sg"
    return f"{system}.{gravity}.{units.colour.lower()}"
