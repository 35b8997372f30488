"""Declare every uncertain figure of a gyle, with its published level and spread.

In:  a plan and a brewery.
Out: the figures of that gyle in a fixed order, the brewery's own levels put in by name.

Idea: a figure is declared once, here; column k of the latents is figure k.  The order depends on the
grist, the hops, the portions and the instruments, never on amounts, so that a remedy or a solver may
change every amount and still compare like with like.  Nothing here draws or runs.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import get_args

from gylebook.brewery.gear import Chiller, HeatSource, KnownCooling, Vessel
from gylebook.brewery.plan import Plan, ProcessKind
from gylebook.brewery.site import Brewery, HouseFigure
from gylebook.figures.figure import Figure, Transform
from gylebook.gyle.liquor_figures import liquor_figures, mash_figures
from gylebook.process.boil import boil_off_rate
from gylebook.process.carbonation import KEPT_FRESH
from gylebook.process.dry_hop import ADSORBED_PER_G, TEA_KEPT
from gylebook.process.heat import NET_SHARE
from gylebook.process.hop_age import RATE_SCATTER
from gylebook.process.isomerisation import K1_SCATTER, K2_SCATTER
from gylebook.process.rinse import retained_from_absorption

# (level, scatter) by how the malt is crushed; hot-side trade judgement.
CONVERSION = {"fine": (0.93, 0.04), "ordinary": (0.88, 0.05), "coarse": (0.82, 0.06)}
# Wort really held by the grain, litres at 20 °C a kilogram, by how it is drained.
RETAINED = {"pressed": (0.83, 0.12), "hung": (1.08, 0.15), "briefly hung": (1.35, 0.20), "tun": (1.48, 0.15)}
TEA_COLOUR = (0.7, 0.2)  # of what the laboratory mash would draw
# A rolling boil is kept, not the full power of a strong burner: litres at 20 °C an hour.
ROLLING_BOIL_L_PER_H = 5.5


def figures_of(plan: Plan, brewery: Brewery) -> tuple[Figure, ...]:
    """Every figure of this gyle; the brewery's own house figures replace the published ones by name."""
    return tuple(_with_house(_published(plan, brewery), plan, brewery))


def published_figures(plan: Plan, brewery: Brewery) -> tuple[Figure, ...]:
    """The same figures as published, before the brewery's own levels are put in."""
    return tuple(_published(plan, brewery))


def unknown_house_figures(plan: Plan, brewery: Brewery) -> tuple[str, ...]:
    """House figures of the brewery file that no gyle could answer to.

    Another process, chiller, grist or set of portions may well: what belongs to those is known by its family.
    """
    known = {figure.name for figure in (*_published(plan, brewery), *_mash(plan, brewery))} | {ABSORPTION}
    for kind in get_args(ProcessKind):
        known |= {f.name for f in _rinse(replace(plan, process=replace(plan.process, kind=kind)))}
    for chiller in ANY_CHILLER:
        known |= {f.name for f in _heat_and_cold(replace(brewery, chiller=chiller))}
    return tuple(name for name in brewery.house if name not in known and not OF_A_PLAN.fullmatch(name))


ABSORPTION = "absorption_l_per_kg"  # a brewer's own way to state what the grain keeps; either is accepted
ANY_CHILLER = (
    Chiller(kind="coil", area_m2=0.5),
    Chiller(kind="coil", known=KnownCooling(volume_l=20.0, to_c=20.0, minutes=30.0)),
)
# Figures of a grain, hop, starter or portion that this plan may lack and the next one has.
OF_A_PLAN = re.compile(
    r"grist\..+\.(extract|distilled_ph|acidity|buffering)|hops\..+\.(alpha|ageing)|teas\..+\.alpha|bitterness\.k[12]|tea\..+|dry_hop\..+|starter\..+\.growth"
    r"|portion\..+\.(share_slip|attenuation|cells|later_attenuation)"
    r"|water\..+\.(strength|alkalinity|passed)|acid\..+\.strength|salt\..+\.acting"
    r"|mash\.(ph|ph_shift|ph_per_k|calcium_divisor|magnesium_divisor|carbonate_kept)"
)


