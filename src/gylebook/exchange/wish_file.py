"""Read a wish file.

In:  the text or bytes of a TOML wish, and the name to call the file by.
Out: `Wish`; `wish_schema`, the JSON Schema of such a file.

Idea: what a wish shares with a plan is made by the plan's own reader: each beer becomes a portion with each
yeast it may get, and teas and sugar are read as if they went into it.  A published range that a beer's own
aim names too gives way to the aim.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

from gylebook.brewery.plan import Aims, Plan, Portion
from gylebook.brewery.wish import BeerWanted, ColourGrain, Quality, Span, Wish
from gylebook.errors import Refused
from gylebook.exchange.models_added import AdditionTable, GrainTeaTable, HopTeaTable
from gylebook.exchange.models_plan import AimsTable, GrainTable, PlanTable
from gylebook.exchange.models_portion import PortionTable
from gylebook.exchange.models_wish import AIM_KEYS, BeerTable, WishTable
from gylebook.exchange.plan_nouns import plan_of
from gylebook.exchange.refusals import judge
from gylebook.exchange.schema import schema_of
from gylebook.exchange.style_table import styles_called
from gylebook.exchange.tables import SHIPPED, Tables
from gylebook.exchange.toml_text import parse
from gylebook.figures.unit_table import SPECS, Dimension, sg_from_plato

# Half of what a single aim may be missed by: what a careful brewer would call met. [SG, %, IBU, SRM]
NEAR: dict[Quality, float] = {"og": 0.002, "fg": 0.002, "abv": 0.3, "ibu": 3.0, "colour_srm": 1.5}
SRM_PER_EBC = float(
    next(unit for unit in SPECS[Dimension.COLOUR].units if unit.name == "SRM").from_base(Fraction(1))
)


def read_wish(text: str | bytes, *, where: str, tables: Tables | None = None) -> Wish:
    """The wish that a TOML text states, its names looked up in `tables`, else in those that ship.

    Raises
    ------
    Refused
        With every fault found: file, line and key, the value as understood, what would be accepted.
    """
    parsed = parse(text, where=where)
    table, problems = judge(WishTable, parsed, context=tables)
    if table is None or problems:
        raise Refused(problems)
    return _wish(table, tables or SHIPPED)


def wish_schema() -> dict[str, Any]:
    """JSON Schema of a wish file, with a description of each key."""
    return schema_of(WishTable, "gylebook wish")


def _wish(table: WishTable, tables: Tables) -> Wish:
    whole = plan_of(_as_plan(table), tables)
    base_grist = whole.grist[: len(table.grist)]
    dark = whole.grist[len(table.grist) :]
    own = len(table.additions)
    base = replace(
        whole,
        aims=Aims(mash_ph=table.mash_ph, odds=table.odds),
        grist=base_grist,
        additions=whole.additions[:own],
        hop_teas=(),
        grain_teas=(),
        portions=(),
    )
    return Wish(
        base=base,
        beers=tuple(_beer(key, beer, whole) for key, beer in table.beers.items()),
        colour_grains=tuple(
            ColourGrain(grain=replace(grain, share=None), most=line.at_most)
            for grain, line in zip(dark, table.colour_grains, strict=True)
        ),
        hop_tea=whole.hop_teas[0] if table.hop_tea else None,
        grain_tea=whole.grain_teas[0] if table.grain_tea else None,
        sugar=whole.additions[own] if table.sugar else None,
        ageing=_portion(whole, _name(next(iter(table.beers)), 0, aged=True)).later if table.ageing else None,
    )


def _beer(key: str, beer: BeerTable, whole: Plan) -> BeerWanted:
    row = styles_called(beer.style)[0] if beer.style else None
    aims: dict[Quality, Span] = dict(row.ranges) if row else {}
    for quality, name in AIM_KEYS.items():
        given = getattr(beer, name)
        if given is not None:
            aims[quality] = _span(quality, given)
    ways = [portion for portion in whole.portions if portion.key.startswith(f"{key}/")]
    return BeerWanted(
        key=key,
        name=beer.name,
        aims=aims,
        may=tuple(dict.fromkeys(beer.may)),
        ways=tuple(replace(portion, key=key) for portion in ways),
        volume_l=beer.volume,
        style=row.code if row else "",
    )


def _span(quality: Quality, given: list[float]) -> Span:
    """From and to in the unit of the quality; a single aim may be missed by a little either way."""
    in_unit = [_in_unit(quality, value) for value in given]
    if len(in_unit) == 2 and in_unit[0] < in_unit[1]:
        return in_unit[0], in_unit[1]
    return in_unit[0] - NEAR[quality], in_unit[0] + NEAR[quality]


def _in_unit(quality: Quality, value: float) -> float:
    match quality:
        case "og" | "fg":
            return float(sg_from_plato(Fraction(value)))
        case "abv":
            return 100.0 * value
        case "colour_srm":
            return value * SRM_PER_EBC
        case _:
            return value


def _as_plan(table: WishTable) -> PlanTable:
    """The wish as if it were a plan: every beer with every yeast, every tea and sugar once."""
    portions = {}
    for key, beer in table.beers.items():
        wanted = [yeast for yeast in table.yeasts if not beer.yeasts or yeast.kind in beer.yeasts]
        for number, yeast in enumerate(wanted):
            portions[_name(key, number)] = PortionTable.model_construct(
                name=beer.name,
                fermenter=beer.fermenter,
                share=None,
                volume=None,
                top_up=0.0,
                ferment_at=beer.ferment_at,
                head_room=beer.head_room,
                yeast=yeast,
                package=beer.package,
                later=beer.later,
            )
    first = next(iter(table.beers))
    if table.ageing is not None:
        portions[_name(first, 0, aged=True)] = portions[_name(first, 0)].model_copy(
            update={"later": table.ageing}
        )
    sugar, steeped, boiled = [], [], []
    if table.sugar is not None:
        bare = dict.fromkeys(("key", "extract", "fermentable", "malt", "colour"))
        sugar.append(
            AdditionTable.model_construct(
                **bare, name=table.sugar.name, mass=table.sugar.mass, at="boil", time=0.0, finings=False
            )
        )
    if table.grain_tea is not None:
        steeped.append(GrainTeaTable.model_construct(at="", **dict(table.grain_tea)))
    if table.hop_tea is not None:
        boiled.append(HopTeaTable.model_construct(at="", **dict(table.hop_tea)))
    dark = [GrainTable.model_construct(**_bare(line.grain)) for line in table.colour_grains]
    return PlanTable.model_construct(
        name=table.name,
        bitterness_by=table.bitterness_by,
        aims=AimsTable(odds="90 %"),  # type: ignore[arg-type]
        process=table.process,
        liquor=table.liquor,
        doses=[],
        grist=[*table.grist, *dark],
        mash=table.mash,
        boil=table.boil,
        hops=table.hops,
        additions=[*table.additions, *sugar],
        stand=table.stand,
        chill=table.chill,
        starters={},
        portions=portions,
        grain_teas=steeped,
        hop_teas=boiled,
        blends={},
    )


def _bare(grain: str) -> dict[str, Any]:
    stated = ("key", "share", "mass", "extract", "extract_scatter", "moisture", "colour", "holds_more")
    return {"grain": grain, **dict.fromkeys((*stated, "kind", "sours_as", "distilled_ph"))}


def _name(beer: str, number: int, *, aged: bool = False) -> str:
    return f"aged {beer}" if aged else f"{beer}/{number}"


def _portion(plan: Plan, key: str) -> Portion:
    return next(portion for portion in plan.portions if portion.key == key)
