"""Lend the tests a kettle of 60 L and a pot of 38 L, for which largest batches were worked out elsewhere.

`as_worked` pins the figures of those worked cases; `big_shed` leaves them their usual spread.
"""

from __future__ import annotations

from typing import Any

from example_gyles import brewery, grain, pinned, plan, portion, yeast
from gylebook.brewery.gear import Bag, Chiller, Fermenter, HeatSource
from gylebook.brewery.plan import Aims, Liquor, MashStep, Plan, ProcessKind
from gylebook.brewery.site import Brewery

PLATO = 14.04  # 1.057


def asked(
    kind: ProcessKind = "dunk rinse", volume_l: float = 60.0, odds: float = 0.5, plato: float = PLATO
) -> Plan:
    """A beer of pale malt alone, in one big fermenter, with grain and liquor left open."""
    return plan(
        kind,
        aims=Aims(volume_l=volume_l, plato=plato, odds=odds),
        liquor=Liquor(),
        grist=(grain(mass_kg=None, share=1.0, extract_dry=0.80, extract_scatter=1e-6, moisture=0.045),),
        mash=(MashStep(temperature_c=67.0, minutes=60.0),),
        hops=(),
        portions=(portion("one", 1.0, yeast=yeast(packs=20.0)),),
    )


def big_shed(**other: Any) -> Brewery:
    """A kettle of 60 L and a pot of 38 L, where nothing but their brims can be in the way."""
    usual = {
        "foam_room": 0.10,
        "stir_room": 0.05,
        "patience_heat_min": 1e4,
        "patience_cool_min": 1e4,
        "bag": Bag(mass_kg=0.3, hoist_kg=900.0),
        "chiller": Chiller(kind="coil", area_m2=1.0, displaces_l=0.0),
        "heat_sources": (
            HeatSource(key="fire", name="fire", kind="element", power_kw=20.0, vessels=("kettle", "pot")),
        ),
        "fermenters": {"one": Fermenter(key="one", name="one", capacity_l=500.0)},
    }
    return brewery(**{**usual, **other})


def as_worked(**other: float) -> Brewery:
    """The worked case's figures: boil-off 4.5 L, losses 3 L, a dunk that mixes wholly."""
    figures = {
        "conversion": 0.93,
        "retained_l_per_kg": 1.08,
        "mash__displacement_l_per_kg": 0.67,
        "moisture_shift": 0.0,
        "mash__temperature_slip_c": 0.0,
        "rinse__mixing": 0.9999,
        "boil_off_l_per_h": 4.5,
        "kettle__left_l": 3.0,
        "walls_l": 1e-6,
        "trub_l_per_kg": 1e-6,
    }
    return pinned(big_shed(), **{**figures, **other})
