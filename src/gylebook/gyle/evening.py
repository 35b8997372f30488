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
from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from gylebook.brewery.evening import Evening
from gylebook.brewery.instruments import READS, Instrument, Quantity
from gylebook.brewery.plan import Aims, Liquor, Plan, Process
from gylebook.brewery.site import Brewery
from gylebook.errors import Problem, Refused
from gylebook.figures.draws import Array, Value
from gylebook.figures.figure import Figure, FigureDraws
from gylebook.gyle.belonging import Belonging, belongings
from gylebook.gyle.evening_own import own_figures
from gylebook.gyle.evening_run import run_water
from gylebook.gyle.forecast import row_by_row
from gylebook.gyle.house import figures_of, heat_source_of, published_figures
from gylebook.gyle.kettle import boil_temperature
from gylebook.gyle.names import Named
from gylebook.gyle.observe import Observable, shown
from gylebook.gyle.timing import LID_OFF_BELOW_BOIL_K, own_fire_beside

GEAR = re.compile(
    r"boil_off_l_per_h|kettle\.left_l|walls_l|heat\.(loss_factor|.+\.net_share)"
    r"|chill\.(u_w_per_m2_k|time_factor)|instrument\..+\.bias"
)
READ: tuple[Quantity, ...] = ("volume", "mass", "temperature", "time")
FULL, BESIDE_FULL = 0.5, 0.4  # of a vessel, where nobody says how much
BOIL_MIN = 30.0
MOST_BOILED = 1.0 / 3.0  # of the water, in a boil whose length nobody says
# The temperature at which each clock is stopped.
NOTED = {
    "evening warm": "warm_c",
    "evening heat": "hot_c",
    "evening beside": "beside_c",
    "evening chill": "chill_c",
}


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
        hot_c=boil_temperature(brewery) - LID_OFF_BELOW_BOIL_K,
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


def instrument_at_hand(brewery: Brewery, quantity: Quantity) -> Instrument | None:
    """What reads it: the brewer's own before a usual one, which bears the name of its kind; None for none."""
    able = [i for i in brewery.instruments.values() if READS[i.kind] == quantity]
    return next((i for i in able if i.name != i.kind), able[0] if able else None)


class EveningModel:
    """An evening on a brewery as a function of latents; asked as `forecast.Model` is."""

    def __init__(self, evening: Evening, brewery: Brewery, seen: Sequence[Observable] = ()) -> None:
        self.evening, self.brewery, self.seen = _as_noted(evening, seen), brewery, tuple(seen)
        warmth = next((o.instrument for o in self.seen if o.instrument.kind == "thermometer"), None)
        self._thermometer = warmth or instrument_at_hand(brewery, "temperature")
        plan = water_plan(evening.first_l + evening.second_l)
        gear = [k for k, figure in enumerate(figures_of(plan, brewery)) if _of_gear(figure, brewery)]
        own = own_figures(self.evening, brewery, self.seen)
        self.figures: tuple[Figure, ...] = (*(figures_of(plan, brewery)[k] for k in gear), *own)
        published, found = published_figures(plan, brewery), belongings(plan, brewery)
        self.published: tuple[Figure, ...] = (*(published[k] for k in gear), *own)
        self.belongings: tuple[Belonging | None, ...] = (*(found[k] for k in gear), *(None for _ in own))

    def draw(self, latents: Array) -> FigureDraws:
        """Joint draws of the figures."""
        return FigureDraws(self.figures, latents)

    def forecast(self, latents: Array) -> Named:
        """Every named number of the evening."""
        return self._numbers(self.draw(latents))

    def readings_forecast(self, latents: Array) -> Mapping[str, Array]:
        """What each instrument would show, by the name of its reading; as `forecast.Model` does."""
        return row_by_row(self._shown, latents, [seen.name for seen in self.seen])

    def _shown(self, latents: Array) -> Mapping[str, Array]:
        figures = self.draw(latents)
        numbers = self._numbers(figures)
        return {o.name: np.broadcast_to(shown(o, numbers, figures), (len(latents),)) for o in self.seen}

    def _numbers(self, figures: Mapping[str, Array]) -> Named:
        used = self._thermometer  # what it shows is stopped at, so the water is as much cooler
        too_much: Value = 0.0 if used is None else figures[f"instrument.{used.key}.bias"]
        return run_water(self.evening, self.brewery, figures, too_much)


def _as_noted(evening: Evening, seen: Sequence[Observable]) -> Evening:
    """The evening with the temperatures that were written down beside its times; one for each clock."""
    noted: dict[str, float] = {}
    for o in seen:
        at_c, step = o.reading.temperature_c, o.place.step
        if o.place.quantity != "time" or at_c is None or step not in NOTED:
            continue
        if noted.setdefault(NOTED[step], at_c) != at_c:
            understood = f"was stopped at {noted[NOTED[step]]:g} and at {at_c:g} °C"
            raise Refused((Problem(step, understood, "keep one of these readings"),))
    return replace(evening, **noted)


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
