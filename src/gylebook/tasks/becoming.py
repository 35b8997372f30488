"""Say what else the wort of a plan could become.

In:  an `Outlook`, the portion in question, own tables.
Out: `BecomingView`s, those within reach first.

Idea: every kind of yeast of the table is tried, and what most brewers have in the house: sugar, a tea of
hops, a tea of roasted grain, liquor, and long ageing with Brettanomyces.  Numbers alone are compared; whether
the yeast, the malt and the hops suit is for the brewer to say.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from gylebook.brewery.ingredients import Addition, GrainTea, HopTea, Yeast
from gylebook.brewery.plan import Later, Plan, Portion
from gylebook.brewery.wish import TREATMENTS, BeerWanted, Quality, Wish
from gylebook.decide.becomes import Aim, Becoming, becomes
from gylebook.errors import Problem, Refused
from gylebook.exchange.references import unknown
from gylebook.exchange.style_table import StyleRow, styles
from gylebook.exchange.tables import SHIPPED, Tables
from gylebook.tasks.division_views import BecomingView, becoming_view
from gylebook.tasks.outlook import Outlook

MOST_SHOWN = 24
FEW = 500  # draws for each style's odds
HOP_TEA_G_PER_L, HOP_TEA_L_PER_L = 4.0, 0.10  # the most hops a litre of beer, and their water; judgement
GRAIN_TEA_KG_PER_L, GRAIN_TEA_L_PER_L = 0.03, 0.12
SUGAR_KG_PER_L = 0.035
# A range that is wider is none to aim at. [SG, IBU, SRM]
WIDEST: dict[Quality, float] = {"og": 0.035, "ibu": 50.0, "colour_srm": 40.0}
USUAL_ALPHA = "Perle"  # a hop of middling strength, where the plan has none
FRESH = {"form": "dry", "packs": 1.0, "cells_billion": 200.0, "age_days": 60.0}
AGED_AFTER_DAYS, AGED_MONTHS = 21.0, 6.0
EARLIER_BREW = ("Brettanomyces",)  # kinds that are added later and start no beer here


def what_it_becomes(
    outlook: Outlook,
    portion: str | None = None,
    *,
    most: int = MOST_SHOWN,
    tables: Tables = SHIPPED,
    only: Sequence[StyleRow] | None = None,
) -> tuple[BecomingView, ...]:
    """The styles nearest to what a portion of this wort could be, best odds first."""
    keys = [one.key for one in outlook.plan.portions]
    if portion is not None and portion not in keys:
        raise Refused((Problem("portion", *unknown(portion, keys, "portion")),))
    key = portion or keys[0]
    aims = [
        Aim(code=row.code, name=row.name, aims=row.ranges)
        for row in (only if only is not None else styles())
        if row.complete and (only is not None or _says_something(row))
    ]
    found: Sequence[Becoming] = becomes(
        _wish(outlook, key, tables),
        outlook.model,
        aims,
        draws=min(FEW, len(outlook.prior)),
        seed=outlook.seed,
        most=most,
    )
    return tuple(becoming_view(one) for one in found)


def _says_something(row: StyleRow) -> bool:
    """Whether the ranges are narrow enough to be aimed at; some guidelines let nearly any beer in."""
    return all(
        (high or 0.0) - (low or 0.0) <= WIDEST[quality]
        for quality, (low, high) in row.ranges.items()
        if quality in WIDEST
    )


def _wish(outlook: Outlook, key: str, tables: Tables) -> Wish:
    """The portion's wort with every yeast, and what may be poured into it."""
    plan: Plan = outlook.plan
    portion = next(one for one in plan.portions if one.key == key)
    litres = float(np.median(outlook.draws[f"portion.{key}.volume_l"])) - portion.top_up_l
    whole = sum(grain.mass_kg or 0.0 for grain in plan.grist)
    grist = tuple(replace(g, share=(g.mass_kg or 0.0) / whole, mass_kg=None) for g in plan.grist)
    bare = replace(
        plan,
        portions=(),
        grist=grist,
        hops=tuple(hop for hop in plan.hops if hop.portion is None),
        additions=tuple(it for it in plan.additions if it.at in ("boil", "kettle end")),
        hop_teas=(),
        grain_teas=(),
        blends=(),
    )
    beer = BeerWanted(
        key=key,
        name=portion.name,
        aims={},
        may=TREATMENTS,
        ways=tuple(_ways(portion, tables)),
        volume_l=litres,
    )
    return Wish(
        base=bare,
        beers=(beer,),
        hop_tea=_hop_tea(plan, key, litres, tables),
        grain_tea=_grain_tea(key, litres, tables),
        sugar=_sugar(key, litres, tables),
        ageing=_ageing(tables),
    )


