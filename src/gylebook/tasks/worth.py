"""Rank the readings still to come by what they would tell.

In:  an `Outlook`.
Out: `WorthView`s, the one that narrows most at the top, each counted beyond the ones above it.
"""

from __future__ import annotations

import numpy as np

from gylebook.decide.remedies import position
from gylebook.gyle.observe import places
from gylebook.infer.worth import rank_readings
from gylebook.tasks.imagined import imagined_reading, numbers_to_read
from gylebook.tasks.outlook import Outlook
from gylebook.tasks.remedy_view import last_step
from gylebook.tasks.views import WorthView

CARED_FOR = ("fermenters.volume_l", "og", "efficiency.fermenter")
LATEST = position("boil end")  # what is in the fermenters is known when it is there


def readings_worth_taking(outlook: Outlook, most: int = 3, least: float = 0.05) -> tuple[WorthView, ...]:
    """Up to `most` readings, each narrowing something one cares about by the share `least` or more."""
    read = {(reading.step, reading.quantity) for reading in outlook.readings}
    from_now, numbers = position(last_step(outlook)), numbers_to_read(outlook)
    rows = len(outlook.latents)
    ahead, shown = [], []
    for place in places(outlook.plan, outlook.brewery):
        in_time = from_now <= position(place.step) <= LATEST
        if not in_time or (place.step, place.quantity) in read or place.shows not in numbers:
            continue
        imagined = imagined_reading(outlook, place, numbers)
        if imagined is not None:
            ahead.append((place, imagined[0]))
            shown.append(np.broadcast_to(np.asarray(imagined[1]), (rows,)))
    names = [name for name in CARED_FOR if name in outlook.draws]
    if not ahead:
        return ()
    ranked = rank_readings(
        np.array([np.broadcast_to(np.asarray(outlook.draws[name]), (rows,)) for name in names]),
        np.array(shown),
        np.array([instrument.error for _, instrument in ahead]),
        most,
    )
    views = [
        WorthView(
            step=ahead[worth.index][0].step,
            quantity=ahead[worth.index][0].quantity,
            instrument=ahead[worth.index][1].name,
            narrows=dict(zip(names, worth.removed.tolist(), strict=True)),
        )
        for worth in ranked
    ]
    return tuple(view for view in views if view.most >= least)
