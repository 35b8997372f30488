"""Name the next reading for each figure of the house: the cheapest that tells enough.

In:  a `Learning` and the figures of the next brew.
Out: a `WorthReading` for each figure that a reading would narrow.

Idea: everything that can be read at the next brew is put along one straight line, so that what a reading
takes off a level's spread is elimination in one covariance.  A reading beyond those that the brewer takes
anyway comes first; of all that do at least half of what the best would, the one with the least work.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from gylebook.brewery.instruments import READS, Instrument, InstrumentKind, Quantity, Reading
from gylebook.errors import NotConverged
from gylebook.figures.draws import Array
from gylebook.gyle.belonging import Belonging
from gylebook.gyle.forecast import Model
from gylebook.gyle.observe import Observable, Place, places
from gylebook.infer.likelihood import Observation, readings_of
from gylebook.infer.straight import expected, straight
from gylebook.tasks.learning import Columns, Learning, met, of_house
from gylebook.tasks.past import SEED

LEAST_WORTH = 0.01  # of a level's spread that a reading must take away to be named
GOOD_ENOUGH = 0.5  # of what the best reading would do

# Minutes of work for one reading, by instrument; judgement. A hydrometer waits for its sample to cool.
WORK_MIN: dict[InstrumentKind, float] = {
    "dipstick": 1.0,
    "thermometer": 1.0,
    "clock": 1.0,
    "tally": 1.0,
    "refractometer": 2.0,
    "ph meter": 3.0,
    "scale": 4.0,
    "hydrometer": 6.0,
}

Key = tuple[str, str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class WorthReading:
    """A reading at the next brew, and which share of the level's spread it would take away.

    `usual` tells that it was taken at the newest brew as well.
    """

    step: str
    quantity: Quantity
    instrument: str
    takes_away: float
    usual: bool


def key_of(one: Belonging) -> Key:
    """Family, kind and gear: the circumstance that a level belongs to."""
    return one.family, one.kind, one.gear


def next_readings(learning: Learning, upcoming: tuple[Belonging | None, ...]) -> dict[Key, WorthReading]:
    """The reading to take at the next brew, for each of its figures that one would tell of."""
    columns = of_house(learning.states, upcoming)
    seen = _everything_readable(learning)
    model = Model(learning.plan, learning.site, seen)
    observations = [Observation(name=o.name, value=o.value, error=o.error) for o in seen]
    at = met(upcoming, columns)
    made_of, states = learning.states.made_of(at), learning.states
    coming = learning.learned.next_brew(made_of, states.family(at))
    try:
        line = straight(
            readings_of(model.readings_forecast, observations),
            expected(len(upcoming), columns, coming),
            seed=SEED,
        )
    except NotConverged:
        return {}
    newest = {(reading.step, reading.quantity) for reading in learning.pasts[-1].readings}
    usual = [(o.reading.step, o.reading.quantity) in newest for o in seen]
    level = learning.learned.level(made_of).covariance
    along = level @ line.slope[:, columns].T
    together = np.block([[level, along], [along.T, line.spread(columns, coming.covariance)]])
    return dict(_named(upcoming, columns, seen, usual, together))


def _named(
    upcoming: tuple[Belonging | None, ...],
    columns: Columns,
    seen: list[Observable],
    usual: list[bool],
    together: Array,
) -> Iterator[tuple[Key, WorthReading]]:
    """The reading for each figure: one beyond the usual ones where one is worth it, else a usual one."""
    count = len(columns)
    after_usual = _without(together, [count + row for row, known in enumerate(usual) if known])
    for k, column in enumerate(columns):
        one = upcoming[column]
        assert one is not None
        for covariance, kind in ((after_usual, False), (together, True)):
            removed = {
                row: _removed(covariance, k, count + row) for row, known in enumerate(usual) if known is kind
            }
            best = max(removed.values(), default=0.0)
            if best < LEAST_WORTH:
                continue
            able = [row for row, share in removed.items() if share >= GOOD_ENOUGH * best]
            row = min(able, key=lambda r: (WORK_MIN[seen[r].instrument.kind], -removed[r]))
            chosen = seen[row]
            yield (
                key_of(one),
                WorthReading(
                    step=chosen.reading.step,
                    quantity=chosen.reading.quantity,
                    instrument=chosen.instrument.name,
                    takes_away=removed[row],
                    usual=kind,
                ),
            )
            break


def _removed(covariance: Array, figure: int, reading: int) -> float:
    """Share of a level's sd that one reading takes away."""
    own, noisy = covariance[figure, figure], covariance[reading, reading]
    if own <= 0.0 or noisy <= 0.0:
        return 0.0
    return float(1.0 - np.sqrt(max(0.0, 1.0 - covariance[figure, reading] ** 2 / (own * noisy))))


def _without(covariance: Array, rows: list[int]) -> Array:
    """What is left of a covariance once these rows were read."""
    if not rows:
        return covariance
    along = covariance[:, rows]
    left: Array = covariance - along @ np.linalg.solve(covariance[np.ix_(rows, rows)], along.T)
    return left


def _everything_readable(learning: Learning) -> list[Observable]:
    """Every place of the next brew with the first instrument that reads it."""
    out: list[Observable] = []
    for place in places(learning.plan, learning.site):
        instrument = next(
            (i for i in learning.site.instruments.values() if READS[i.kind] == place.quantity), None
        )
        if instrument is not None:
            out.append(_imagined(f"imagined.{len(out)}", place, instrument))
    return out


def _imagined(name: str, place: Place, instrument: Instrument) -> Observable:
    reading = Reading(step=place.step, quantity=place.quantity, value=0.0, instrument=instrument.key)
    return Observable(
        name=name, reading=reading, place=place, instrument=instrument, value=0.0, error=instrument.error
    )
