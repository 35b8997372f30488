"""Say what can be read on a calibration evening, and lay out its steps.

In:  an evening and its brewery; how long things take.
Out: `evening_places`, which ties readings to numbers of `evening.EveningModel`; `evening_steps`, in time.

Idea: no step is called as one of a brew day, so that a reading written into the wrong file is refused.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from gylebook.brewery.evening import Evening
from gylebook.brewery.instruments import Quantity
from gylebook.brewery.site import Brewery
from gylebook.gyle.house import heat_source_of
from gylebook.gyle.kettle import boil_temperature
from gylebook.gyle.mash import WATER_20
from gylebook.gyle.observe import Place
from gylebook.gyle.steps import Amount, Step
from gylebook.gyle.timing import own_fire_beside

POURING_MIN, DRAINING_MIN, WEIGHING_MIN = 10.0, 10.0, 5.0  # judgement


def evening_places(evening: Evening, brewery: Brewery) -> tuple[Place, ...]:
    """Everything that can be read on an evening, in its order; no brew day has a step so called."""
    metal, boil_c = brewery.vessels[brewery.kettle].metal, boil_temperature(brewery)

    def level(step: str, shows: str, usual_c: float) -> Place:
        return Place(
            step=step, quantity="volume", shows=shows, strength="water.sg", usual_c=usual_c, metal=metal
        )

    def litres(step: str, shows: str) -> Place:
        return Place(step=step, quantity="volume", shows=shows, strength="water.sg", usual_c=evening.chill_c)

    out = [
        Place(step="evening first", quantity="mass", shows="evening.first_kg"),
        level("evening first", "evening.first_l", brewery.liquor_c),
        Place(step="evening full", quantity="mass", shows="evening.second_kg"),
        level("evening full", "evening.full_l", brewery.liquor_c),
        Place(step="evening full", quantity="temperature", shows="evening.liquor_c"),
    ]
    if evening.beside_l is not None:
        out.append(Place(step="evening beside", quantity="mass", shows="evening.beside_kg"))
        out.append(Place(step="evening beside", quantity="time", shows="evening.beside_min"))
    out += [
        Place(step="evening warm", quantity="time", shows="evening.warm_min"),
        Place(step="evening heat", quantity="time", shows="evening.heat_min"),
        level("evening boil start", "evening.full_l", boil_c),
        Place(step="evening boil", quantity="temperature", shows="evening.boil_c"),
        Place(step="evening boil", quantity="time", shows="evening.boil_min"),
        level("evening boil end", "evening.end_l", boil_c),
    ]
    if brewery.chiller.kind != "none":
        out.append(Place(step="evening tap", quantity="temperature", shows="evening.tap_c"))
        out.append(Place(step="evening chill", quantity="time", shows="evening.chill_min"))
    for step in ("drained", "left"):
        out.append(Place(step=f"evening {step}", quantity="mass", shows=f"evening.{step}_kg"))
        out.append(litres(f"evening {step}", f"evening.{step}_l"))
    return tuple(out)


def evening_steps(evening: Evening, brewery: Brewery, minutes: Mapping[str, float]) -> tuple[Step, ...]:
    """The evening step by step from its first minute; `minutes` are the middles of its timings by name."""
    return tuple(_steps(evening, brewery, minutes))


def _steps(evening: Evening, brewery: Brewery, minutes: Mapping[str, float]) -> Iterator[Step]:
    fire = heat_source_of(brewery, brewery.kettle)
    kettle, now = brewery.kettle, 0.0
    for step, litres in (("evening first", evening.first_l), ("evening full", evening.second_l)):
        read: tuple[tuple[str, Quantity], ...] = ((step, "mass"), (step, "volume"))
        if step == "evening full":
            read = (*read, (step, "temperature"))
        yield Step(
            key=step, start_min=now, minutes=POURING_MIN, amounts=_water(litres), read=read, vessel=kettle
        )
        now += POURING_MIN
    yield Step(
        key="evening heat",
        start_min=now,
        minutes=minutes["evening.heat_min"],
        amounts=(
            Amount(what="on the way", amount=evening.warm_c, dimension="temperature"),
            Amount(
                what="at the end, lid off",
                amount=evening.hot_c,
                dimension="temperature",
            ),
        ),
        read=(("evening warm", "time"), ("evening heat", "time")),
        cautions=(_caution(fire.kind), "scald"),
        heat_source=fire.key,
        vessel=kettle,
    )
    beside = own_fire_beside(brewery)
    if beside is not None and evening.beside_l is not None:
        vessel, own = beside
        yield Step(
            key="evening beside",
            start_min=now,
            minutes=minutes["evening.beside_min"],
            amounts=(
                *_water(evening.beside_l),
                Amount(what="at the end", amount=evening.beside_c, dimension="temperature"),
            ),
            read=(("evening beside", "mass"), ("evening beside", "time")),
            cautions=(_caution(own.kind), "scald"),
            heat_source=own.key,
            vessel=vessel.key,
        )
    now += minutes["evening.heat_min"]
    yield Step(
        key="evening boil",
        start_min=now,
        minutes=evening.boil_minutes,
        read=(("evening boil start", "volume"), ("evening boil", "temperature"), ("evening boil", "time")),
        cautions=("steam",),
        heat_source=fire.key,
        vessel=kettle,
    )
    now += evening.boil_minutes
    yield Step(
        key="evening boil end",
        start_min=now,
        minutes=WEIGHING_MIN,
        read=(("evening boil end", "volume"),),
        cautions=("scald",),
        vessel=kettle,
    )
    now += WEIGHING_MIN
    if brewery.chiller.kind == "none":
        yield Step(
            key="evening stand", start_min=now, minutes=0.0, cautions=("scald", "carry"), vessel=kettle
        )
    else:
        yield Step(
            key="evening chill",
            start_min=now,
            minutes=minutes["evening.chill_min"],
            what=brewery.chiller.kind,
            amounts=(
                Amount(what="at the end", amount=evening.chill_c, dimension="temperature"),
                Amount(
                    what="cooling water a minute",
                    amount=brewery.chiller.flow_l_per_min,
                    dimension="volume",
                ),
            ),
            read=(("evening tap", "temperature"), ("evening chill", "time")),
            cautions=("coil", "chill") if brewery.chiller.kind == "coil" else ("scald", "chill"),
            vessel=kettle,
        )
        now += minutes["evening.chill_min"]
    for key, length in (("drained", DRAINING_MIN), ("left", WEIGHING_MIN)):
        step = f"evening {key}"
        yield Step(key=step, start_min=now, minutes=length, read=((step, "mass"),), vessel=kettle)
        now += length


def _water(litres: float) -> tuple[Amount, ...]:
    """So much cold water, as it is weighed; the litres beside it are those at 20 °C."""
    return (
        Amount(what="cold water", amount=litres * WATER_20, dimension="mass"),
        Amount(what="cold water, where nothing weighs it", amount=litres, dimension="volume"),
    )


def _caution(kind: str) -> str:
    """Key of the caution that goes with a fire."""
    return "gas" if "gas" in kind else "electric"
