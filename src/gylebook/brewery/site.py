"""Describe one brewery: its gear, its instruments, its place and its own figures.

In:  a brewery file read at the border.
Out: `Brewery`, frozen.

Idea: house figures override the published spread by name; what is not overridden stays as published.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from gylebook.brewery.gear import Bag, Chiller, Fermenter, HeatSource, Vessel
from gylebook.brewery.instruments import Instrument
from gylebook.brewery.water import Water


@dataclass(frozen=True, slots=True, kw_only=True)
class HouseFigure:
    """A figure of this house: its level and its scatter from brew to brew, in the figure's unit."""

    level: float
    scatter: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Brewery:
    """One set of gear and its figures.

    `kettle`, `rinse` and `tun` are keys of `vessels`; a tun is mashed in besides the kettle.  `stir_room` and
    `foam_room` are shares of a vessel that must stay free while mashing and while boiling.  `patience` is
    the longest a heating or a cooling may take, in minutes.  `water` is the key of what is drawn where a plan
    names none; `weighs_to_g` and `measures_to_ml` are the steps of the finest scale and measure.
    """

    name: str
    altitude_m: float = 0.0
    room_c: float = 18.0
    liquor_c: float = 12.0
    vessels: Mapping[str, Vessel]
    kettle: str
    rinse: str | None = None
    tun: str | None = None
    heat_sources: tuple[HeatSource, ...]
    chiller: Chiller
    bag: Bag
    fermenters: Mapping[str, Fermenter]
    instruments: Mapping[str, Instrument]
    stir_room: float = 0.05
    foam_room: float = 0.15
    patience_heat_min: float = 120.0
    patience_cool_min: float = 60.0
    basket_l: float = 0.0
    waters: Mapping[str, Water] = field(default_factory=dict)
    water: str | None = None
    weighs_to_g: float = 0.1
    measures_to_ml: float = 0.1
    house: Mapping[str, HouseFigure] = field(default_factory=dict)
