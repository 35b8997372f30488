"""Hold the kinds of brewery that a first run may start from, each with values a brewer can change.

In:  the key of a shape.
Out: `Shape`: how it makes wort, and the text in each field, metric or US; `refilled`, the fields of another
     shape or system with what was typed left in them.

Idea: round values that such gear usually has (common practice), chosen so that a first beer of the stated
size keeps every limit; a test holds every shape to that with every beer.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from gylebook.brewery.gear import ChillerKind, HeatKind
from gylebook.brewery.plan import Drain, ProcessKind

System = Literal["metric", "us"]
Both = tuple[str, str]  # the text in metric and in US units


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """A kind of brewery: `second` is what the second vessel is for, where there is one."""

    key: str
    process: ProcessKind
    drain: Drain | None
    second: Literal["rinse", "tun"] | None
    heat: HeatKind
    chiller: ChillerKind
    texts: dict[str, Both]

    @property
    def has_bag(self) -> bool:
        """Whether grain is lifted out in a bag or basket."""
        return self.drain in ("hung", "briefly hung", "pressed")

    def filled(self, system: System) -> dict[str, str]:
        """What stands in each field before the brewer changes it."""
        common = {name: of_system(both, system) for name, both in {**COMMON, **self.texts}.items()}
        return {"heat": self.heat, "chiller": self.chiller, **common}


def of_system(both: Both, system: System) -> str:
    """The one of two texts that is written in this system."""
    return both[0] if system == "metric" else both[1]


COMMON: dict[str, Both] = {
    "brewery": ("My brewery", "My brewery"),
    "room": ("18 °C", "64 °F"),
    "tap": ("12 °C", "54 °F"),
    "altitude": ("100 m", "330 ft"),
    "surface": ("0.45 m2", "4.8 ft2"),
    "marks": ("0.3 L", "0.3 qt"),
    "hydrometer": ("20 °C", "68 °F"),
    "fermenters": ("2", "2"),
    "fermenter": ("30 L", "8 gal"),
}

_BAG: dict[str, Both] = {"bag": ("0.3 kg", "0.7 lb"), "lift": ("30 kg", "66 lb")}

SHAPES: dict[str, Shape] = {
    shape.key: shape
    for shape in (
        Shape(
            key="bag",
            process="full volume",
            drain="hung",
            second=None,
            heat="element",
            chiller="coil",
            texts={
                "kettle": ("40 L", "11 gal"),
                "across": ("36 cm", "14 in"),
                "power": ("3 kW", "3 kW"),
                "litres": ("20 L", "5 gal"),
                **_BAG,
            },
        ),
        Shape(
            key="bag-and-pot",
            process="dunk rinse",
            drain="hung",
            second="rinse",
            heat="gas",
            chiller="coil",
            texts={
                "kettle": ("40 L", "11 gal"),
                "across": ("36 cm", "14 in"),
                "second": ("20 L", "5.5 gal"),
                "power": ("8 kW", "27000 BTU/h"),
                "litres": ("20 L", "5 gal"),
                **_BAG,
            },
        ),
        Shape(
            key="tun",
            process="fly rinse",
            drain="tun",
            second="tun",
            heat="gas",
            chiller="coil",
            texts={
                "kettle": ("50 L", "13 gal"),
                "across": ("40 cm", "16 in"),
                "second": ("40 L", "10 gal"),
                "power": ("9 kW", "31000 BTU/h"),
                "litres": ("23 L", "6 gal"),
                "fermenter": ("35 L", "9 gal"),
            },
        ),
        Shape(
            key="extract",
            process="extract only",
            drain=None,
            second=None,
            heat="hotplate",
            chiller="coil",
            texts={
                "kettle": ("20 L", "5.5 gal"),
                "across": ("30 cm", "12 in"),
                "power": ("2.2 kW", "2.2 kW"),
                "surface": ("0.25 m2", "2.7 ft2"),
                "litres": ("10 L", "2.5 gal"),
                "fermenter": ("18 L", "5 gal"),
            },
        ),
        Shape(
            key="hoist",
            process="full volume",
            drain="hung",
            second=None,
            heat="element",
            chiller="counterflow",
            texts={
                "kettle": ("100 L", "27 gal"),
                "across": ("50 cm", "20 in"),
                "power": ("7 kW", "7 kW"),
                "surface": ("0.6 m2", "6.5 ft2"),
                "litres": ("46 L", "12 gal"),
                "fermenter": ("35 L", "9 gal"),
                "bag": ("0.6 kg", "1.3 lb"),
                "lift": ("60 kg", "130 lb"),
            },
        ),
    )
}


def refilled(typed: Mapping[str, str], before: Mapping[str, str], now: Mapping[str, str]) -> dict[str, str]:
    """What was typed, over the usual values `now` in place of those `before`.

    What still says the usual of before was not changed by the brewer, and gives way.
    """
    changed = {name: text for name, text in typed.items() if text != before.get(name)}
    return {**now, **changed}