def _published(plan: Plan, brewery: Brewery) -> Iterator[Figure]:
    if plan.grist:
        yield from _mash(plan, brewery)
    yield from _kettle(plan, brewery)
    yield from _heat_and_cold(brewery)
    for grain in plan.grist:
        yield _figure(
            f"grist.{grain.key}.extract",
            "share",
            grain.extract_dry,
            grain.extract_scatter,
            "none",
            "trade-ranges",
        )
    for hop in plan.hops:
        yield _figure(f"hops.{hop.key}.alpha", "share", hop.alpha, hop.alpha_scatter, "log", "trade-ranges")
        if hop.age_days > 0.0 and hop.storage_index is None:
            yield _figure(f"hops.{hop.key}.ageing", "factor", 1.0, RATE_SCATTER, "log", "garetz-1994")
    for starter in plan.starters:
        yield _figure(f"starter.{starter.key}.growth", "factor", 1.0, 0.405, "log", "starter-growth")
    for portion in plan.portions:
        yield from _portion(portion.key, plan)
    for instrument in brewery.instruments.values():
        if instrument.kind == "tally":  # whoever counts makes slips, and no bias
            continue
        yield _figure(
            f"instrument.{instrument.key}.bias", "as shown", 0.0, instrument.bias, "none", "brewery-file"
        )
    yield _figure("refractometer.factor", "Brix per °P", 1.04, 0.015, "none", "iso-1743")
    yield _figure("gas.kept_shift", "share", 0.0, KEPT_FRESH.scatter, "none", "judgement")
    yield from liquor_figures(plan, brewery)
    if plan.grist:
        yield from _rinse(plan)
    yield from _treatments(plan)
    if plan.bitterness_by == "kinetics":
        yield _figure("bitterness.k1", "factor", 1.0, K1_SCATTER, "log", "malowicki-2005")
        yield _figure("bitterness.k2", "factor", 1.0, K2_SCATTER, "log", "malowicki-2005")


def _treatments(plan: Plan) -> Iterator[Figure]:
    """What makes portions differ: behind all that they share, so that a plan with a tea shares it too."""
    if plan.grain_teas:
        yield _figure("tea.colour_yield", "share", *TEA_COLOUR, "logit", "common-practice")
        yield _figure("tea.extract_yield", "factor", 1.0, 0.2, "log", "common-practice")
    for tea in plan.hop_teas:
        yield _figure(f"teas.{tea.key}.alpha", "share", tea.alpha, tea.alpha_scatter, "log", "trade-ranges")
    if plan.hop_teas:
        yield _figure("tea.iso_kept", "share", *TEA_KEPT, "logit", "judgement")
    if any(hop.use == "dry" for hop in plan.hops):
        yield _figure("dry_hop.adsorbed_per_g", "share per g/L", *ADSORBED_PER_G, "log", "common-practice")


def _mash(plan: Plan, brewery: Brewery) -> Iterator[Figure]:
    process = plan.process
    level, scatter = CONVERSION[process.crush]
    if process.mash_out:
        level, scatter = min(level + 0.02, 0.98), (scatter**2 + 0.015**2) ** 0.5
    yield _figure("conversion", "share", level, scatter, "logit", "judgement")
    yield _figure("moisture_shift", "share", 0.0, 0.006, "none", "trade-ranges")
    yield _figure("mash.temperature_slip_c", "°C", 0.0, 0.6, "none", "judgement")
    yield _figure("mash.displacement_l_per_kg", "L/kg", 0.67, 0.03, "none", "grain-displacement")
    level, scatter = RETAINED[process.drain]
    yield _figure("retained_l_per_kg", "L/kg", level, scatter, "log", "retained-wort")
    yield _figure("lift_kg_per_kg", "kg/kg", 2.1, 0.18, "log", "judgement")
    yield from mash_figures(plan, brewery)


def _rinse(plan: Plan) -> Iterator[Figure]:
    """How well the rinse does its work: last of all, so that ways of rinsing share every other draw."""
    process = plan.process
    if process.kind == "dunk rinse":
        level, scatter = (0.92, 0.06) if process.stirred_rinse else (0.75, 0.12)
        yield _figure("rinse.mixing", "share", level, scatter, "logit", "judgement")
    elif process.kind == "poured rinse":
        yield _figure("rinse.bypass", "share", 0.4, 0.13, "logit", "judgement")
    elif process.kind == "fly rinse":
        yield _figure("rinse.bypass", "share", 0.08, 0.05, "logit", "judgement")


def _kettle(plan: Plan, brewery: Brewery) -> Iterator[Figure]:
    yield _boil_off(heat_source_of(brewery, brewery.kettle))
    fined = any(addition.finings for addition in plan.additions)
    yield _figure("trub_l_per_kg", "L/kg", 0.4 if fined else 0.2, 0.1, "log", "common-practice")
    whole = sum(1 for hop in plan.hops if hop.form == "whole") * 2 > len(plan.hops)
    level, scatter = (5.0, 1.5) if whole else (6.0, 2.5)
    yield _figure("hop_retention_l_per_kg", "L/kg", level, scatter, "log", "common-practice")
    known = brewery.vessels[brewery.kettle].dead_volume_l
    level, scatter = (0.7, 0.4) if known is None else (max(known, 0.05), max(0.1 * known, 0.05))
    yield _figure("kettle.left_l", "L", level, scatter, "log", "common-practice")
    yield _figure("walls_l", "L", 0.2, 0.1, "log", "common-practice")
    yield _figure("bitterness.yield", "factor", 1.0, 0.25, "log", "jacobsen-hage-1989")
    if plan.grist or any(addition.colour_ebc for addition in plan.additions):
        yield _figure("colour.factor", "factor", 1.0, 0.17, "log", "judgement")
    yield _figure("attenuation.limit_shift", "share", 0.0, 0.04, "none", "chandrasekhar-mash")
    yield _figure("alcohol.yield", "factor", 1.0, 0.025, "none", "cutaia-2009")
    yield _figure("fermenter.sediment", "L/L", 0.03, 0.015, "log", "common-practice")
    yield _figure("package.loss_l", "L", 0.2, 0.1, "log", "common-practice")


