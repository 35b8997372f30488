"""Imagine a reading: what an instrument of the brewery would show at a place, before anyone looks.

In:  an `Outlook` and a place.
Out: the instrument, and joint draws of what it would show.
"""

from __future__ import annotations

from gylebook.brewery.instruments import READS, Instrument, Quantity, Reading
from gylebook.figures.draws import Value
from gylebook.gyle.liquor import mash_phs
from gylebook.gyle.names import Named
from gylebook.gyle.observe import Observable, Place, shown
from gylebook.tasks.outlook import Outlook


def first_instrument(outlook: Outlook, quantity: Quantity) -> Instrument | None:
    """The first of the brewery's instruments that reads such a thing."""
    return next((i for i in outlook.brewery.instruments.values() if READS[i.kind] == quantity), None)


def numbers_to_read(outlook: Outlook) -> Named:
    """Every number of the outlook that an instrument could show, but the timings."""
    if outlook.course.mash is None:
        return outlook.draws
    whole, first = mash_phs(outlook.plan, outlook.brewery, outlook.figures)
    return {**outlook.draws, "mash.ph": whole, "mash.first_ph": first}


def imagined_reading(outlook: Outlook, place: Place, numbers: Named) -> tuple[Instrument, Value] | None:
    """Which instrument would be taken there, and what it would show; None where none reads it."""
    instrument = first_instrument(outlook, place.quantity)
    return None if instrument is None else (instrument, would_show(outlook, place, instrument, numbers))


def would_show(outlook: Outlook, place: Place, instrument: Instrument, numbers: Named) -> Value:
    """What one instrument would show at a place."""
    reading = Reading(step=place.step, quantity=place.quantity, value=0.0, instrument=instrument.key)
    seen = Observable(
        name="imagined",
        reading=reading,
        place=place,
        instrument=instrument,
        value=0.0,
        error=instrument.error,
    )
    return shown(seen, numbers, outlook.figures)
