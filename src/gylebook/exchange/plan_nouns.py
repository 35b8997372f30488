"""Make a `Plan` of what a plan file says, filled up from the tables.

In:  a `PlanTable` whose every field was accepted, and the `Tables` it was accepted with.
Out: a `Plan`; `default_keys`, the short names of things that were given none.

Idea: what the brewer states wins over the table, and nothing is filled up that the flow could solve:
an open mass stays None.  A stated alpha is that of the pack, known to 10 % of itself; a stated extract
is that of the lot's own sheet, known to 0.4 points (common practice).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

from gylebook.brewery.ingredients import Addition, Grain, GrainKind, GrainTea, Hop, HopTea, Starter, Yeast
from gylebook.brewery.plan import (
    Aims,
    Blend,
    Drain,
    Later,
    MashStep,
    Package,
    Plan,
    Portion,
    Process,
    ProcessKind,
    Stand,
)
from gylebook.exchange.models_added import AdditionTable, GrainTeaTable, HopTeaTable
from gylebook.exchange.models_plan import GrainTable, HopTable, PlanTable
from gylebook.exchange.models_portion import (
    BlendTable,
    LaterTable,
    PackageTable,
    PortionTable,
    StarterTable,
    YeastTable,
)
from gylebook.exchange.naming import slug
from gylebook.exchange.quantities import DAY_MIN
from gylebook.exchange.substances import usually_sours_as
from gylebook.exchange.table_rows import YeastRow
from gylebook.exchange.tables import Tables

T = TypeVar("T")

PACK_ALPHA_SCATTER = 0.1  # of itself
LOT_EXTRACT_SCATTER = 0.004
KIND_ATTENUATION_SCATTER = 0.025
# Apparent, of yeast that makes its own glucoamylase, and its scatter; a judgement, as in the table of yeasts.
DIASTATIC_ATTENUATION = 0.93, 0.05
USUAL_FERMENT_C = 19.0
UNMALTED_HOLDS_MORE = 0.15  # L/kg, as in the table of malts
USUAL_KEEPS = 0.25  # share of alpha lost in six months where the variety's is not known
MALT_FERMENTABLE = 0.64  # real, as in the table of sugars


def plan_of(table: PlanTable, tables: Tables) -> Plan:
    """The plan that a plan file states."""
    aims, process = table.aims, table.process
    boil = table.boil.time
    grain_keys = _keys([grain_key(line.grain, tables) for line in table.grist], table.grist)
    hop_keys = _keys([slug(hop.variety) for hop in table.hops], table.hops)
    added_keys = _keys([slug(it.name) for it in table.additions], table.additions)
    grain_tea_keys = _keys([grain_key(tea.grain, tables) for tea in table.grain_teas], table.grain_teas)
    hop_tea_keys = _keys([slug(tea.variety) for tea in table.hop_teas], table.hop_teas)
    return Plan(
        name=table.name,
        aims=Aims(
            volume_l=aims.fermenters,
            plato=aims.gravity,
            bitterness_ibu=aims.bitterness,
            mash_ph=aims.mash_ph,
            odds=aims.odds,
        ),
        process=Process(
            kind=process.kind,
            drain=process.drain or usual_drain(process.kind),
            crush=process.crush,
            stirred_rinse=process.stirred,
            rinse_c=process.rinse_temperature,
            mash_out=process.mash_out,
        ),
        liquor=table.liquor.noun(table.doses),
        grist=tuple(_grain(key, line, tables) for key, line in zip(grain_keys, table.grist, strict=True)),
        mash=tuple(MashStep(temperature_c=rest.temperature, minutes=rest.time) for rest in table.mash),
        boil_minutes=boil,
        hops=tuple(_hop(key, hop, boil, tables) for key, hop in zip(hop_keys, table.hops, strict=True)),
        additions=tuple(
            _addition(key, it, tables) for key, it in zip(added_keys, table.additions, strict=True)
        ),
        stand=Stand(temperature_c=table.stand.temperature, minutes=table.stand.time) if table.stand else None,
        chill_c=table.chill.to,
        starters=tuple(_starter(key, starter) for key, starter in table.starters.items()),
        portions=tuple(_portion(key, portion, tables) for key, portion in table.portions.items()),
        grain_teas=tuple(
            _grain_tea(key, tea, tables) for key, tea in zip(grain_tea_keys, table.grain_teas, strict=True)
        ),
        hop_teas=tuple(
            _hop_tea(key, tea, tables) for key, tea in zip(hop_tea_keys, table.hop_teas, strict=True)
        ),
        blends=tuple(_blend(key, blend) for key, blend in table.blends.items()),
        bitterness_by=table.bitterness_by,
    )


def usual_drain(kind: ProcessKind) -> Drain:
    """A fly rinse needs a tun; a bag is hung where nothing else is said."""
    return "tun" if kind == "fly rinse" else "hung"


def usual_keeps(variety: str, tables: Tables) -> float:
    """Share of its alpha acids that a variety loses in six months at 20 °C in the open."""
    row = tables.hop(variety)
    return USUAL_KEEPS if row is None or row.half_year_loss is None else row.half_year_loss


def is_malt(name: str, tables: Tables) -> bool:
    """Whether the table of sugars calls it malt extract."""
    row = tables.sugar(name)
    return row is not None and row.kind == "malt extract"


def grain_key(name: str, tables: Tables) -> str:
    """Key of a grain: that of its row in the table of malts, else made of its name."""
    row = tables.grain(name)
    return row.key if row else slug(name)


def default_keys(usual: Sequence[str], stated: Sequence[str | None]) -> list[str]:
    """One key for each: the one stated, else the usual one, numbered where it is already taken."""
    taken = {key for key in stated if key is not None}
    keys: list[str] = []
    for base, given in zip(usual, stated, strict=True):
        key, count = base, 1
        while given is None and key in taken:
            count += 1
            key = f"{base}-{count}"
        keys.append(given or key)
        taken.add(keys[-1])
    return keys


def _keys(
    usual: Sequence[str],
    lines: Sequence[GrainTable | HopTable | AdditionTable | GrainTeaTable | HopTeaTable],
) -> list[str]:
    return default_keys(usual, [line.key for line in lines])


def _first(stated: T | None, usual: T | None) -> T:
    """What was stated, else what is usual; the models refuse a thing that has neither."""
    value = usual if stated is None else stated
    if value is None:
        raise ValueError("a table was accepted without a figure that its kind does not supply")
    return value


def _grain(key: str, line: GrainTable, tables: Tables) -> Grain:
    row = tables.grain(line.grain)
    kind: GrainKind = _first(line.kind, row.kind if row else None)
    scatter = line.extract_scatter
    if scatter is None:
        scatter = row.extract_scatter if row and line.extract is None else LOT_EXTRACT_SCATTER
    holds_more = line.holds_more
    if holds_more is None:
        unmalted = UNMALTED_HOLDS_MORE if kind in ("adjunct", "raw") else 0.0
        holds_more = row.holds_more_l_per_kg if row else unmalted
    return Grain(
        key=key,
        name=line.grain,
        kind=kind,
        share=line.share,
        mass_kg=line.mass,
        extract_dry=_first(line.extract, row.extract_dry if row else None),
        extract_scatter=scatter,
        moisture=_first(line.moisture, row.moisture if row else None),
        colour_ebc=_first(line.colour, row.colour_ebc if row else None),
        holds_more_l_per_kg=holds_more,
        sours_as=line.sours_as or usually_sours_as(grain_key(line.grain, tables), kind),
        distilled_ph=line.distilled_ph,
    )


def _alpha(hop: HopTable | HopTeaTable, tables: Tables) -> tuple[float, float]:
    """Alpha acids and their scatter: of the pack, else of the variety."""
    row = tables.hop(hop.variety)
    alpha = _first(hop.alpha, row.alpha if row else None)
    scatter = hop.alpha_scatter
    if scatter is None:
        scatter = row.alpha_scatter if row and hop.alpha is None else PACK_ALPHA_SCATTER * alpha
    return alpha, scatter


def _hop(key: str, hop: HopTable, boil: float, tables: Tables) -> Hop:
    alpha, scatter = _alpha(hop, tables)
    minutes = boil if hop.time is None else hop.time
    return Hop(
        key=key,
        variety=hop.variety,
        alpha=alpha,
        alpha_scatter=scatter,
        use=hop.use,
        minutes=round(minutes / DAY_MIN, 9) if hop.use == "dry" else minutes,
        form=hop.form,
        mass_kg=hop.mass,
        bitterness_share=hop.bitterness_share,
        portion=hop.portion,
        age_days=hop.age,
        stored_c=hop.stored_at,
        storage=hop.storage,
        half_year_loss=_first(hop.keeps, usual_keeps(hop.variety, tables)),
        storage_index=hop.storage_index,
        confined=hop.confined,
    )


def _addition(key: str, addition: AdditionTable, tables: Tables) -> Addition:
    row = tables.sugar(addition.name)
    malt = _first(addition.malt, is_malt(addition.name, tables))
    extract = addition.extract
    if extract is None:
        extract = row.extract if row and not addition.finings else 0.0
    fermentable = addition.fermentable
    if fermentable is None:
        usual = MALT_FERMENTABLE if malt else 0.0
        fermentable = (row.fermentable if row else usual) if extract else 0.0
    return Addition(
        key=key,
        name=addition.name,
        mass_kg=addition.mass,
        extract=extract,
        fermentable=fermentable,
        at=addition.at,
        minutes=addition.time,
        finings=addition.finings,
        malt=malt,
        colour_ebc=_first(addition.colour, row.colour_ebc if row and extract else 0.0),
    )


def _grain_tea(key: str, tea: GrainTeaTable, tables: Tables) -> GrainTea:
    row = tables.grain(tea.grain)
    return GrainTea(
        key=key,
        name=tea.grain,
        at=tea.at,
        mass_kg=tea.mass,
        water_l=tea.water,
        hot=tea.hot,
        extract_dry=_first(tea.extract, row.extract_dry if row else None),
        moisture=_first(tea.moisture, row.moisture if row else None),
        colour_ebc=_first(tea.colour, row.colour_ebc if row else None),
    )


def _hop_tea(key: str, tea: HopTeaTable, tables: Tables) -> HopTea:
    alpha, scatter = _alpha(tea, tables)
    return HopTea(
        key=key,
        variety=tea.variety,
        at=tea.at,
        mass_kg=tea.mass,
        water_l=_first(tea.water, tea.wort),
        minutes=tea.time,
        alpha=alpha,
        alpha_scatter=scatter,
        form=tea.form,
        of_wort=tea.wort is not None,
        boiled_off_l=tea.boils_off or 0.0,
    )


def _starter(key: str, starter: StarterTable) -> Starter:
    return Starter(
        key=key,
        kind=starter.kind,
        plato=starter.gravity,
        volume_l=starter.volume,
        days_before=starter.days_before,
        first_steps_l=tuple(starter.first_steps),
        cold_crash=starter.cold_crash,
        slurry_l=starter.slurry,
    )


def _portion(key: str, portion: PortionTable, tables: Tables) -> Portion:
    yeast = _yeast(portion.yeast, tables)
    suits_c = min(max(USUAL_FERMENT_C, yeast.low_c), yeast.high_c)
    return Portion(
        key=key,
        name=portion.name,
        fermenter=portion.fermenter,
        share=portion.share,
        volume_l=portion.volume,
        top_up_l=portion.top_up,
        yeast=yeast,
        ferment_c=_first(portion.ferment_at, suits_c),
        head_room=portion.head_room,
        package=_package(portion.package),
        later=_later(portion.later, tables) if portion.later else None,
    )


def _package(package: PackageTable) -> Package:
    return Package(
        kind=package.kind, co2_volumes=package.co2, bottle_l=package.bottle, after_days=package.after
    )


def _blend(key: str, blend: BlendTable) -> Blend:
    return Blend(key=key, name=blend.name, parts=tuple(blend.parts.items()), package=_package(blend.package))


def _usual_attenuation(yeast: YeastTable, row: YeastRow | None) -> tuple[float | None, float]:
    """Attenuation and scatter of a kind; one that only the brewer calls diastatic goes as far as such do."""
    if yeast.diastatic and yeast.attenuation is None and not (row and row.diastatic):
        return DIASTATIC_ATTENUATION
    return (row.attenuation, row.attenuation_scatter) if row else (None, KIND_ATTENUATION_SCATTER)


def _yeast(yeast: YeastTable, tables: Tables) -> Yeast:
    row = tables.yeast(yeast.kind)
    attenuation, scatter = _usual_attenuation(yeast, row)
    return Yeast(
        kind=yeast.kind,
        attenuation=_first(yeast.attenuation, attenuation),
        attenuation_scatter=_first(yeast.attenuation_scatter, scatter),
        pitch_million_per_ml_plato=_first(yeast.pitch, row.pitch_million_per_ml_plato if row else None),
        low_c=_first(yeast.lowest, row.low_c if row else None),
        high_c=_first(yeast.highest, row.high_c if row else None),
        days=_first(yeast.primary, row.days if row else None),
        form=yeast.form,
        packs=yeast.packs,
        cells_billion=yeast.cells,
        age_days=yeast.age,
        stored_c=yeast.stored_at,
        starter=yeast.starter,
        diastatic=_first(yeast.diastatic, row is not None and row.diastatic),
    )


def _later(later: LaterTable, tables: Tables) -> Later:
    row = tables.yeast(later.kind)
    attenuation = later.attenuation if later.attenuation is not None or row is None else row.attenuation
    usual = KIND_ATTENUATION_SCATTER if attenuation else 0.0
    return Later(
        kind=later.kind,
        after_days=later.after,
        attenuation=attenuation or None,
        attenuation_scatter=_first(later.attenuation_scatter, row.attenuation_scatter if row else usual),
        months=later.months,
    )
