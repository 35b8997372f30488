"""Describe what goes into a gyle: grain, hops, sugars, yeast.

In:  what the plan says, filled up from the tables that ship with the program.
Out: frozen records in base units (kg, shares 0..1, °C, EBC, billions of cells).

Idea: an amount that the plan leaves open is None and is solved for; a property that nobody stated was
already filled from a table at the border, so that the flow never guesses.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

GrainKind = Literal["base", "caramel", "roast", "adjunct", "malted", "raw"]
HopUse = Literal["first wort", "boil", "stand", "dry"]
HopForm = Literal["pellets", "whole"]
HopStorage = Literal["open", "wrapped", "sealed"]
YeastForm = Literal["liquid", "dry", "slurry"]
StarterKind = Literal["none", "still", "shaken", "stirred"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Grain:
    """One line of the grist; `share` and `mass_kg` are alternatives, one of them is given.

    `extract_dry` is the fine-grind potential on dry matter and `extract_scatter` what a lot may differ
    by; `holds_more_l_per_kg` is what flaked or raw grain retains beyond barley malt.  `sours_as` is the kind
    of malt whose acid and buffering it has, `distilled_ph` its own pH mashed in distilled water, if measured.
    """

    key: str
    name: str
    kind: GrainKind
    share: float | None = None
    mass_kg: float | None = None
    extract_dry: float
    extract_scatter: float
    moisture: float
    colour_ebc: float
    holds_more_l_per_kg: float = 0.0
    sours_as: str = "pale"
    distilled_ph: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Hop:
    """One hop addition; `bitterness_share` is its part of the aimed bitterness where the mass is open.

    `minutes` is boil left at the addition, or the length of the stand, or days in the fermenter for "dry".
    `alpha` is what the label said when it was packed; since then it was kept `age_days` at `stored_c`,
    and a variety that keeps so would lose `half_year_loss` of it in six months at 20 °C in the open.  A
    measured `storage_index` settles what is left instead.  `confined` hops boil in a tight bag.
    """

    key: str
    variety: str
    alpha: float
    alpha_scatter: float
    use: HopUse
    minutes: float
    form: HopForm = "pellets"
    mass_kg: float | None = None
    bitterness_share: float | None = None
    portion: str | None = None
    age_days: float = 0.0
    stored_c: float = 4.0
    storage: HopStorage = "sealed"
    half_year_loss: float = 0.25
    storage_index: float | None = None
    confined: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Addition:
    """Sugar, extract or anything else by mass; `at` is "boil", "kettle end" or a portion's key.

    `extract` is the share of its mass that dissolves as extract, `fermentable` the real share of that
    which yeast can take; finings and spices have no extract and only stand in the running order.  What is
    `malt` (malt extract) attenuates as far as a mash would let it, not by a share of its own.
    """

    key: str
    name: str
    mass_kg: float
    extract: float = 0.0
    fermentable: float = 0.0
    at: str = "boil"
    minutes: float = 0.0
    finings: bool = False
    malt: bool = False
    colour_ebc: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class GrainTea:
    """Grain steeped by itself in `water_l`, hot or cold; what runs off it goes into the portion `at`."""

    key: str
    name: str
    at: str
    mass_kg: float
    water_l: float
    hot: bool = True
    extract_dry: float
    moisture: float
    colour_ebc: float


@dataclass(frozen=True, slots=True, kw_only=True)
class HopTea:
    """Hops boiled by themselves in `water_l` for `minutes`, and poured into the portion `at`.

    `of_wort` tells that it is no water but the portion's own wort, of which `boiled_off_l` goes as steam.
    """

    key: str
    variety: str
    at: str
    mass_kg: float
    water_l: float
    minutes: float
    alpha: float
    alpha_scatter: float
    form: HopForm = "pellets"
    of_wort: bool = False
    boiled_off_l: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Yeast:
    """The yeast of one portion, as a kind with its spread, and what is in hand of it.

    `cells_billion` is what was packed when new, per pack; `age_days` and `stored_c` tell what is left.
    Portions that name the same `starter` share it by need.  What is `diastatic` takes dextrins too, so that
    the mash sets no limit to it.
    """

    kind: str
    attenuation: float
    attenuation_scatter: float
    pitch_million_per_ml_plato: float
    low_c: float
    high_c: float
    days: float
    form: YeastForm = "liquid"
    packs: float = 1.0
    cells_billion: float = 150.0
    age_days: float = 30.0
    stored_c: float = 4.0
    starter: str | None = None
    diastatic: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Starter:
    """A yeast starter that one or more portions share; `volume_l` of wort at `plato`, or solved for.

    `first_steps_l` are the worts of the steps before, each added to what has grown.  With `cold_crash` it is
    settled cold and its beer poured off, so that `slurry_l` is shared out instead of the whole.
    """

    key: str
    kind: StarterKind
    plato: float = 9.0
    volume_l: float | None = None
    days_before: float = 2.0
    first_steps_l: tuple[float, ...] = ()
    cold_crash: bool = False
    slurry_l: float = 0.15
