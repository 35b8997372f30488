"""Tell of each portion what its drinker and its bottler want to know.

In:  plan, brewery, figures and course.
Out: named numbers beside those of the course: alcohol by every published formula, energy, heat given off,
     carbon dioxide that stays, sugar to prime with.

Idea: nothing here acts back on the course, so it is worked out only where it is asked for.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from gylebook.brewery.plan import Package, Plan
from gylebook.brewery.site import Brewery
from gylebook.figures.draws import Array, Value
from gylebook.gyle.course import Course
from gylebook.gyle.names import Named
from gylebook.gyle.portions import PortionCourse
from gylebook.matter.extract import plato_from_sg
from gylebook.matter.gas import co2_of_volumes, volumes_of_co2
from gylebook.matter.water import pressure_at_altitude
from gylebook.process import alcohol, carbonation, ferment_heat
from gylebook.process.ferment import real_extract

AGED_MONTHS = 2.0  # from here on beer has lost gas through lid and lock
SHEDS_W_PER_K = 2.0  # heat that 20 L in glass or plastic shed, per kelvin; common practice
RATE_AT_20_C = 0.08  # of the usual curve of an ale, per hour, factor 1.4 either way; common practice
KPA_PER_BAR = 100.0
LEAST_PLATO = 0.1
LEAST_KEPT, MOST_KEPT = 0.3, 1.5  # of what beer at rest holds; nothing stays further from it for long


def details(plan: Plan, brewery: Brewery, figures: Mapping[str, Array], course: Course) -> Named:
    """Numbers about every portion's beer."""
    out: Named = {}
    barometer = float(pressure_at_altitude(brewery.altitude_m)) / KPA_PER_BAR
    for portion in course.portions:
        stem = f"portion.{portion.portion.key}."
        gas = _gas(portion.portion.package, portion.portion.ferment_c, _aged(portion), barometer, figures)
        for name, value in (*_alcohol(portion), *_warmth(portion), *gas):
            out[stem + name] = value
        _prime(out, stem, portion.packaged_l)
    for blend in course.blends:
        stem = f"blend.{blend.blend.key}."
        parts = [p for p in course.portions if p.portion.key in dict(blend.blend.parts)]
        warmest = max(p.portion.ferment_c for p in parts)
        for name, value in _gas(blend.blend.package, warmest, any(map(_aged, parts)), barometer, figures):
            out[stem + name] = value
        _prime(out, stem, blend.volume_l)
    return out


def _aged(course: PortionCourse) -> bool:
    """Whether it stands so long that gas is lost through lid and lock."""
    later = course.portion.later
    return later is not None and later.months >= AGED_MONTHS


def _prime(out: Named, stem: str, litres: Value) -> None:
    """All the sugar, from that for a litre."""
    if stem + "prime.sucrose_g_per_l" in out:
        out[stem + "prime.sucrose_g"] = out[stem + "prime.sucrose_g_per_l"] * litres


def _alcohol(course: PortionCourse) -> Iterator[tuple[str, Value]]:
    """Alcohol by each formula from the two gravities, and what the beer feeds."""
    original, apparent = _original(course), plato_from_sg(course.fg)
    spread = alcohol.alcohol_spread(original, np.minimum(apparent, original))
    for name, value in zip(spread._fields, spread, strict=True):
        yield f"abv.{name}", value
    made = course.made
    beer_kg = made.water_kg + made.extract_kg + made.ethanol_kg
    food = alcohol.energy(100.0 * made.ethanol_kg / beer_kg, 100.0 * made.extract_kg / beer_kg, course.fg)
    yield "energy.kj_per_l", food.kj_per_l
    yield "energy.kcal_per_100_g", food.kcal_per_100_g
    yield "attenuation.apparent", 1.0 - apparent / original
    yield "attenuation.real", 1.0 - real_extract(original, apparent) / original


def _original(course: PortionCourse) -> Value:
    """Original extract; of wort as thin as water, so much that an attenuation can be told. [°P]"""
    return np.maximum(course.pitched.plato, LEAST_PLATO)


def _warmth(course: PortionCourse) -> Iterator[tuple[str, Value]]:
    """Heat of the whole fermentation, and how far it lifts the beer above the air at its height."""
    original, apparent = _original(course), plato_from_sg(course.first_fg)
    mass = course.wort.mass_kg
    yield "heat.kj", ferment_heat.heat_evolved(mass, original, real_extract(original, apparent))
    rate = RATE_AT_20_C * ferment_heat.speed_at(course.portion.ferment_c)
    fall = ferment_heat.steepest_fall(original, apparent, rate)
    middle = 0.5 * (original + apparent)
    power = ferment_heat.heat_power(mass, original, middle, fall)
    sheds = SHEDS_W_PER_K * (course.pitched.volume_l / 20.0) ** (2.0 / 3.0)
    yield "heat.warmest_above_air_k", ferment_heat.warmest_excess(power, sheds)


def _gas(
    package: Package, warmest_c: float, aged: bool, barometer: float, figures: Mapping[str, Array]
) -> Iterator[tuple[str, Value]]:
    """CO2 that is in the beer when it is packed, and sucrose to bring it to what the package wants."""
    kept = carbonation.KEPT_AGED.level if aged else carbonation.KEPT_FRESH.level
    residual = carbonation.residual_co2(
        warmest_c, barometer, np.clip(kept + figures["gas.kept_shift"], LEAST_KEPT, MOST_KEPT)
    )
    yield "co2.residual_volumes", volumes_of_co2(residual)
    if package.co2_volumes is None or package.kind != "bottles":
        return
    yield (
        "prime.sucrose_g_per_l",
        carbonation.priming_dose(
            residual,
            co2_of_volumes(package.co2_volumes),
            carbonation.co2_per_gram("sucrose"),
            carbonation.GAS_YIELD.level,
        ),
    )
