"""Say how long a portion's gravity has stood still, and for how long it should before it is packed.

In:  a `FermentOutlook`, its state, and what its curve leaves possible.
Out: `StandingView`: the slowest organism, what equal readings leave unseen, days to wait.

Idea: the longest stretch of last readings through which no fall is seen bounds what may follow, for the
organism that is slowest in that beer; custom's own days are a floor beside it, and whichever asks for more
holds.
"""

from __future__ import annotations

import numpy as np

from gylebook.figures.draws import Array, summarise
from gylebook.gyle.fermenting import GAS_PLATO, GAS_SCATTER, Followed
from gylebook.matter.extract import plato_from_sg, sg_from_plato
from gylebook.process.instruments import apparent_from_refractometer, sg_from_hydrometer
from gylebook.process.stability import (
    LEAST_AGE_DAYS,
    LEAST_DAYS,
    ONE_SIDED,
    Organism,
    days_to_stand_still,
    largest_fall,
    still_to_come,
    time_constant,
)
from gylebook.tasks.ferment_views import StandingView, State
from gylebook.tasks.fermenting import FermentOutlook

POINTS_PER_PLATO = 3.9  # near the end of a beer
USUAL_POINTS = 1.0  # how well a gravity is read where none was yet
FARTHEST_SD = 3.0  # off their line, readings do not stand still
A_DAY = 24.0


def standing_view(
    found: FermentOutlook, state: State, *, left_points: Array, most_points: Array, near_end_h: float
) -> StandingView:
    """What the last readings and the slowest organism ask for.

    `left_points` is what the curve leaves possible, `most_points` all that any organism could still take.
    """
    organism = slowest_organism(found, state)
    tau = time_constant(organism, float(np.clip(found.fermentation.warmth.temp_c[-1], -2.0, 45.0)))
    days, points, sd = last_instrument_in_points(found)
    since = still_since(days, points, sd)
    stood, unseen = 0.0, None
    if since is not None:
        stood = float(days[-1] - days[since])
        span = largest_fall(days[since:], sd[since:])
        fallen = max(_fall(days[since:], points[since:], sd[since:]), 0.0)
        unseen = min(float(still_to_come(fallen + span, stood, tau)), float(np.median(most_points)))
    usual = float(np.median(sd)) if len(sd) else USUAL_POINTS
    needed = float(days_to_stand_still(ONE_SIDED * usual * 2.0**0.5, tau))
    asked = max(needed, LEAST_DAYS[organism])
    last = found.last_h / A_DAY
    still_falling = max(near_end_h / A_DAY - last, 0.0) if stood == 0.0 else 0.0
    wait = max(still_falling + asked - stood, _youth(found, organism) - last, 0.0)
    return StandingView(
        organism=organism,
        tau_days=tau,
        stood_days=stood,
        unseen_points=unseen,
        left_points=summarise(left_points),
        asked_days=asked,
        wait_days=wait,
    )


def slowest_organism(found: FermentOutlook, state: State) -> Organism:
    """What takes longest in this portion, whether it is in there already or still to come."""
    portion = found.fermentation.portion
    if portion.later is not None and portion.later.attenuation is not None:
        return "Brettanomyces"
    if portion.yeast.diastatic:
        return "Brettanomyces" if "brettanomyces" in portion.yeast.kind.lower() else "diastatic"
    return "sluggish" if state in ("slow", "stuck") else "diastatic" if state == "runaway" else "ordinary"


def _youth(found: FermentOutlook, organism: Organism) -> float:
    """Days after pitching before which such a beer is not packed, whatever its gravity."""
    later = found.fermentation.portion.later
    added = later.after_days if later is not None and organism == "Brettanomyces" else 0.0
    return added + LEAST_AGE_DAYS[organism] if organism in LEAST_AGE_DAYS else 0.0


def still_since(days: Array, points: Array, sd: Array) -> int | None:
    """Index of the first of the last readings through which no fall is seen; None where no two agree."""
    for first in range(len(days) - 1):
        span = days[first:]
        if np.ptp(span) <= 0.0:
            continue
        fall = _fall(span, points[first:], sd[first:])
        # What a line through them leaves over tells a curve that fell and stopped from one that stands.
        level = np.average(points[first:], weights=sd[first:] ** -2.0)
        steady = np.max(np.abs(points[first:] - level) / sd[first:]) <= FARTHEST_SD
        if abs(fall) <= largest_fall(span, sd[first:]) and steady:
            return first
    return None


def _fall(days: Array, points: Array, sd: Array) -> float:
    """Fall over the whole span, of a line by least squares. [points]"""
    weight = sd**-2.0
    apart = days - np.average(days, weights=weight)
    slope = np.sum(weight * apart * points) / np.sum(weight * apart * apart)
    return float(-slope * np.ptp(days))


def last_instrument_in_points(found: FermentOutlook) -> tuple[Array, Array, Array]:
    """Day, points over water and one sd of every gravity read on the instrument that was read last.

    Two instruments differ by their biases, which equal readings must not hide.
    """
    scales = found.fermentation.shown_per_plato(found.latents)
    followed = [
        read
        for read in found.followed
        if read.observable.instrument.key == found.followed[-1].observable.instrument.key
    ]
    points = [1000.0 * (float(sg_from_plato(apparent_read(found, read))) - 1.0) for read in followed]
    sds = [
        POINTS_PER_PLATO
        * np.hypot(
            read.observable.error / abs(scales[read.observable.name]),
            GAS_SCATTER if read.observable.reading.gassy else 0.0,
        )
        for read in followed
    ]
    days = np.array([read.hours for read in followed]) / A_DAY
    return days, np.array(points), np.array(sds)


def apparent_read(found: FermentOutlook, read: Followed) -> float:
    """A gravity as read, put right for warmth, gas and alcohol. [°P apparent]

    On a hydrometer's own scale, without its bias; a refractometer's through the portion's own original.
    """
    seen = read.observable
    if seen.instrument.kind == "refractometer":
        day, _ = found.fermentation.split(found.latents)
        factor = float(np.median(day["refractometer.factor"]))
        original = float(np.median(found.curve.original))
        return float(apparent_from_refractometer(seen.value, original, factor))
    noted = seen.reading.temperature_c
    at_c = seen.instrument.calibrated_c if noted is None else noted
    plato = float(plato_from_sg(sg_from_hydrometer(seen.value, at_c, seen.instrument.calibrated_c)))
    return plato - GAS_PLATO if seen.reading.gassy else plato
