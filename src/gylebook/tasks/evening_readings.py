"""Say how each reading of an evening with water stands to the rest, and how all were taken in.

In:  an `EveningOutlook` given readings.
Out: `ReadingView`s in the order read, and a `TrustView`.
"""

from __future__ import annotations

from gylebook.gyle.evening_places import evening_places
from gylebook.tasks.evening import EveningOutlook
from gylebook.tasks.reading_view import trust_of, view_of
from gylebook.tasks.trust import ReadingView, TrustView


def evening_readings(outlook: EveningOutlook) -> tuple[ReadingView, ...]:
    """Every reading against what the others say; none where none was taken."""
    if outlook.diagnostic is None:
        return ()
    levels = {
        place.step: place.usual_c
        for place in evening_places(outlook.evening, outlook.brewery)
        if place.quantity == "volume"
    }
    return tuple(
        view_of(seen, misfit, hot_c=levels.get(seen.place.step, 20.0), wort_plato=0.0)
        for seen, misfit in zip(outlook.model.seen, outlook.diagnostic.misfits, strict=True)
    )


def evening_trust(outlook: EveningOutlook) -> TrustView | None:
    """How the readings were taken in; None where there were none."""
    found = outlook.diagnostic
    return None if found is None else trust_of(found, len(outlook.latents))
