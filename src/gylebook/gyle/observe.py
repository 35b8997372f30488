"""Tie a reading to the numbers of a course it speaks of, and to its error.

In:  readings as written down, the plan and the brewery they were taken on.
Out: `Observable`: what was read, how far one reading scatters, and what the instrument would show for the
     named numbers of a course, its shared bias included; `places` lists everything that can be read.

Idea: a reading is compared in the instrument's own terms (a hydrometer at 40 °C, marks on a hot kettle),
never corrected beforehand, so that its error is the instrument's and nothing is counted twice.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from difflib import get_close_matches

from gylebook.brewery.gear import Metal
from gylebook.brewery.instruments import READS, Instrument, Quantity, Reading
from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.errors import Problem, Refused
from gylebook.figures.draws import Array, Value
from gylebook.gyle.house import mash_vessel_of
from gylebook.gyle.kettle import boil_temperature
from gylebook.gyle.names import Named
from gylebook.matter.extract import plato_from_sg, sg_from_plato
from gylebook.matter.metal import vessel_expansion
from gylebook.process import instruments as showing
from gylebook.process.ferment import real_extract
from gylebook.process.ph_meter import meter_reading

SAMPLE_DOUBT_K = 1.0  # how well the temperature of a sample is known away from the calibration
SG_PER_K = 0.0004  # what that costs a hydrometer between 20 and 60 °C


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Something that can be read: at which step, what, and the number of the course it shows.

    `strength` names the gravity of a wort whose litres stand hot in a vessel of `metal`; `original` the
    gravity a fermented beer came from; `usual_c` is its temperature where none was noted.
    """

    step: str
    quantity: Quantity
    shows: str
    strength: str | None = None
    original: str | None = None
    usual_c: float = 20.0
    metal: Metal | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Observable:
    """One reading, ready to condition on: its value as the instrument shows it, and one sd of a reading.

    Where the reading was off the scale, `value` is the end of the scale that it lies beyond.
    """

    name: str
    reading: Reading
    place: Place
    instrument: Instrument
    value: float
    error: float

    @property
    def temperature_c(self) -> float:
        """Of the sample or the liquid: as noted, else what is usual there. [°C]"""
        noted = self.reading.temperature_c
        return self.place.usual_c if noted is None else noted


def places(plan: Plan, brewery: Brewery) -> tuple[Place, ...]:
    """Everything that can be read on this gyle, in the order of the day."""
    kettle = brewery.vessels[brewery.kettle].metal
    boil_c = boil_temperature(brewery)
    mash_c = plan.mash[-1].temperature_c if plan.grist else 20.0
    out = _mash_places(plan, brewery) if plan.grist else []
    out += _wort_places("preboil", "kettle.preboil.volume_l", "kettle.preboil.gravity", mash_c, kettle)
    out.append(Place(step="heat to boil", quantity="time", shows="heat.boil_min"))
    out += _wort_places("boil end", "kettle.end.volume_l", "kettle.end.gravity", boil_c, kettle)
    out.append(Place(step="chill", quantity="time", shows="chill.minutes"))
    out += _wort_places("fermenters", "fermenters.volume_l", "og", plan.chill_c, None)
    for portion in plan.portions:
        stem = f"portion.{portion.key}"
        out += _wort_places(stem, f"{stem}.volume_l", f"{stem}.og", plan.chill_c, None)
        out.append(Place(step=f"{stem} end", quantity="gravity", shows=f"{stem}.fg", original=f"{stem}.og"))
        out.append(Place(step=f"{stem} package", quantity="volume", shows=f"{stem}.packaged_l"))
        if portion.package.kind == "bottles":
            out.append(Place(step=f"{stem} package", quantity="count", shows=f"{stem}.bottles"))
    return tuple(out)


FERMENT = "ferment"  # the last word of the step at which a portion is read while it ferments


def ferment_places(plan: Plan) -> tuple[Place, ...]:
    """What can be read of each portion while it ferments, again and again: its gravity and its warmth.

    They speak of a moment, so they show no number of the course; `fermenting` says what they show.
    """
    out = []
    for portion in plan.portions:
        stem = f"portion.{portion.key}"
        step, shows = f"{stem} {FERMENT}", f"{stem}.{FERMENT}"
        out.append(Place(step=step, quantity="gravity", shows=f"{shows}.gravity", original=f"{stem}.og"))
        out.append(Place(step=step, quantity="temperature", shows=f"{shows}.temperature_c"))
    return tuple(out)


def is_of_fermentation(reading: Reading) -> bool:
    """Whether a reading was taken of a portion while it fermented."""
    return reading.step.startswith("portion.") and reading.step.endswith(f" {FERMENT}")


def _wort_places(step: str, volume: str, gravity: str, usual_c: float, metal: Metal | None) -> list[Place]:
    return [
        Place(step=step, quantity="volume", shows=volume, strength=gravity, usual_c=usual_c, metal=metal),
        Place(step=step, quantity="gravity", shows=gravity),
    ]


