"""Read a brewery file.

In:  the text or bytes of a TOML brewery, and the name to call the file by.
Out: `Brewery`; `brewery_schema`, the JSON Schema of such a file.

Idea: what a brewer did not measure is left None for the flow, with two exceptions that the nouns want:
a vessel of unknown mass weighs 0.16 kg for each litre of its capacity (common practice: a thin stainless
pot of 50 L has 8 kg), and the usual instruments are there under the names of their kinds, with the errors
of decent ones (common practice).  An instrument in the file replaces the usual one of the same key.
"""

from __future__ import annotations

from typing import Any

from gylebook.brewery.gear import Bag, Chiller, Fermenter, HeatSource, KnownCooling, Vessel
from gylebook.brewery.instruments import Instrument, InstrumentKind
from gylebook.brewery.site import Brewery, HouseFigure
from gylebook.errors import Problem, Refused
from gylebook.exchange.lines import Path, Place
from gylebook.exchange.models_brewery import (
    BreweryTable,
    ChillerTable,
    HouseFigureTable,
    InstrumentTable,
    VesselTable,
)
from gylebook.exchange.models_water import water_drawn, water_faults
from gylebook.exchange.references import unknown
from gylebook.exchange.refusals import judge
from gylebook.exchange.schema import schema_of
from gylebook.exchange.toml_text import parse

POT_KG_PER_L = 0.16

# Error and bias, each an sd in the unit the instrument shows (SG, °Bx, L, kg, K, pH, min).
USUAL: dict[InstrumentKind, tuple[float, float]] = {
    "hydrometer": (0.0008, 0.0007),
    "refractometer": (0.15, 0.1),
    "dipstick": (0.35, 0.25),
    "scale": (0.05, 0.02),
    "thermometer": (0.4, 0.5),
    "ph meter": (0.04, 0.05),
    "clock": (1.0, 0.0),
    "tally": (0.5, 0.0),  # the last bottle is seldom just full
}


def read_brewery(text: str | bytes, *, where: str) -> Brewery:
    """The brewery that a TOML text states.

    Raises
    ------
    Refused
        With every fault found: file, line and key, the value as understood, what would be accepted.
    """
    parsed = parse(text, where=where)
    table, problems = judge(BreweryTable, parsed)
    if table is None or problems:
        raise Refused(problems)
    if problems := _references(table, parsed.place):
        raise Refused(problems)
    return _brewery(table)


def default_instruments() -> dict[str, Instrument]:
    """The usual instrument of each kind, for a brewery that says nothing of its own."""
    return {kind: _instrument(kind, InstrumentTable(kind=kind)) for kind in USUAL}


def brewery_schema() -> dict[str, Any]:
    """JSON Schema of a brewery file, with a description of each key."""
    return schema_of(BreweryTable, "gylebook brewery")


def _references(table: BreweryTable, place: Place) -> list[Problem]:
    """Vessels and waters that are named but not there, and a kettle that nothing heats."""
    problems: list[Problem] = []

    def refused(path: Path, words: tuple[str, str]) -> None:
        problems.append(Problem(place.at(path), *words))

    if table.kettle not in table.vessels:
        refused(("kettle",), unknown(table.kettle, table.vessels, "vessel"))
    elif not table.vessels[table.kettle].may_be_heated:
        words = ("the kettle may not be heated", "name a vessel that may, or set may_be_heated = true.")
        refused(("vessels", table.kettle, "may_be_heated"), words)
    for key, vessel in {"rinse": table.rinse, "tun": table.tun}.items():
        if vessel is not None and vessel not in table.vessels:
            refused((key,), unknown(vessel, table.vessels, "vessel"))
        if vessel == table.kettle:
            refused((key,), (f"“{vessel}” is the kettle", f"the {key} needs a vessel of its own."))
    for key, source in table.heat_sources.items():
        for index, vessel in enumerate(source.vessels):
            path: Path = ("heat_sources", key, "vessels", index)
            if vessel not in table.vessels:
                refused(path, unknown(vessel, table.vessels, "vessel"))
            elif not table.vessels[vessel].may_be_heated:
                refused(path, (f"“{vessel}” may not be heated", "leave it out, or set may_be_heated = true."))
    for path, words in water_faults(table.water, table.waters):
        refused(path, words)
    return problems


def _brewery(table: BreweryTable) -> Brewery:
    return Brewery(
        name=table.name,
        altitude_m=table.altitude,
        room_c=table.room_temperature,
        liquor_c=table.liquor_temperature,
        vessels={key: _vessel(key, vessel) for key, vessel in table.vessels.items()},
        kettle=table.kettle,
        rinse=table.rinse,
        tun=table.tun,
        heat_sources=tuple(
            HeatSource(
                key=key,
                name=source.name or key,
                kind=source.kind,
                power_kw=source.power,
                efficiency=source.efficiency,
                vessels=tuple(source.vessels),
            )
            for key, source in table.heat_sources.items()
        ),
        chiller=_chiller(table.chiller),
        bag=Bag(mass_kg=table.bag.mass, hoist_kg=table.bag.hoist, person_kg=table.bag.person),
        fermenters={
            key: Fermenter(
                key=key, name=tank.name or key, capacity_l=tank.capacity, dead_volume_l=tank.dead_volume
            )
            for key, tank in table.fermenters.items()
        },
        instruments={
            **default_instruments(),
            **{key: _instrument(key, instrument) for key, instrument in table.instruments.items()},
        },
        stir_room=table.stir_room,
        foam_room=table.foam_room,
        patience_heat_min=table.patience_heat,
        patience_cool_min=table.patience_cool,
        basket_l=table.basket,
        waters={key: water.noun(key) for key, water in table.waters.items()},
        water=water_drawn(table.water, table.waters),
        weighs_to_g=table.weighs_to,
        measures_to_ml=table.measures_to,
        house={name: _house_figure(figure) for name, figure in table.house.items()},
    )


def _vessel(key: str, vessel: VesselTable) -> Vessel:
    return Vessel(
        key=key,
        name=vessel.name or key,
        capacity_l=vessel.capacity,
        dead_volume_l=vessel.dead_volume,
        diameter_cm=vessel.diameter,
        mass_kg=POT_KG_PER_L * vessel.capacity if vessel.mass is None else vessel.mass,
        metal=vessel.metal,
        may_be_heated=vessel.may_be_heated,
        insulated=vessel.insulated,
    )


def _chiller(chiller: ChillerTable) -> Chiller:
    known = chiller.known
    return Chiller(
        kind=chiller.kind,
        area_m2=chiller.area,
        known=KnownCooling(volume_l=known.volume, to_c=known.to, minutes=known.time) if known else None,
        tap_c=chiller.tap,
        flow_l_per_min=chiller.flow,
        stirred=chiller.stirred,
        displaces_l=chiller.displaces,
    )


def _instrument(key: str, instrument: InstrumentTable) -> Instrument:
    error, bias = instrument.figure("error"), instrument.figure("bias")
    usual_error, usual_bias = USUAL[instrument.kind]
    return Instrument(
        key=key,
        name=instrument.name or key,
        kind=instrument.kind,
        error=usual_error if error is None else error,
        bias=usual_bias if bias is None else bias,
        calibrated_c=instrument.calibrated,
    )


def _house_figure(figure: HouseFigureTable) -> HouseFigure:
    level, scatter = figure.values()
    return HouseFigure(level=level, scatter=scatter)