def _ways(portion: Portion, tables: Tables) -> list[Portion]:
    """The portion with each yeast that begins a beer."""
    out = []
    for row in tables.rows("yeasts"):
        yeast = tables.yeast(row.key)
        if yeast is None or yeast.attenuation is None or yeast.pitch_million_per_ml_plato is None:
            continue
        if yeast.name.startswith(EARLIER_BREW) and "secondary" in yeast.name:
            continue
        made = Yeast(
            kind=yeast.name,
            attenuation=yeast.attenuation,
            attenuation_scatter=yeast.attenuation_scatter,
            pitch_million_per_ml_plato=yeast.pitch_million_per_ml_plato,
            low_c=yeast.low_c,
            high_c=yeast.high_c,
            days=yeast.days,
            diastatic=yeast.diastatic,
            **FRESH,  # type: ignore[arg-type]
        )
        at_c = min(max(portion.ferment_c, yeast.low_c), yeast.high_c)
        out.append(replace(portion, yeast=made, ferment_c=at_c, later=None, top_up_l=0.0))
    return out


def _hop_tea(plan: Plan, key: str, litres: float, tables: Tables) -> HopTea | None:
    """A tea of the plan's strongest hop, or of a usual one."""
    known = max(plan.hops, key=lambda hop: hop.alpha, default=None)
    row = tables.hop(USUAL_ALPHA)
    if known is not None:
        variety, alpha, scatter = known.variety, known.alpha, known.alpha_scatter
    elif row is not None:
        variety, alpha, scatter = row.name, row.alpha, row.alpha_scatter
    else:
        return None
    return HopTea(
        key="tea",
        variety=variety,
        at=key,
        mass_kg=HOP_TEA_G_PER_L * litres / 1000.0,
        water_l=HOP_TEA_L_PER_L * litres,
        minutes=30.0,
        alpha=alpha,
        alpha_scatter=scatter,
    )


def _grain_tea(key: str, litres: float, tables: Tables) -> GrainTea | None:
    row = tables.grain("roasted barley")
    if row is None:
        return None
    return GrainTea(
        key="steeped",
        name=row.name,
        at=key,
        mass_kg=GRAIN_TEA_KG_PER_L * litres,
        water_l=GRAIN_TEA_L_PER_L * litres,
        extract_dry=row.extract_dry,
        moisture=row.moisture,
        colour_ebc=row.colour_ebc,
    )


def _sugar(key: str, litres: float, tables: Tables) -> Addition | None:
    row = tables.sugar("table sugar")
    if row is None:
        return None
    return Addition(
        key="sugar",
        name=row.name,
        mass_kg=SUGAR_KG_PER_L * litres,
        extract=row.extract,
        fermentable=row.fermentable,
        at=key,
    )


def _ageing(tables: Tables) -> Later | None:
    row = tables.yeast("Brettanomyces secondary")
    if row is None:
        return None
    return Later(
        kind=row.name,
        after_days=AGED_AFTER_DAYS,
        attenuation=row.attenuation,
        attenuation_scatter=row.attenuation_scatter,
        months=AGED_MONTHS,
    )
