"""Build small plans and breweries for tests: an amber gyle in two fermenters, and the gear for it.

Every maker takes what a test wants otherwise, so that a test shows only what it is about.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from gylebook.brewery.gear import Bag, Chiller, Fermenter, HeatSource, Vessel
from gylebook.brewery.ingredients import Addition, Grain, Hop, Yeast
from gylebook.brewery.instruments import Instrument, InstrumentKind
from gylebook.brewery.plan import (
    Aims,
    Drain,
    Liquor,
    MashStep,
    Package,
    Plan,
    Portion,
    Process,
    ProcessKind,
)
from gylebook.brewery.site import Brewery, HouseFigure
from gylebook.brewery.water import Dose, ReportLine, Water
from gylebook.figures.draws import Array, standard_normal_latents
from gylebook.figures.figure import FigureDraws
from gylebook.gyle.course import Course
from gylebook.gyle.forecast import Model

# kind: (error of one reading, bias that all share), as a careful brewer at home would state them.
INSTRUMENTS: dict[InstrumentKind, tuple[float, float]] = {
    "hydrometer": (0.0008, 0.0007),
    "refractometer": (0.15, 0.1),
    "dipstick": (0.35, 0.25),
    "scale": (0.05, 0.02),
    "thermometer": (0.4, 0.5),
    "ph meter": (0.04, 0.05),
    "clock": (1.0, 0.0),
    "tally": (0.5, 0.0),
}


def grain(key: str = "pale", mass_kg: float | None = 6.0, **other: Any) -> Grain:
    """A line of base malt."""
    usual: dict[str, Any] = {
        "name": key,
        "kind": "base",
        "extract_dry": 0.81,
        "extract_scatter": 0.01,
        "moisture": 0.045,
        "colour_ebc": 5.0,
    }
    return Grain(key=key, mass_kg=mass_kg, **{**usual, **other})


def hop(key: str = "bitter", mass_kg: float | None = 0.04, **other: Any) -> Hop:
    """A bittering addition."""
    usual: dict[str, Any] = {
        "variety": key,
        "alpha": 0.06,
        "alpha_scatter": 0.006,
        "use": "boil",
        "minutes": 60.0,
    }
    return Hop(key=key, mass_kg=mass_kg, **{**usual, **other})


def yeast(**other: Any) -> Yeast:
    """Dry ale yeast, more than enough of it for a big fermenter."""
    usual: dict[str, Any] = {
        "kind": "clean ale",
        "attenuation": 0.77,
        "attenuation_scatter": 0.025,
        "pitch_million_per_ml_plato": 0.75,
        "low_c": 16.0,
        "high_c": 22.0,
        "days": 6.0,
        "form": "dry",
        "packs": 2.0,
        "cells_billion": 180.0,
    }
    return Yeast(**{**usual, **other})


def portion(key: str = "one", share: float | None = 0.5, **other: Any) -> Portion:
    """A part of the wort, kegged, in the fermenter of the same key."""
    usual: dict[str, Any] = {"fermenter": key, "yeast": yeast(), "package": Package(kind="keg")}
    return Portion(key=key, name=key, share=share, **{**usual, **other})


def sugar(key: str = "candy", mass_kg: float = 0.5, **other: Any) -> Addition:
    """Dry sugar that ferments out, into the boil."""
    usual: dict[str, Any] = {"name": key, "extract": 1.0, "fermentable": 1.0, "minutes": 10.0}
    return Addition(key=key, mass_kg=mass_kg, **{**usual, **other})


def plan(kind: ProcessKind = "dunk rinse", drain: Drain = "hung", **other: Any) -> Plan:
    """About 30 L of amber wort in two fermenters, every amount given."""
    usual: dict[str, Any] = {
        "aims": Aims(),
        "process": Process(kind=kind, drain=drain),
        "liquor": Liquor(mash_l=28.0, rinse_l=None if kind == "full volume" else 12.0),
        "grist": (grain(), grain("amber", 1.0, kind="caramel", extract_dry=0.76)),
        "mash": (MashStep(temperature_c=66.0, minutes=60.0),),
        "boil_minutes": 60.0,
        "hops": (hop(),),
        "portions": (portion("one"), portion("two")),
    }
    if kind == "full volume":
        usual["liquor"] = Liquor(mash_l=40.0)
    if kind == "extract only":
        usual["liquor"] = Liquor(mash_l=32.0)
        usual["grist"] = usual["mash"] = ()
        usual["additions"] = (sugar("dried extract", 5.0, extract=0.96, fermentable=0.6, minutes=60.0),)
    return Plan(name="amber", **{**usual, **other})


def brewery(**other: Any) -> Brewery:
    """A kettle of 60 L and a pot of 38 L, an element for one and a ring for both."""
    usual: dict[str, Any] = {
        "vessels": {
            "kettle": Vessel(key="kettle", name="kettle", capacity_l=60.0, mass_kg=8.0, diameter_cm=40.0),
            "pot": Vessel(key="pot", name="pot", capacity_l=38.0, mass_kg=4.0),
        },
        "kettle": "kettle",
        "rinse": "pot",
        "heat_sources": (
            HeatSource(key="element", name="element", kind="element", power_kw=5.0, vessels=("kettle",)),
            HeatSource(key="ring", name="ring", kind="hotplate", power_kw=3.0, vessels=("kettle", "pot")),
        ),
        "chiller": Chiller(kind="coil", area_m2=0.45, tap_c=12.0, displaces_l=1.1),
        "bag": Bag(mass_kg=0.3, hoist_kg=60.0),
        "fermenters": {
            key: Fermenter(key=key, name=key, capacity_l=30.0)
            for key in ("one", "two", "three", "four", "five", "six")
        },
        "instruments": {
            kind: Instrument(key=kind, name=kind, kind=kind, error=error, bias=bias)
            for kind, (error, bias) in INSTRUMENTS.items()
        },
    }
    return Brewery(name="shed", **{**usual, **other})


def water(key: str = "mains", alkalinity: float = 150.0, calcium: float = 70.0, **other: Any) -> Water:
    """A tap whose other ions balance its alkalinity [mg/L as CaCO3] and calcium [mg/L]; pH 7.4."""
    sodium, chloride = 20.0, 30.0
    left = 2.0 * calcium / 40.078 + sodium / 22.99 - alkalinity / 50.043 - chloride / 35.45
    told = {"calcium": calcium, "sodium": sodium, "chloride": chloride, "sulphate": max(left, 0.0) * 48.028}
    report = [ReportLine(what="ph", value=7.4)]
    report.append(ReportLine(what="alkalinity", value=alkalinity, unit="mg/L CaCO3"))
    report += [ReportLine(what=ion, value=mg, unit="mg/L") for ion, mg in told.items()]
    return Water(key=key, name=key, **{"report": tuple(report), **other})


def watered(*waters: Water, on: Brewery | None = None) -> Brewery:
    """The gear with these waters, the first of them drawn where a plan names none."""
    waters = waters or (water(),)
    return replace(on or brewery(), waters={w.key: w for w in waters}, water=waters[0].key)


def aimed(ph: float | None = 5.4, of: Plan | None = None, **liquor: Any) -> Plan:
    """A plan that aims at a mash pH, its liquor otherwise as a test wants."""
    base = of or plan()
    return replace(base, aims=replace(base.aims, mash_ph=ph), liquor=replace(base.liquor, **liquor))


def dose(of: str, amount: float, into: Any = "mash") -> Dose:
    """Grams of a salt or millilitres of an acid."""
    return Dose(of=of, kind="acid" if of.split("-")[-1].isdigit() else "salt", into=into, amount=amount)


def vessel(of: Brewery, key: str, **other: Any) -> Brewery:
    """The same brewery with one vessel changed."""
    return replace(of, vessels={**of.vessels, key: replace(of.vessels[key], **other)})


def only_fire(of: Brewery, **other: Any) -> Brewery:
    """The same brewery with one fire for both vessels."""
    fire = replace(of.heat_sources[1], **other)
    return replace(of, heat_sources=(fire,))


def pinned(of: Brewery, **levels: float) -> Brewery:
    """The same brewery with figures that hardly scatter; `retained_l_per_kg=1.08`, dots written as __."""
    house = {
        name.replace("__", "."): HouseFigure(level=level, scatter=1e-9) for name, level in levels.items()
    }
    return replace(of, house={**of.house, **house})


def latents(model: Model, draws: int = 400, seed: int = 1) -> Array:
    """Latents for all figures of a model."""
    return standard_normal_latents(draws, len(model.figures), seed)


def middling(model: Model) -> Array:
    """One draw in which every figure is at its level."""
    return standard_normal_latents(2, len(model.figures), 0)[:1] * 0.0


def brewed(a_plan: Plan, on: Brewery, draws: int = 400, seed: int = 1) -> tuple[Course, FigureDraws]:
    """The course of a plan and the figures it was run with."""
    model = Model(a_plan, on)
    rows = latents(model, draws, seed)
    return model.course(rows), model.draw(rows)
