"""Write a plan as the TOML that reads back to the same plan.

In:  a `Plan`, as a file, a solver or a remedy left it.
Out: TOML text, quantities with their unit.

Idea: every figure is written out, also those that came from a table: a version kept in the book must not
change when tables do.  What has one plain default is left out where it has that.  Decimal text is exact: the
shortest that is the very same number.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from decimal import Decimal

from gylebook.brewery.ingredients import Addition, Grain, GrainTea, Hop, HopTea, Starter
from gylebook.brewery.plan import Blend, Later, Package, Plan, Portion
from gylebook.exchange.naming import slug
from gylebook.exchange.plan_nouns import default_keys, grain_key, is_malt, usual_keeps
from gylebook.exchange.quantities import USUAL_SLURRY_L, USUAL_STORE_C
from gylebook.exchange.tables import SHIPPED

Line = tuple[str, str | None]


def write_plan(plan: Plan) -> str:
    """TOML text that `read_plan` reads with the shipped tables as an equal plan.  Days keep nine decimals."""
    return "\n".join(_lines(plan)).strip() + "\n"


def _lines(plan: Plan) -> Iterator[str]:
    aims, process, liquor = plan.aims, plan.process, plan.liquor
    yield f"name = {_text(plan.name)}"
    if plan.bitterness_by != "trade rule":
        yield f"bitterness_by = {_text(plan.bitterness_by)}"
    yield from _table(
        "[aims]",
        ("fermenters", _quantity(aims.volume_l, "L")),
        ("gravity", _quantity(aims.plato, "°P")),
        ("bitterness", _quantity(aims.bitterness_ibu, "IBU")),
        ("odds", _percent(aims.odds)),
    )
    yield from _table(
        "[process]",
        ("kind", _text(process.kind)),
        ("drain", _text(process.drain)),
        ("crush", _text(process.crush)),
        ("stirred", _flag(process.stirred_rinse)),
        ("rinse_temperature", _quantity(process.rinse_c, "°C")),
        ("mash_out", _flag(process.mash_out)),
    )
    yield from _table(
        "[liquor]",
        ("mash", _quantity(liquor.mash_l, "L")),
        ("rinse", _quantity(liquor.rinse_l, "L")),
        ("kettle", _quantity(liquor.kettle_l, "L")),
    )
    keys = _keys([g.key for g in plan.grist], [grain_key(g.name, SHIPPED) for g in plan.grist])
    for key, grain in zip(keys, plan.grist, strict=True):
        yield from _table("[[grist]]", *_grain(key, grain))
    for rest in plan.mash:
        yield from _table(
            "[[mash]]",
            ("temperature", _quantity(rest.temperature_c, "°C")),
            ("time", _quantity(rest.minutes, "min")),
        )
    yield from _table("[boil]", ("time", _quantity(plan.boil_minutes, "min")))
    keys = _keys([h.key for h in plan.hops], [slug(h.variety) for h in plan.hops])
    for key, hop in zip(keys, plan.hops, strict=True):
        yield from _table("[[hops]]", *_hop(key, hop))
    keys = _keys([a.key for a in plan.additions], [slug(a.name) for a in plan.additions])
    for key, addition in zip(keys, plan.additions, strict=True):
        yield from _table("[[additions]]", *_addition(key, addition))
    if plan.stand:
        yield from _table(
            "[stand]",
            ("temperature", _quantity(plan.stand.temperature_c, "°C")),
            ("time", _quantity(plan.stand.minutes, "min")),
        )
    yield from _table("[chill]", ("to", _quantity(plan.chill_c, "°C")))
    for starter in plan.starters:
        yield from _table(f"[starters.{_bare(starter.key)}]", *_starter(starter))
    for portion in plan.portions:
        yield from _portion(portion)
    keys = _keys([t.key for t in plan.grain_teas], [grain_key(t.name, SHIPPED) for t in plan.grain_teas])
    for key, grain_tea in zip(keys, plan.grain_teas, strict=True):
        yield from _table("[[grain_teas]]", *_grain_tea(key, grain_tea))
    keys = _keys([t.key for t in plan.hop_teas], [slug(t.variety) for t in plan.hop_teas])
    for key, hop_tea in zip(keys, plan.hop_teas, strict=True):
        yield from _table("[[hop_teas]]", *_hop_tea(key, hop_tea))
    for blend in plan.blends:
        yield from _blend(blend)


def _grain(key: str | None, grain: Grain) -> list[Line]:
    return [
        ("grain", _text(grain.name)),
        ("key", _maybe(key)),
        ("share", _percent(grain.share)),
        ("mass", _quantity(grain.mass_kg, "kg")),
        ("kind", _text(grain.kind)),
        ("extract", _percent(grain.extract_dry)),
        ("extract_scatter", _percent(grain.extract_scatter)),
        ("moisture", _percent(grain.moisture)),
        ("colour", _quantity(grain.colour_ebc, "EBC")),
        ("holds_more", _quantity(grain.holds_more_l_per_kg, "L/kg")),
    ]


def _hop(key: str | None, hop: Hop) -> list[Line]:
    return [
        ("variety", _text(hop.variety)),
        ("key", _maybe(key)),
        ("alpha", _percent(hop.alpha)),
        ("alpha_scatter", _percent(hop.alpha_scatter)),
        ("use", _text(hop.use)),
        ("time", _quantity(hop.minutes, "d" if hop.use == "dry" else "min")),
        ("form", _text(hop.form)),
        ("mass", _grams(hop.mass_kg)),
        ("bitterness_share", _percent(hop.bitterness_share)),
        ("portion", _maybe(hop.portion)),
        *_hop_store(hop),
        ("confined", "true" if hop.confined else None),
    ]


def _hop_store(hop: Hop) -> list[Line]:
    """How it was kept; of fresh hops only what is out of the common."""
    aged = hop.age_days > 0
    keeps = aged or hop.half_year_loss != usual_keeps(hop.variety, SHIPPED)
    index = hop.storage_index
    return [
        ("age", _quantity(hop.age_days, "d") if aged else None),
        ("stored_at", _quantity(hop.stored_c, "°C") if hop.stored_c != USUAL_STORE_C else None),
        ("storage", _text(hop.storage) if hop.storage != "sealed" else None),
        ("keeps", _percent(hop.half_year_loss) if keeps else None),
        ("storage_index", None if index is None else _number(index)),
    ]


def _addition(key: str | None, addition: Addition) -> list[Line]:
    return [
        ("name", _text(addition.name)),
        ("key", _maybe(key)),
        ("mass", _grams(addition.mass_kg)),
        ("extract", _percent(addition.extract)),
        ("fermentable", _percent(addition.fermentable)),
        ("malt", _flag(addition.malt) if addition.malt or is_malt(addition.name, SHIPPED) else None),
        ("colour", _quantity(addition.colour_ebc, "EBC")),
        ("at", _text(addition.at)),
        ("time", _quantity(addition.minutes, "min")),
        ("finings", _flag(addition.finings)),
    ]


def _grain_tea(key: str | None, tea: GrainTea) -> list[Line]:
    return [
        ("grain", _text(tea.name)),
        ("key", _maybe(key)),
        ("at", _text(tea.at)),
        ("mass", _grams(tea.mass_kg)),
        ("water", _quantity(tea.water_l, "L")),
        ("hot", _flag(tea.hot)),
        ("extract", _percent(tea.extract_dry)),
        ("moisture", _percent(tea.moisture)),
        ("colour", _quantity(tea.colour_ebc, "EBC")),
    ]


def _hop_tea(key: str | None, tea: HopTea) -> list[Line]:
    return [
        ("variety", _text(tea.variety)),
        ("key", _maybe(key)),
        ("at", _text(tea.at)),
        ("mass", _grams(tea.mass_kg)),
        ("water", _quantity(tea.water_l, "L")),
        ("time", _quantity(tea.minutes, "min")),
        ("alpha", _percent(tea.alpha)),
        ("alpha_scatter", _percent(tea.alpha_scatter)),
        ("form", _text(tea.form)),
    ]


def _starter(starter: Starter) -> list[Line]:
    return [
        ("kind", _text(starter.kind)),
        ("gravity", _quantity(starter.plato, "°P")),
        ("volume", _quantity(starter.volume_l, "L")),
        ("days_before", _number(starter.days_before)),
        ("first_steps", _list([_quantity(step, "L") for step in starter.first_steps_l])),
        ("cold_crash", "true" if starter.cold_crash else None),
        ("slurry", _quantity(starter.slurry_l, "L") if starter.slurry_l != USUAL_SLURRY_L else None),
    ]


def _portion(portion: Portion) -> Iterator[str]:
    yield from _table(
        f"[portions.{_bare(portion.key)}]",
        ("name", _text(portion.name)),
        ("fermenter", _text(portion.fermenter)),
        ("share", _percent(portion.share)),
        ("volume", _quantity(portion.volume_l, "L")),
        ("top_up", _quantity(portion.top_up_l, "L")),
        ("ferment_at", _quantity(portion.ferment_c, "°C")),
        ("head_room", _percent(portion.head_room)),
    )
    yeast = portion.yeast
    yield from _table(
        f"[portions.{_bare(portion.key)}.yeast]",
        ("kind", _text(yeast.kind)),
        ("form", _text(yeast.form)),
        ("packs", _number(yeast.packs)),
        ("cells", _quantity(yeast.cells_billion, "billion cells")),
        ("age", _quantity(yeast.age_days, "d")),
        ("stored_at", _quantity(yeast.stored_c, "°C")),
        ("starter", _maybe(yeast.starter)),
        ("diastatic", _flag(yeast.diastatic)),
        ("attenuation", _percent(yeast.attenuation)),
        ("attenuation_scatter", _percent(yeast.attenuation_scatter)),
        ("pitch", _text(_decimal(yeast.pitch_million_per_ml_plato))),
        ("lowest", _quantity(yeast.low_c, "°C")),
        ("highest", _quantity(yeast.high_c, "°C")),
        ("primary", _quantity(yeast.days, "d")),
    )
    yield from _package(f"portions.{_bare(portion.key)}", portion.package)
    if portion.later:
        yield from _later(portion.key, portion.later)


def _package(of: str, package: Package) -> Iterator[str]:
    volumes = package.co2_volumes
    yield from _table(
        f"[{of}.package]",
        ("kind", _text(package.kind)),
        ("co2", None if volumes is None else _text(_decimal(volumes))),
        ("bottle", _quantity(package.bottle_l, "L")),
        ("after", _quantity(package.after_days, "d")),
    )


def _later(key: str, later: Later) -> Iterator[str]:
    yield from _table(
        f"[portions.{_bare(key)}.later]",
        ("kind", _text(later.kind)),
        ("after", _quantity(later.after_days, "d")),
        ("months", _number(later.months)),
        ("attenuation", _percent(later.attenuation or 0.0)),
        ("attenuation_scatter", _percent(later.attenuation_scatter)),
    )


def _blend(blend: Blend) -> Iterator[str]:
    parts = ", ".join(f"{_bare(key)} = {_percent(share)}" for key, share in blend.parts)
    heading = f"blends.{_bare(blend.key)}"
    yield from _table(f"[{heading}]", ("name", _text(blend.name)), ("parts", f"{{ {parts} }}"))
    yield from _package(heading, blend.package)


def _table(heading: str, *lines: Line) -> Iterator[str]:
    yield ""
    yield heading
    for key, value in lines:
        if value is not None:
            yield f"{key} = {value}"


def _keys(keys: list[str], usual: list[str]) -> list[str | None]:
    """Keys to write: none where reading makes the same ones again."""
    again = default_keys(usual, [None] * len(usual))
    return [None] * len(keys) if keys == again else [*keys]


def _quantity(value: float | None, unit: str) -> str | None:
    return None if value is None else _text(f"{_decimal(value)} {unit}")


def _percent(value: float | None) -> str | None:
    return None if value is None else _text(f"{_decimal(value, 2)} %")


def _grams(value: float | None) -> str | None:
    return None if value is None else _text(f"{_decimal(value, 3)} g")


def _number(value: float) -> str:
    return _decimal(value)


def _decimal(value: float, shift: int = 0) -> str:
    """The shortest decimal text of a number, its point moved; without exponent and closing zeros."""
    text = format(Decimal(repr(float(value))).scaleb(shift), "f")
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in ("-0", "") else text


def _list(values: list[str | None]) -> str | None:
    return f"[{', '.join(filter(None, values))}]" if values else None


def _maybe(text: str | None) -> str | None:
    return None if text is None else _text(text)


def _flag(value: bool) -> str:
    return "true" if value else "false"


def _bare(key: str) -> str:
    """A key as it stands in a heading, quoted only where TOML asks for it."""
    return key if re.fullmatch("[A-Za-z0-9_-]+", key) else _text(key)


def _text(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)
