"""Write a plan as the TOML that reads back to the same plan.

In:  a `Plan`, as a file, a solver or a remedy left it.
Out: TOML text, quantities with their unit.

Idea: every figure is written out, also those that came from a table: a version kept in the book must not
change when tables do.  What has one plain default is left out where it has that.  Decimal text is exact: the
shortest that is the very same number.
"""

from __future__ import annotations

from collections.abc import Iterator

from gylebook.brewery.ingredients import Addition, Grain, GrainTea, Hop, HopTea, Starter
from gylebook.brewery.plan import Blend, Later, Package, Plan, Portion
from gylebook.exchange.liquor_writer import dose_lines, liquor_lines
from gylebook.exchange.naming import slug
from gylebook.exchange.plan_nouns import default_keys, grain_key, is_malt, usual_keeps
from gylebook.exchange.quantities import USUAL_SLURRY_L, USUAL_STORE_C
from gylebook.exchange.tables import SHIPPED
from gylebook.exchange.toml_lines import (
    Line,
    bare_key,
    decimal,
    flag,
    kilograms_in_g,
    listed,
    maybe,
    percent,
    quantity,
    quoted,
    table,
)


def write_plan(plan: Plan) -> str:
    """TOML text that `read_plan` reads with the shipped tables as an equal plan.

    Days and doses keep nine decimals.
    """
    return "\n".join(_lines(plan)).strip() + "\n"


def _lines(plan: Plan) -> Iterator[str]:
    aims, process = plan.aims, plan.process
    yield f"name = {quoted(plan.name)}"
    if plan.bitterness_by != "trade rule":
        yield f"bitterness_by = {quoted(plan.bitterness_by)}"
    yield from table(
        "[aims]",
        ("fermenters", quantity(aims.volume_l, "L")),
        ("gravity", quantity(aims.plato, "°P")),
        ("bitterness", quantity(aims.bitterness_ibu, "IBU")),
        ("mash_ph", None if aims.mash_ph is None else quoted(decimal(aims.mash_ph))),
        ("odds", percent(aims.odds)),
    )
    yield from table(
        "[process]",
        ("kind", quoted(process.kind)),
        ("drain", quoted(process.drain)),
        ("crush", quoted(process.crush)),
        ("stirred", flag(process.stirred_rinse)),
        ("rinse_temperature", quantity(process.rinse_c, "°C")),
        ("mash_out", flag(process.mash_out)),
    )
    yield from liquor_lines(plan.liquor)
    yield from dose_lines(plan.liquor.doses)
    keys = _keys([g.key for g in plan.grist], [grain_key(g.name, SHIPPED) for g in plan.grist])
    for key, grain in zip(keys, plan.grist, strict=True):
        yield from table("[[grist]]", *_grain(key, grain))
    for rest in plan.mash:
        yield from table(
            "[[mash]]",
            ("temperature", quantity(rest.temperature_c, "°C")),
            ("time", quantity(rest.minutes, "min")),
        )
    yield from table("[boil]", ("time", quantity(plan.boil_minutes, "min")))
    keys = _keys([h.key for h in plan.hops], [slug(h.variety) for h in plan.hops])
    for key, hop in zip(keys, plan.hops, strict=True):
        yield from table("[[hops]]", *_hop(key, hop))
    keys = _keys([a.key for a in plan.additions], [slug(a.name) for a in plan.additions])
    for key, addition in zip(keys, plan.additions, strict=True):
        yield from table("[[additions]]", *_addition(key, addition))
    if plan.stand:
        yield from table(
            "[stand]",
            ("temperature", quantity(plan.stand.temperature_c, "°C")),
            ("time", quantity(plan.stand.minutes, "min")),
        )
    yield from table("[chill]", ("to", quantity(plan.chill_c, "°C")))
    for starter in plan.starters:
        yield from table(f"[starters.{bare_key(starter.key)}]", *_starter(starter))
    for portion in plan.portions:
        yield from _portion(portion)
    keys = _keys([t.key for t in plan.grain_teas], [grain_key(t.name, SHIPPED) for t in plan.grain_teas])
    for key, grain_tea in zip(keys, plan.grain_teas, strict=True):
        yield from table("[[grain_teas]]", *_grain_tea(key, grain_tea))
    keys = _keys([t.key for t in plan.hop_teas], [slug(t.variety) for t in plan.hop_teas])
    for key, hop_tea in zip(keys, plan.hop_teas, strict=True):
        yield from table("[[hop_teas]]", *_hop_tea(key, hop_tea))
    for blend in plan.blends:
        yield from _blend(blend)


