"""Run the water of a calibration evening from the first pour to what stays in the kettle.

In:  an evening, a brewery and its figures.
Out: the evening's numbers by name, as joint draws.

Idea: heating, boiling and chilling are those of the brew day, asked with water instead of wort.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from gylebook.brewery.evening import Evening
from gylebook.brewery.gear import HeatSource, Vessel
from gylebook.brewery.site import Brewery
from gylebook.figures.draws import Array, Value
from gylebook.gyle.chill import A_DAY, LEAST_ABOVE_TAP_K, cooling_minutes
from gylebook.gyle.house import heat_source_of
from gylebook.gyle.kettle import MOST_OF_IT, boil_temperature
from gylebook.gyle.mash import WATER_20
from gylebook.gyle.names import Named
from gylebook.gyle.timing import heating_in, own_fire_beside
from gylebook.matter.extract import wort_specific_heat
from gylebook.matter.water import SPECIFIC_HEAT
from gylebook.process.boil import evaporated_kg

COLDEST_TAP_C, WARMEST_TAP_C = 0.5, 45.0
HOTTEST_C = 105.0  # where the equations of heat end


def run_water(evening: Evening, brewery: Brewery, figures: Mapping[str, Array], too_much_k: Value) -> Named:
    """Every number that can be read; litres are at 20 °C, times from lighting the fire. [L, kg, °C, min]

    `too_much_k` is shown too much by the thermometer by which the fire is put out and the chiller stopped.
    """
    told_boil_c = boil_temperature(brewery)
    boil_c = np.minimum(told_boil_c + figures["evening.weather_k"], HOTTEST_C)
    boil_min = np.clip(figures["evening.boil_min"], 0.0, A_DAY)
    liquor_c = np.clip(figures["evening.liquor_c"], 0.0, told_boil_c)
    # Water was chilled to there, so the tap was colder.
    warmest_c = min(max(evening.chill_c - LEAST_ABOVE_TAP_K, COLDEST_TAP_C), WARMEST_TAP_C)
    tap_c = np.clip(figures["evening.tap_c"], COLDEST_TAP_C, warmest_c)
    chilled_c = np.clip(evening.chill_c - too_much_k, tap_c + LEAST_ABOVE_TAP_K, HOTTEST_C)
    poured = figures["evening.first_kg"] + figures["evening.second_kg"]
    gone = np.minimum(evaporated_kg(figures["boil_off_l_per_h"], boil_min), MOST_OF_IT * poured)
    end_kg = poured - gone
    left_l = np.minimum(figures["kettle.left_l"], MOST_OF_IT * end_kg / WATER_20)
    drained_kg = end_kg - (left_l + figures["walls_l"]) * WATER_20
    kettle, source = brewery.vessels[brewery.kettle], heat_source_of(brewery, brewery.kettle)

    def heated(vessel: Vessel, source: HeatSource, mass_kg: Array, to_c: float) -> Array:
        minutes = heating_in(
            brewery,
            figures,
            vessel,
            source,
            mass_kg * SPECIFIC_HEAT,
            liquor_c,
            np.clip(to_c - too_much_k, 0.0, HOTTEST_C),
        )
        return np.minimum(minutes, A_DAY)

    out: Named = {
        "water.sg": 1.0,
        "evening.first_kg": figures["evening.first_kg"],
        "evening.second_kg": figures["evening.second_kg"],
        "evening.first_l": figures["evening.first_kg"] / WATER_20,
        "evening.full_l": poured / WATER_20,
        "evening.liquor_c": liquor_c,
        "evening.warm_min": heated(kettle, source, poured, evening.warm_c),
        "evening.heat_min": heated(kettle, source, poured, evening.hot_c),
        "evening.boil_c": boil_c,
        "evening.boil_min": boil_min,
        "evening.end_l": end_kg / WATER_20,
        "evening.drained_kg": drained_kg,
        "evening.drained_l": drained_kg / WATER_20,
        "evening.left_kg": left_l * WATER_20,
        "evening.left_l": left_l,
    }
    if brewery.chiller.kind != "none":
        specific = wort_specific_heat(0.0, 0.5 * (told_boil_c + evening.chill_c))
        minutes = cooling_minutes(
            brewery, figures, end_kg, specific, boil_c=told_boil_c, tap_c=tap_c, from_c=boil_c, to_c=chilled_c
        )
        out["evening.tap_c"] = tap_c
        out["evening.chill_min"] = np.minimum(minutes, A_DAY)
    beside = own_fire_beside(brewery)
    if beside is not None and evening.beside_l is not None:
        out["evening.beside_kg"] = figures["evening.beside_kg"]
        out["evening.beside_min"] = heated(*beside, figures["evening.beside_kg"], evening.beside_c)
    return out
