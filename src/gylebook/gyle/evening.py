"""Run water alone through a brewery's gear: the calibration evening as one more forecast.

In:  an evening and a brewery; latents.
Out: `EveningModel`: the figures of the gear and the evening's own, its numbers by name, what each
     instrument would show.

Idea: the gear's figures are those of `house`, so what is learned of them here holds for brews by name; the
equations are those of the brew day.  What was poured, how warm it came and how long it boiled are figures
of the evening alone, known as told until they are read, and then by that reading.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from gylebook.brewery.evening import Evening
from gylebook.brewery.gear import HeatSource, Vessel
from gylebook.brewery.instruments import READS, Instrument, Quantity
from gylebook.brewery.plan import Aims, Liquor, Plan, Process
from gylebook.brewery.site import Brewery
from gylebook.figures.draws import Array
from gylebook.figures.figure import Figure, FigureDraws, Transform
from gylebook.gyle.belonging import Belonging, belongings
from gylebook.gyle.chill import A_DAY, cooling_minutes
from gylebook.gyle.forecast import where_valid
from gylebook.gyle.house import figures_of, heat_source_of, published_figures
from gylebook.gyle.kettle import MOST_OF_IT, boil_temperature
from gylebook.gyle.mash import WATER_20
from gylebook.gyle.names import Named
from gylebook.gyle.observe import Observable, shown
from gylebook.gyle.timing import LID_OFF_BELOW_BOIL_K, heating_in, rinse_heating
from gylebook.matter.extract import wort_specific_heat
from gylebook.matter.water import SPECIFIC_HEAT
from gylebook.process.boil import evaporated_kg

GEAR = re.compile(
    r"boil_off_l_per_h|kettle\.left_l|walls_l|heat\.(loss_factor|.+\.net_share)"
    r"|chill\.(u_w_per_m2_k|time_factor)|instrument\..+\.bias"
)
READ: tuple[Quantity, ...] = ("volume", "mass", "temperature", "time")
FULL, BESIDE_FULL = 0.5, 0.4  # of a vessel, where nobody says how much
BOIL_MIN = 30.0
MOST_BOILED = 1.0 / 3.0  # of the water, in a boil whose length nobody says
POUR_AS_TOLD, TIME_AS_TOLD, WARM_AS_TOLD_K = 0.02, 0.02, 2.0  # sd where it was not read
POUR_READ, TIME_READ, WARM_READ_K = 0.3, 0.3, 4.0  # where it was, so wide that the reading alone tells
LEAST_POUR_KG = 0.1
WEATHER_K = 0.25  # sd of the boiling point by the weather: 9 hPa at 0.028 K each
TAP_K = (0.5, 44.0)


def evening_of(brewery: Brewery, litres: float | None = None, boil_minutes: float | None = None) -> Evening:
    """An evening for this brewery; what is not said goes by the kettle's size.

    The kettle is filled by half, in two equal pours, and boiled for half an hour, or until a third is gone.
    """
    whole = (
        float(max(round(FULL * brewery.vessels[brewery.kettle].capacity_l), 1)) if litres is None else litres
    )
    if boil_minutes is None:
        rate = next(f.level for f in figures_of(water_plan(whole), brewery) if f.name == "boil_off_l_per_h")
        boil_minutes = max(min(BOIL_MIN, 5.0 * math.floor(12.0 * MOST_BOILED * whole / rate)), 5.0)
    beside = own_fire_beside(brewery)
    return Evening(
        first_l=0.5 * whole,
        second_l=0.5 * whole,
        warm_c=5.0 * round(0.1 * (brewery.liquor_c + boil_temperature(brewery))),
        boil_minutes=boil_minutes,
        chill_c=float(max(20, math.ceil(brewery.chiller.tap_c + 8.0))),
        beside_l=None if beside is None else float(max(round(BESIDE_FULL * beside[0].capacity_l), 1)),
    )


def water_plan(litres: float) -> Plan:
    """A plan of water, by which the figures of the gear and their circumstances are found."""
    return Plan(
        name="calibration evening",
        aims=Aims(),
        process=Process(kind="extract only"),
        liquor=Liquor(mash_l=litres),
        grist=(),
        mash=(),
        boil_minutes=BOIL_MIN,
        portions=(),
    )


def own_fire_beside(brewery: Brewery) -> tuple[Vessel, HeatSource] | None:
    """The second vessel and a fire that the kettle does not need; None where it has none."""
    vessel, source = rinse_heating(brewery)
    own = source.key != heat_source_of(brewery, brewery.kettle).key
    return (vessel, source) if own and vessel.key == brewery.rinse else None


class EveningModel:
    """An evening on a brewery as a function of latents; asked as `forecast.Model` is."""

    def __init__(self, evening: Evening, brewery: Brewery, seen: Sequence[Observable] = ()) -> None:
        self.evening, self.brewery, self.seen = evening, brewery, tuple(seen)
        plan = water_plan(evening.first_l + evening.second_l)
        gear = [k for k, figure in enumerate(figures_of(plan, brewery)) if _of_gear(figure, brewery)]
        own = list(_own_figures(evening, brewery, self.seen))
        self.figures: tuple[Figure, ...] = (*(figures_of(plan, brewery)[k] for k in gear), *own)
        published, found = published_figures(plan, brewery), belongings(plan, brewery)
        self.published: tuple[Figure, ...] = (*(published[k] for k in gear), *own)
        self.belongings: tuple[Belonging | None, ...] = (*(found[k] for k in gear), *(None for _ in own))

    def draw(self, latents: Array) -> FigureDraws:
        """Joint draws of the figures."""
        return FigureDraws(self.figures, latents)

    def forecast(self, latents: Array) -> Named:
        """Every named number of the evening."""
        return _numbers(self.evening, self.brewery, self.draw(latents))

    def readings_forecast(self, latents: Array) -> Mapping[str, Array]:
        """What each instrument would show, by the name of its reading; as `forecast.Model` does."""
        return where_valid(self._shown, latents, [seen.name for seen in self.seen])

    def _shown(self, latents: Array) -> Mapping[str, Array]:
        figures = self.draw(latents)
        numbers = _numbers(self.evening, self.brewery, figures)
        return {o.name: np.broadcast_to(shown(o, numbers, figures), (len(latents),)) for o in self.seen}


def _of_gear(figure: Figure, brewery: Brewery) -> bool:
    """Whether an evening meets this figure: fires that are not lit and other instruments are left out."""
    if not GEAR.fullmatch(figure.name):
        return False
    if figure.name.startswith("instrument."):
        return READS[brewery.instruments[figure.name.split(".", 1)[1].removesuffix(".bias")].kind] in READ
    if figure.name.endswith(".net_share"):
        beside = own_fire_beside(brewery)
        lit = {heat_source_of(brewery, brewery.kettle).key} | ({beside[1].key} if beside else set())
        return figure.name.removeprefix("heat.").removesuffix(".net_share") in lit
    return True


def _own_figures(evening: Evening, brewery: Brewery, seen: Sequence[Observable]) -> Iterator[Figure]:
    """What belongs to this evening alone, around what was read or else told; all of it is judgement."""
    read = {(o.place.step, o.place.quantity): o.value for o in seen}

    def figure(name: str, unit: str, level: float, scatter: float, transform: Transform) -> Figure:
        return Figure(
            name=f"evening.{name}",
            unit=unit,
            level=level,
            scatter=scatter,
            transform=transform,
            source="judgement",
        )

    def pour(name: str, step: str, litres: float) -> Figure:
        level = max(read.get((step, "mass"), litres * WATER_20), LEAST_POUR_KG)
        known = (step, "mass") in read or (step, "volume") in read
        return figure(name, "kg", level, level * (POUR_READ if known else POUR_AS_TOLD), "log")

    def warmth(name: str, step: str, told_c: float) -> Figure:
        where: tuple[str, Quantity] = (step, "temperature")
        scatter = WARM_READ_K if where in read else WARM_AS_TOLD_K
        return figure(name, "°C", read.get(where, told_c), scatter, "none")

    yield pour("first_kg", "evening first", evening.first_l)
    yield pour("second_kg", "evening full", evening.second_l)
    yield warmth("liquor_c", "evening full", brewery.liquor_c)
    yield warmth("tap_c", "evening tap", brewery.chiller.tap_c)
    boiled = max(read.get(("evening boil", "time"), evening.boil_minutes), 1.0)
    share = TIME_READ if ("evening boil", "time") in read else TIME_AS_TOLD
    yield figure("boil_min", "min", boiled, share * boiled, "log")
    yield figure("weather_k", "°C", 0.0, WEATHER_K, "none")
    if evening.beside_l is not None:
        yield pour("beside_kg", "evening beside", evening.beside_l)


def _numbers(evening: Evening, brewery: Brewery, figures: Mapping[str, Array]) -> Named:
    """Every number that can be read; litres are at 20 °C, times from lighting the fire. [L, kg, °C, min]"""
    told_boil_c = boil_temperature(brewery)
    boil_c = told_boil_c + figures["evening.weather_k"]
    liquor_c = np.clip(figures["evening.liquor_c"], 0.0, told_boil_c)
    tap_c = np.clip(figures["evening.tap_c"], *TAP_K)
    poured = figures["evening.first_kg"] + figures["evening.second_kg"]
    gone = np.minimum(
        evaporated_kg(figures["boil_off_l_per_h"], figures["evening.boil_min"]), MOST_OF_IT * poured
    )
    end_kg, left_l = poured - gone, figures["kettle.left_l"]
    drained_kg = end_kg - (left_l + figures["walls_l"]) * WATER_20
    off = _thermometer_bias(brewery, figures)  # what it shows is stopped at, so the water is as much cooler
    kettle, source = brewery.vessels[brewery.kettle], heat_source_of(brewery, brewery.kettle)

    def heated(vessel: Vessel, source: HeatSource, mass_kg: Array, to_c: float) -> Array:
        minutes = heating_in(
            brewery,
            figures,
            vessel,
            source,
            mass_kg * SPECIFIC_HEAT,
            liquor_c,
            np.clip(to_c - off, 0.0, 105.0),
        )
        return np.minimum(minutes, A_DAY)

    chilled_c = evening.chill_c - off
    out: Named = {
        "water.sg": 1.0,
        "evening.first_kg": figures["evening.first_kg"],
        "evening.second_kg": figures["evening.second_kg"],
        "evening.first_l": figures["evening.first_kg"] / WATER_20,
        "evening.full_l": poured / WATER_20,
        "evening.liquor_c": liquor_c,
        "evening.warm_min": heated(kettle, source, poured, evening.warm_c),
        "evening.heat_min": heated(kettle, source, poured, told_boil_c - LID_OFF_BELOW_BOIL_K),
        "evening.boil_c": boil_c,
        "evening.boil_min": figures["evening.boil_min"],
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


def _thermometer_bias(brewery: Brewery, figures: Mapping[str, Array]) -> Array | float:
    """By how much the thermometer at hand shows too much; nothing where there is none. [K]"""
    first: Instrument | None = next(
        (i for i in brewery.instruments.values() if i.kind == "thermometer"), None
    )
    return 0.0 if first is None else figures[f"instrument.{first.key}.bias"]
