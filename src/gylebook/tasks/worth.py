"""Rank the readings still to come by what they would tell.

In:  an `Outlook`.
Out: `WorthView`s, the one that narrows most at the top.
"""

from __future__ import annotations

import numpy as np

from gylebook.decide.remedies import position
from gylebook.figures.draws import Value
from gylebook.gyle.observe import places
from gylebook.infer.worth import spread_removed
from gylebook.tasks.imagined import imagined_reading, numbers_to_read
from gylebook.tasks.outlook import Outlook
from gylebook.tasks.remedy_view import last_step
from gylebook.tasks.views import WorthView

CARED_FOR = ("fermenters.volume_l", "og", "efficiency.fermenter")
LATEST = position("boil end")  # what is in the fermenters is known when it is there


def readings_worth_taking(outlook: Outlook, most: int = 3, least: float = 0.05) -> tuple[WorthView, ...]:
    """Up to `most` readings, each narrowing something one cares about by the share `least` or more."""
    read = {(reading.step, reading.quantity) for reading in outlook.readings}
    from_now = position(last_step(outlook))
    numbers = numbers_to_read(outlook)
    wanted = {name: outlook.draws[name] for name in CARED_FOR if name in outlook.draws}
    out = []
    for place in places(outlook.plan, outlook.brewery):
        ahead = from_now <= position(place.step) <= LATEST
        if not ahead or (place.step, place.quantity) in read or place.shows not in numbers:
            continue
        imagined = imagined_reading(outlook, place, numbers)
        if imagined is None:
            continue
        instrument, shown = imagined
        out.append(
            WorthView(
                step=place.step,
                quantity=place.quantity,
                instrument=instrument.name,
                narrows={
                    name: spread_removed(np.asarray(draws), _draws(shown, draws), instrument.error)
                    for name, draws in wanted.items()
                },
            )
        )
    worth = [view for view in out if view.most >= least]
    return tuple(sorted(worth, key=lambda view: -sum(view.narrows.values()))[:most])


def _draws(shown: Value, like: Value) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    return np.broadcast_to(np.asarray(shown), np.shape(like))