def _boil_off(source: HeatSource) -> Figure:
    """Boil-off from the power that reaches the wort, as far as a brewer lets it: 1 kW boils 1.6 L/h."""
    share, _ = net_share(source)
    by_power = float(boil_off_rate(source.power_kw * share, 0.6))
    level = min(max(by_power, 1.5), ROLLING_BOIL_L_PER_H)
    scatter = 1.5 if source.kind in ("gas", "sheltered gas") else 0.8
    return _figure("boil_off_l_per_h", "L/h", level, scatter, "log", "judgement")


def _heat_and_cold(brewery: Brewery) -> Iterator[Figure]:
    for source in brewery.heat_sources:
        level, scatter = net_share(source)
        yield _figure(f"heat.{source.key}.net_share", "share", level, scatter, "logit", "burner-tests")
    yield _figure("heat.loss_factor", "factor", 1.0, 0.25, "log", "churchill-chu-1975")
    chiller = brewery.chiller
    if chiller.known is not None:
        yield _figure("chill.time_factor", "factor", 1.0, 0.12, "log", "judgement")
    elif chiller.kind != "none":
        level, scatter = (700.0, 150.0) if chiller.stirred else (280.0, 80.0)
        yield _figure("chill.u_w_per_m2_k", "W/(m²·K)", level, scatter, "log", "kern-1950")


def _portion(key: str, plan: Plan) -> Iterator[Figure]:
    portion = next(p for p in plan.portions if p.key == key)
    yeast = portion.yeast
    yield _figure(f"portion.{key}.share_slip", "share", 0.0, 0.02, "none", "judgement")
    yield _figure(
        f"portion.{key}.attenuation",
        "share",
        yeast.attenuation,
        yeast.attenuation_scatter,
        "logit",
        "yeast-kinds",
    )
    yield _figure(f"portion.{key}.cells", "factor", 1.0, 0.2, "log", "common-practice")
    later = portion.later
    if later is not None and later.attenuation is not None:
        yield _figure(
            f"portion.{key}.later_attenuation",
            "share",
            min(later.attenuation, 0.99),
            later.attenuation_scatter,
            "logit",
            "brettanomyces-succession",
        )


def heat_source_of(brewery: Brewery, vessel: str) -> HeatSource:
    """The strongest source that may heat a vessel."""
    able = [source for source in brewery.heat_sources if vessel in source.vessels]
    if not able:
        raise ValueError(f"nothing in {brewery.name} heats the vessel {vessel}")
    return max(able, key=lambda source: source.power_kw)


def mash_vessel_of(plan: Plan, brewery: Brewery) -> Vessel:
    """What the grain is mashed in: the tun where the process drains one, else the kettle."""
    tun = brewery.tun if plan.process.drain == "tun" else None
    return brewery.vessels[tun or brewery.kettle]


def net_share(source: HeatSource) -> tuple[float, float]:
    """(level, scatter) of the share of gross power that reaches the liquid; the brewer's own if stated."""
    level, scatter = NET_SHARE[source.kind]
    return (level, scatter) if source.efficiency is None else (min(source.efficiency, 0.995), scatter)


def _figure(name: str, unit: str, level: float, scatter: float, transform: Transform, source: str) -> Figure:
    return Figure(name=name, unit=unit, level=level, scatter=scatter, transform=transform, source=source)


def _with_house(figures: Iterable[Figure], plan: Plan, brewery: Brewery) -> Iterator[Figure]:
    for figure in figures:
        own = brewery.house.get(figure.name)
        if own is None and figure.name == "retained_l_per_kg" and ABSORPTION in brewery.house:
            own = _retained(plan, brewery.house[ABSORPTION])
        yield (
            figure
            if own is None
            else replace(figure, level=own.level, scatter=own.scatter, source="brewery-file")
        )


def _retained(plan: Plan, absorption: HouseFigure) -> HouseFigure:
    """Wort really held, from a brewer's absorption: the dissolved extract swells it by about 0.48 L/kg."""
    parts = [grain.mass_kg or grain.share or 0.0 for grain in plan.grist]
    whole = sum(parts)
    moisture = sum(part * g.moisture for part, g in zip(parts, plan.grist, strict=True)) / whole
    dry = sum(part * (1.0 - g.moisture) * g.extract_dry for part, g in zip(parts, plan.grist, strict=True))
    extract = dry / whole * CONVERSION[plan.process.crush][0]
    level = float(retained_from_absorption(absorption.level, extract, moisture))
    return HouseFigure(level=level, scatter=absorption.scatter)
