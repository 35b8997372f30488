"""Rank the readings still to come by what they would tell.

In:  an `Outlook`.
Out: `WorthView`s, the one that is worth most at the top, each counted beyond the ones above it.

Idea: what matters is what is still in doubt: whether a limit will be kept, and whether a portion will reach
its mark.  A reading counts for a limit only if it is taken before the step at which that limit is met.
"""

from __future__ import annotations

import numpy as np

from gylebook.brewery.instruments import Instrument
from gylebook.decide.remedies import met_at, position
from gylebook.decide.targets import odds_to_the_mark
from gylebook.figures.draws import Value
from gylebook.gyle.observe import Place, places
from gylebook.infer.worth import Odds, rank_readings
from gylebook.tasks.imagined import imagined_reading, numbers_to_read
from gylebook.tasks.outlook import Outlook
from gylebook.tasks.remedy_view import last_step
from gylebook.tasks.views import OddsView, WorthView

CARED_FOR = ("fermenters.volume_l", "og", "efficiency.fermenter")
LATEST = position("boil end")  # what is in the fermenters is known when it is there
OPEN = 0.02  # odds this near to 0 or 1 are not in doubt


def readings_worth_taking(outlook: Outlook, most: int = 3, least: float = 0.05) -> tuple[WorthView, ...]:
    """Up to `most` readings, each narrowing something, or settling a doubt, by the share `least` or more."""
    ahead = _ahead(outlook)
    if not ahead:
        return ()
    names = [name for name in CARED_FOR if name in outlook.draws]
    open_, odds = _odds(outlook, [place for place, *_ in ahead])
    ranked = rank_readings(
        _rows(outlook, [outlook.draws[name] for name in names]),
        _rows(outlook, [shown for *_, shown in ahead]),
        np.array([instrument.error for _, instrument, _ in ahead]),
        most,
        odds,
    )
    views = []
    for worth in ranked:
        place, instrument, _ = ahead[worth.index]
        found = [
            OddsView(name=name, place=where, odds=float(odds.above[i]), settled=float(worth.settled[i]))
            for i, (name, where) in enumerate(open_)
        ]
        views.append(
            WorthView(
                step=place.step,
                quantity=place.quantity,
                instrument=instrument.name,
                narrows=dict(zip(names, worth.removed.tolist(), strict=True)),
                settles=tuple(sorted(found, key=lambda one: -one.settled)),
            )
        )
    return tuple(view for view in views if view.most >= least)


def _ahead(outlook: Outlook) -> list[tuple[Place, Instrument, Value]]:
    """Every place still to be read in time, on which instrument, and what that would show."""
    read = {(reading.step, reading.quantity) for reading in outlook.readings}
    from_now, numbers = position(last_step(outlook)), numbers_to_read(outlook)
    out = []
    for place in places(outlook.plan, outlook.brewery):
        in_time = from_now <= position(place.step) <= LATEST
        if not in_time or (place.step, place.quantity) in read or place.shows not in numbers:
            continue
        imagined = imagined_reading(outlook, place, numbers)
        if imagined is not None:
            out.append((place, *imagined))
    return out


def _odds(outlook: Outlook, read_at: list[Place]) -> tuple[list[tuple[str, str]], Odds]:
    """The odds that are in doubt, by name and portion: of every limit, and of each portion's mark.

    The marks together count as one limit does, as they are nearly one question.
    """
    rows: list[tuple[tuple[str, str], Value, float, float, int]] = []
    for limit in outlook.limits:
        met = met_at(limit.name)
        rows.append(((limit.name, limit.portion or limit.vessel), limit.margin, limit.odds_kept, 1.0, met))
    if outlook.plan.aims.volume_l is not None:
        for portion in outlook.plan.portions:
            target = outlook.targets[portion.key]
            margin = outlook.draws[f"portion.{portion.key}.volume_l"] - target.mark_l
            reached = odds_to_the_mark(target, outlook.draws, portion.key)
            counts = 1.0 / len(outlook.plan.portions)
            rows.append((("the mark", portion.key), margin, reached, counts, position("fermenters")))
    rows = [row for row in rows if OPEN < row[2] < 1.0 - OPEN]
    steps = np.array([position(place.step) for place in read_at])
    return [row[0] for row in rows], Odds(
        margins=_rows(outlook, [row[1] for row in rows]),
        above=np.array([row[2] for row in rows]),
        counts=np.array([row[3] for row in rows]),
        in_time=steps[:, None] < np.array([row[4] for row in rows], dtype=int)[None, :],
    )


def _rows(outlook: Outlook, values: list[Value]) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    """Values as draws, one row each."""
    draws = len(outlook.latents)
    out = np.empty((len(values), draws))
    for row, value in zip(out, values, strict=True):
        row[:] = value
    return out