def _mash_places(plan: Plan, brewery: Brewery) -> list[Place]:
    first_c = plan.mash[0].temperature_c
    out = [
        Place(step="heat liquor", quantity="time", shows="heat.strike_min"),
        Place(step="mash", quantity="temperature", shows="mash.temperature_c"),
        Place(step="mash", quantity="gravity", shows="mash.gravity"),
        Place(
            step="mash",
            quantity="volume",
            shows="mash.volume_l",
            usual_c=first_c,
            metal=mash_vessel_of(plan, brewery).metal,
        ),
        Place(step="mash", quantity="ph", shows="mash.first_ph"),
        Place(step="mash end", quantity="ph", shows="mash.ph"),
        Place(step="lift", quantity="mass", shows="bag.drained_kg"),
    ]
    if plan.process.kind in ("dunk rinse", "poured rinse", "fly rinse"):
        out.append(Place(step="rinse", quantity="gravity", shows="rinse.gravity"))
        out.append(Place(step="rinse", quantity="mass", shows="bag.end_kg"))
    if plan.process.kind == "dunk rinse" and brewery.rinse is not None:
        out.append(
            Place(
                step="rinse",
                quantity="volume",
                shows="rinse.level_l",
                usual_c=plan.process.rinse_c,
                metal=brewery.vessels[brewery.rinse].metal,
            )
        )
    return out


def observables(readings: Iterable[Reading], plan: Plan, brewery: Brewery) -> tuple[Observable, ...]:
    """Every reading tied to the course; all that cannot be tied is refused at once."""
    return tied(readings, (*places(plan, brewery), *ferment_places(plan)), brewery)


def tied(readings: Iterable[Reading], at: Iterable[Place], brewery: Brewery) -> tuple[Observable, ...]:
    """Every reading tied to one of these places; all that cannot be tied is refused at once."""
    known = {(place.step, place.quantity): place for place in at}
    problems: list[Problem] = []
    out: list[Observable] = []
    for number, reading in enumerate(readings):
        where = f"reading {number + 1}"
        place = known.get((reading.step, reading.quantity))
        instrument = brewery.instruments.get(reading.instrument)
        if place is None:
            problems.append(_unknown_place(where, reading, list(known)))
        elif instrument is None or READS[instrument.kind] != reading.quantity:
            problems.append(_wrong_instrument(where, reading, brewery))
        else:
            out.append(_observable(f"reading.{number}", reading, place, instrument))
    if problems:
        raise Refused(problems)
    return tuple(out)


def _unknown_place(where: str, reading: Reading, known: list[tuple[str, Quantity]]) -> Problem:
    at_step = [quantity for step, quantity in known if step == reading.step]
    if at_step:
        return Problem(
            f"{where}, quantity",
            f"“{reading.quantity}” at “{reading.step}”",
            f"there it can be {' or '.join(at_step)}",
        )
    steps = list(dict.fromkeys(step for step, _ in known))
    near = get_close_matches(reading.step, steps, n=1)
    likely = f"perhaps “{near[0]}” is meant; " if near else ""
    return Problem(f"{where}, step", f"“{reading.step}”", f"{likely}the steps are {', '.join(steps)}")


def _wrong_instrument(where: str, reading: Reading, brewery: Brewery) -> Problem:
    able = [i.key for i in brewery.instruments.values() if READS[i.kind] == reading.quantity]
    return Problem(
        f"{where}, instrument",
        f"“{reading.instrument}” for a {reading.quantity}",
        f"this brewery reads a {reading.quantity} on: {', '.join(able) or 'nothing yet'}",
    )


def _observable(name: str, reading: Reading, place: Place, instrument: Instrument) -> Observable:
    value, error = reading.value, instrument.error
    if instrument.kind == "hydrometer":
        value = float(sg_from_plato(reading.value))
        if reading.temperature_c is not None and reading.temperature_c != instrument.calibrated_c:
            error = (error**2 + (SG_PER_K * SAMPLE_DOUBT_K) ** 2) ** 0.5
    return Observable(
        name=name, reading=reading, place=place, instrument=instrument, value=value, error=error
    )


def shown(observable: Observable, numbers: Named, figures: Mapping[str, Array]) -> Value:
    """What the instrument would show for a course, its bias included. [as `SHOWN_IN` says]"""
    place, instrument = observable.place, observable.instrument
    true = numbers[place.shows]
    if instrument.kind == "tally":
        return true
    bias = figures[f"instrument.{instrument.key}.bias"]
    if instrument.kind == "hydrometer":
        at_c = observable.reading.temperature_c
        sample_c = instrument.calibrated_c if at_c is None else at_c
        return showing.hydrometer_reading(plato_from_sg(true), sample_c, instrument.calibrated_c) + bias
    if instrument.kind == "refractometer":
        factor = figures["refractometer.factor"]
        plato = plato_from_sg(true)
        if place.original is None:
            return showing.refractometer_reading_wort(plato, factor) + bias
        original = plato_from_sg(numbers[place.original])
        return showing.refractometer_reading_beer(original, real_extract(original, plato), factor) + bias
    if instrument.kind == "ph meter":
        reading = observable.reading
        sample_c = place.usual_c if reading.temperature_c is None else reading.temperature_c
        return meter_reading(true, sample_c, reading.meter, figures["mash.ph_per_k"]) + bias
    if place.quantity == "volume":
        return _on_the_marks(observable, numbers, true) + bias
    return true + bias


def _on_the_marks(observable: Observable, numbers: Named, true: Value) -> Value:
    """Litres as marks made cold show them in a hot vessel; a level is hot already."""
    place = observable.place
    if place.strength is not None:
        plato = plato_from_sg(numbers[place.strength])
        metal: Metal = place.metal or "plastic"
        return showing.marks_reading(true, plato, observable.temperature_c, metal)
    if place.metal is None:
        return true
    return true / vessel_expansion(place.metal, observable.temperature_c)