def _grain(key: str | None, grain: Grain) -> list[Line]:
    return [
        ("grain", quoted(grain.name)),
        ("key", maybe(key)),
        ("share", percent(grain.share)),
        ("mass", quantity(grain.mass_kg, "kg")),
        ("kind", quoted(grain.kind)),
        ("extract", percent(grain.extract_dry)),
        ("extract_scatter", percent(grain.extract_scatter)),
        ("moisture", percent(grain.moisture)),
        ("colour", quantity(grain.colour_ebc, "EBC")),
        ("holds_more", quantity(grain.holds_more_l_per_kg, "L/kg")),
        ("sours_as", quoted(grain.sours_as)),
        ("distilled_ph", None if grain.distilled_ph is None else quoted(decimal(grain.distilled_ph))),
    ]


def _hop(key: str | None, hop: Hop) -> list[Line]:
    return [
        ("variety", quoted(hop.variety)),
        ("key", maybe(key)),
        ("alpha", percent(hop.alpha)),
        ("alpha_scatter", percent(hop.alpha_scatter)),
        ("use", quoted(hop.use)),
        ("time", quantity(hop.minutes, "d" if hop.use == "dry" else "min")),
        ("form", quoted(hop.form)),
        ("mass", kilograms_in_g(hop.mass_kg)),
        ("bitterness_share", percent(hop.bitterness_share)),
        ("portion", maybe(hop.portion)),
        *_hop_store(hop),
        ("confined", "true" if hop.confined else None),
    ]


def _hop_store(hop: Hop) -> list[Line]:
    """How it was kept; of fresh hops only what is out of the common."""
    aged = hop.age_days > 0
    keeps = aged or hop.half_year_loss != usual_keeps(hop.variety, SHIPPED)
    index = hop.storage_index
    return [
        ("age", quantity(hop.age_days, "d") if aged else None),
        ("stored_at", quantity(hop.stored_c, "°C") if hop.stored_c != USUAL_STORE_C else None),
        ("storage", quoted(hop.storage) if hop.storage != "sealed" else None),
        ("keeps", percent(hop.half_year_loss) if keeps else None),
        ("storage_index", None if index is None else decimal(index)),
    ]


def _addition(key: str | None, addition: Addition) -> list[Line]:
    return [
        ("name", quoted(addition.name)),
        ("key", maybe(key)),
        ("mass", kilograms_in_g(addition.mass_kg)),
        ("extract", percent(addition.extract)),
        ("fermentable", percent(addition.fermentable)),
        ("malt", flag(addition.malt) if addition.malt or is_malt(addition.name, SHIPPED) else None),
        ("colour", quantity(addition.colour_ebc, "EBC")),
        ("at", quoted(addition.at)),
        ("time", quantity(addition.minutes, "min")),
        ("finings", flag(addition.finings)),
    ]


def _grain_tea(key: str | None, tea: GrainTea) -> list[Line]:
    return [
        ("grain", quoted(tea.name)),
        ("key", maybe(key)),
        ("at", quoted(tea.at)),
        ("mass", kilograms_in_g(tea.mass_kg)),
        ("water", quantity(tea.water_l, "L")),
        ("hot", flag(tea.hot)),
        ("extract", percent(tea.extract_dry)),
        ("moisture", percent(tea.moisture)),
        ("colour", quantity(tea.colour_ebc, "EBC")),
    ]


