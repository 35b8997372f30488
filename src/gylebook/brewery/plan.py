"""Describe one gyle as it is meant to be: aims, grist, process, boil, hops, portions.

In:  a plan file read at the border, or a plan changed by a solver or a remedy.
Out: `Plan`, frozen; "change" returns a copy (`dataclasses.replace`).

Idea: everything a day decides is a field here, a remedy too, so that the same forward run answers every
question.  A field that is None is left to be solved.  Nothing here computes.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from gylebook.brewery.ingredients import Addition, Grain, GrainTea, Hop, HopTea, Starter, Yeast
from gylebook.brewery.water import AgainstChlorine, Dose, IonAim

ProcessKind = Literal["full volume", "dunk rinse", "poured rinse", "fly rinse", "extract only"]
Drain = Literal["pressed", "hung", "briefly hung", "tun"]
Crush = Literal["fine", "ordinary", "coarse"]
BitternessBy = Literal["trade rule", "kinetics"]
PackageKind = Literal["keg", "bottles", "stays"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Aims:
    """What the gyle should be.  `odds` is how sure the brewer wants to be of volume and limits.

    `volume_l` is litres at 20 °C into all fermenters together, after any liquor added there; `mash_ph` is of
    a cooled sample.
    """

    volume_l: float | None = None
    plato: float | None = None
    bitterness_ibu: float | None = None
    mash_ph: float | None = None
    odds: float = 0.9


@dataclass(frozen=True, slots=True, kw_only=True)
class Process:
    """How the wort is made.  `drain` is how long the bag gives up wort and whether it is pressed."""

    kind: ProcessKind
    drain: Drain = "hung"
    crush: Crush = "fine"
    stirred_rinse: bool = True
    rinse_c: float = 74.0
    mash_out: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Liquor:
    """Brewing water at 20 °C by where it goes, and how it is treated; None is left to be solved.

    `kettle_l` is added to the kettle at the end of the boil.  `waters` are shares by key, the brewery's own
    water where none are named; how much of `diluted_with` goes to them is left to be solved for the ions.
    `ions` are wanted in all liquor, `rinse_ions` of the rinse where they differ;
    `salts`, `acid` and `alkali` are at hand for it, and `doses` are what goes in.  `rinse_alkalinity` is what
    the acid may leave. [mEq/L]
    """

    mash_l: float | None = None
    rinse_l: float | None = None
    kettle_l: float = 0.0
    waters: tuple[tuple[str, float], ...] = ()
    diluted_with: str | None = None
    ions: tuple[IonAim, ...] = ()
    rinse_ions: tuple[IonAim, ...] = ()
    salts: tuple[str, ...] = ("gypsum", "calcium-chloride", "common-salt", "epsom-salt")
    acid: str = "lactic-88"
    alkali: str = "baking-soda"
    rinse_alkalinity: float | None = None
    against_chlorine: AgainstChlorine = "potassium metabisulphite"
    doses: tuple[Dose, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class MashStep:
    """One rest."""

    temperature_c: float
    minutes: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """A hot stand after the boil, before chilling."""

    temperature_c: float
    minutes: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Package:
    """How a portion is packed; "stays" is left in its fermenter for long ageing."""

    kind: PackageKind
    co2_volumes: float | None = None
    bottle_l: float = 0.5
    after_days: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Later:
    """An organism added after the first yeast; `attenuation` is where it ends, None if no further.

    Brettanomyces goes on for months; lactic bacteria make acid and hardly move the gravity.
    """

    kind: str
    after_days: float
    attenuation: float | None
    attenuation_scatter: float
    months: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Portion:
    """A part of the gyle with its own fermenter and future.

    `share` of the wort that is divided, or `volume_l` of wort; `top_up_l` is boiled and cooled liquor
    added to it in the fermenter.  `head_room` is the room above it while it ferments, as a share of its
    own volume; the usual share where it is None.
    """

    key: str
    name: str
    fermenter: str
    share: float | None = None
    volume_l: float | None = None
    top_up_l: float = 0.0
    yeast: Yeast
    ferment_c: float = 19.0
    head_room: float | None = None
    package: Package
    later: Later | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Blend:
    """Finished portions poured together: `parts` says which share of each portion's beer goes in."""

    key: str
    name: str
    parts: tuple[tuple[str, float], ...]
    package: Package


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """One gyle as it is meant to be."""

    name: str
    aims: Aims
    process: Process
    liquor: Liquor
    grist: tuple[Grain, ...]
    mash: tuple[MashStep, ...]
    boil_minutes: float
    hops: tuple[Hop, ...] = ()
    additions: tuple[Addition, ...] = ()
    stand: Stand | None = None
    chill_c: float = 20.0
    starters: tuple[Starter, ...] = ()
    portions: tuple[Portion, ...]
    grain_teas: tuple[GrainTea, ...] = ()
    hop_teas: tuple[HopTea, ...] = ()
    blends: tuple[Blend, ...] = ()
    bitterness_by: BitternessBy = "trade rule"
