"""Put a calibration evening's readings along a straight line, so that learning takes them as a brew's.

In:  a brewery without figures of its own, the readings, and the time that they count as of.
Out: `Told`.
"""

from __future__ import annotations

from collections.abc import Sequence

from gylebook.brewery.instruments import Reading
from gylebook.brewery.site import Brewery
from gylebook.gyle.evening import EveningModel, evening_of
from gylebook.gyle.evening_places import evening_places
from gylebook.gyle.observe import tied
from gylebook.infer.likelihood import Observation, readings_of
from gylebook.tasks.past import Told, reconciled

NAME = "calibration evening"


def told_by_evening(brewery: Brewery, readings: Sequence[Reading], when: float) -> Told:
    """What the readings of an evening tell; one that fits nothing else is set aside, as of a brew.

    Raises Refused for a reading that belongs to no step of it.
    """
    evening = evening_of(brewery)
    seen = tied(readings, evening_places(evening, brewery), brewery)
    model = EveningModel(evening, brewery, seen)
    observations = [
        Observation(name=o.name, value=o.value, error=o.error, beyond=o.reading.beyond) for o in seen
    ]
    kept, line = reconciled(model.readings_forecast, observations, len(model.figures))
    return Told(
        name=NAME,
        when=when,
        belongings=model.belongings,
        readings=tuple(seen[row].reading for row in kept),
        set_aside=tuple(o.reading for row, o in enumerate(seen) if row not in kept),
        told=readings_of(model.readings_forecast, [observations[row] for row in kept]),
        line=line,
    )