def _hop_tea(key: str | None, tea: HopTea) -> list[Line]:
    return [
        ("variety", quoted(tea.variety)),
        ("key", maybe(key)),
        ("at", quoted(tea.at)),
        ("mass", kilograms_in_g(tea.mass_kg)),
        ("wort" if tea.of_wort else "water", quantity(tea.water_l, "L")),
        ("boils_off", quantity(tea.boiled_off_l or None, "L")),
        ("time", quantity(tea.minutes, "min")),
        ("alpha", percent(tea.alpha)),
        ("alpha_scatter", percent(tea.alpha_scatter)),
        ("form", quoted(tea.form)),
    ]


def _starter(starter: Starter) -> list[Line]:
    return [
        ("kind", quoted(starter.kind)),
        ("gravity", quantity(starter.plato, "°P")),
        ("volume", quantity(starter.volume_l, "L")),
        ("days_before", decimal(starter.days_before)),
        ("first_steps", listed([quantity(step, "L") for step in starter.first_steps_l])),
        ("cold_crash", "true" if starter.cold_crash else None),
        ("slurry", quantity(starter.slurry_l, "L") if starter.slurry_l != USUAL_SLURRY_L else None),
    ]


def _portion(portion: Portion) -> Iterator[str]:
    yield from table(
        f"[portions.{bare_key(portion.key)}]",
        ("name", quoted(portion.name)),
        ("fermenter", quoted(portion.fermenter)),
        ("share", percent(portion.share)),
        ("volume", quantity(portion.volume_l, "L")),
        ("top_up", quantity(portion.top_up_l, "L")),
        ("ferment_at", quantity(portion.ferment_c, "°C")),
        ("head_room", percent(portion.head_room)),
    )
    yeast = portion.yeast
    yield from table(
        f"[portions.{bare_key(portion.key)}.yeast]",
        ("kind", quoted(yeast.kind)),
        ("form", quoted(yeast.form)),
        ("packs", decimal(yeast.packs)),
        ("cells", quantity(yeast.cells_billion, "billion cells")),
        ("age", quantity(yeast.age_days, "d")),
        ("stored_at", quantity(yeast.stored_c, "°C")),
        ("starter", maybe(yeast.starter)),
        ("diastatic", flag(yeast.diastatic)),
        ("attenuation", percent(yeast.attenuation)),
        ("attenuation_scatter", percent(yeast.attenuation_scatter)),
        ("pitch", quoted(decimal(yeast.pitch_million_per_ml_plato))),
        ("lowest", quantity(yeast.low_c, "°C")),
        ("highest", quantity(yeast.high_c, "°C")),
        ("primary", quantity(yeast.days, "d")),
    )
    yield from _package(f"portions.{bare_key(portion.key)}", portion.package)
    if portion.later:
        yield from _later(portion.key, portion.later)


def _package(of: str, package: Package) -> Iterator[str]:
    volumes = package.co2_volumes
    yield from table(
        f"[{of}.package]",
        ("kind", quoted(package.kind)),
        ("co2", None if volumes is None else quoted(decimal(volumes))),
        ("bottle", quantity(package.bottle_l, "L")),
        ("after", quantity(package.after_days, "d")),
    )


def _later(key: str, later: Later) -> Iterator[str]:
    yield from table(
        f"[portions.{bare_key(key)}.later]",
        ("kind", quoted(later.kind)),
        ("after", quantity(later.after_days, "d")),
        ("months", decimal(later.months)),
        ("attenuation", percent(later.attenuation or 0.0)),
        ("attenuation_scatter", percent(later.attenuation_scatter)),
    )


def _blend(blend: Blend) -> Iterator[str]:
    parts = ", ".join(f"{bare_key(key)} = {percent(share)}" for key, share in blend.parts)
    heading = f"blends.{bare_key(blend.key)}"
    yield from table(f"[{heading}]", ("name", quoted(blend.name)), ("parts", f"{{ {parts} }}"))
    yield from _package(heading, blend.package)


def _keys(keys: list[str], usual: list[str]) -> list[str | None]:
    """Keys to write: none where reading makes the same ones again."""
    again = default_keys(usual, [None] * len(usual))
    return [None] * len(keys) if keys == again else [*keys]
