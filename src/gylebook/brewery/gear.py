"""Describe the vessels and machines a brewer owns.

In:  what a brewery file says of them, in base units.
Out: frozen records that the flow reads.

Idea: one record for one real thing; a field left out of the file is None and the flow falls back on
physics or on the published spread.  Nothing here computes, heats or overflows.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Metal = Literal["stainless", "aluminium", "copper", "glass", "plastic"]
HeatKind = Literal["element", "induction", "hotplate", "gas", "sheltered gas"]
ChillerKind = Literal["coil", "counterflow", "none"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Vessel:
    """A pot, kettle or tun.  `capacity_l` is to the brim; `dead_volume_l` stays behind when it is emptied."""

    key: str
    name: str
    capacity_l: float
    dead_volume_l: float | None = None
    diameter_cm: float | None = None
    mass_kg: float
    metal: Metal = "stainless"
    may_be_heated: bool = True
    insulated: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatSource:
    """An element, plate or burner; `power_kw` is gross, `efficiency` the share that reaches the liquid."""

    key: str
    name: str
    kind: HeatKind
    power_kw: float
    efficiency: float | None = None
    vessels: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownCooling:
    """A cooling time the brewer has measured with this chiller, from the boil."""

    volume_l: float
    to_c: float
    minutes: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Chiller:
    """A coil in the kettle, a counterflow or plate chiller, or none (left to stand).

    Either its area or a known cooling time tells what it can do; `stirred` is how the brewer uses it.
    """

    kind: ChillerKind
    area_m2: float | None = None
    known: KnownCooling | None = None
    tap_c: float = 14.0
    flow_l_per_min: float = 8.0
    stirred: bool = True
    displaces_l: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Bag:
    """The mash bag and what lifts it.  Without a hoist the person lifts, up to `person_kg`."""

    mass_kg: float = 0.3
    hoist_kg: float | None = None
    person_kg: float = 15.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Fermenter:
    """A vessel that wort ferments in; `dead_volume_l` cannot be racked out of it."""

    key: str
    name: str
    capacity_l: float
    dead_volume_l: float = 0.3
