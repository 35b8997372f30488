"""Divide the wort among the fermenters and follow each portion to its package.

In:  the chilled wort, plan, brewery, figures and what the mash allows yeast to take.
Out: one `PortionCourse` for each portion: its wort, its beer, what is packed, and the accounts.

Idea: the portions of one wort share its draws, so a difference between two of them is known far better
than the level of either.  Filling in turns scatters each by a couple of per cent; the parts still add up.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from gylebook.brewery.plan import Plan, Portion
from gylebook.brewery.site import Brewery
from gylebook.figures.draws import Array, Value
from gylebook.gyle.ledger import Entry
from gylebook.gyle.treat import beer_kept_by_dry_hops_l, ibu_after_dry_hops, treated
from gylebook.gyle.wort import Measured, Wort
from gylebook.matter.extract import density_from_sg, sg_from_plato
from gylebook.matter.spirit import abv_from_mass_percent
from gylebook.process import ferment as fermenting

MOST_GIVEN = 0.98  # of the wort to portions of a stated volume, where another takes the rest
SHARP = 40.0  # how sharply the wort's limit takes over from the yeast's own


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PortionCourse:
    """One portion from pitching to package, as joint draws."""

    portion: Portion
    drawn: Measured  # its part of the wort, before anything of its own goes in
    kettle_iso_mg: Value  # bitterness that came with it
    wort: Wort
    pitched: Measured
    ibu: Value
    srm: Value
    made: fermenting.Fermented  # what the whole portion has become
    first_fg: Value  # where the first yeast leaves it
    fg: Value
    abv: Value
    beer_l: Value
    packable_l: Value  # all that can be drawn off
    packaged_l: Value  # of that, what is packed by itself and not blended


def run_portions(
    plan: Plan, brewery: Brewery, figures: Mapping[str, Array], wort: Wort, limit: Value
) -> tuple[tuple[PortionCourse, ...], Value, tuple[Entry, ...]]:
    """Every portion, what was left undivided [kg], and the accounts."""
    parts = _parts(plan, figures, Measured.of(wort).volume_l)
    worts = [wort.share(part) for part in parts]
    left_kg = wort.mass_kg * (1.0 - sum(parts))
    ledger = [
        Entry(
            step="divide",
            mass_in_kg=(wort.water_kg, wort.extract_kg),
            mass_out_kg=(left_kg, *(w.mass_kg for w in worts)),
        )
    ]
    courses = []
    for portion, share in zip(plan.portions, worts, strict=True):
        course, entries = run_portion(plan, brewery, figures, portion, share, limit)
        courses.append(course)
        ledger.extend(entries)
    return tuple(courses), left_kg, tuple(ledger)


def share_blended(plan: Plan, key: str) -> float:
    """Share of a portion's beer that goes into blends."""
    return sum(share for blend in plan.blends for part, share in blend.parts if part == key)


def _parts(plan: Plan, figures: Mapping[str, Array], available_l: Value) -> list[Value]:
    """Share of the wort that each portion gets; they add to one at most.

    Portions with neither a share nor a volume divide alike what the volumes leave.
    """
    slips = [1.0 + figures[f"portion.{p.key}.share_slip"] for p in plan.portions]
    if any(p.volume_l is not None for p in plan.portions):
        wanted = [(p.volume_l or 0.0) * slip for p, slip in zip(plan.portions, slips, strict=True)]
        open_ends = [p.volume_l is None for p in plan.portions]
        most_l = (MOST_GIVEN if any(open_ends) else 1.0) * available_l
        scale = np.minimum(most_l / sum(wanted), 1.0) / available_l
        rest = 1.0 - scale * sum(wanted)
        return [
            rest / sum(open_ends) if left else volume * scale
            for volume, left in zip(wanted, open_ends, strict=True)
        ]
    alike = 1.0 / len(plan.portions)
    shares = [alike if p.share is None else p.share for p in plan.portions]
    filled = [share * slip for share, slip in zip(shares, slips, strict=True)]
    scale = sum(shares) / sum(filled)
    return [part * scale for part in filled]


def run_portion(
    plan: Plan,
    brewery: Brewery,
    figures: Mapping[str, Array],
    portion: Portion,
    wort: Wort,
    limit: Value,
) -> tuple[PortionCourse, list[Entry]]:
    """One portion from the wort that is poured into its fermenter to its package, and its accounts.

    `limit` is what the mash lets yeast take, apparent.
    """
    made_up = treated(plan, portion, figures, wort)
    pitched = made_up.wort
    measured = Measured.of(pitched)
    own = figures[f"portion.{portion.key}.attenuation"]
    adf = own if portion.yeast.diastatic else fermenting.smooth_least(limit, own, SHARP)
    first = _real_degree(pitched, adf)
    final = first
    if portion.later is not None and portion.later.attenuation is not None:
        further = figures[f"portion.{portion.key}.later_attenuation"]
        final = np.maximum(_real_degree(pitched, further), first)
    original = measured.plato
    first_fg = _gravity(original, first)
    fg = first_fg if final is first else _gravity(original, final)
    real = original * (1.0 - final)
    made = fermenting.ferment(pitched.water_kg, pitched.extract_kg, real, figures["alcohol.yield"])
    beer_kg = made.water_kg + made.extract_kg + made.ethanol_kg
    beer_l = 1000.0 * beer_kg / density_from_sg(fg)
    kept_l = _kept_l(plan, brewery, figures, portion, beer_l)
    packable = np.maximum(beer_l - kept_l, 0.0)
    course = PortionCourse(
        portion=portion,
        drawn=measured if pitched is wort else Measured.of(wort),
        kettle_iso_mg=wort.iso_alpha_mg,
        wort=pitched,
        pitched=measured,
        ibu=ibu_after_dry_hops(plan, portion, figures, pitched.iso_alpha_mg / measured.volume_l, beer_l),
        srm=pitched.colour_srm_l / measured.volume_l,
        made=made,
        first_fg=first_fg,
        fg=fg,
        abv=abv_from_mass_percent(100.0 * made.ethanol_kg / beer_kg, fg),
        beer_l=beer_l,
        packable_l=packable,
        packaged_l=packable * (1.0 - share_blended(plan, portion.key)),
    )
    packed = packable / beer_l
    entries = [
        Entry(
            step=f"make up {portion.key}",
            mass_in_kg=(wort.water_kg, wort.extract_kg, made_up.added_kg),
            mass_out_kg=(pitched.water_kg, pitched.extract_kg),
        ),
        Entry(
            step=f"ferment {portion.key}",
            mass_in_kg=(pitched.water_kg, pitched.extract_kg),
            mass_out_kg=tuple(made),
        ),
        Entry(
            step=f"package {portion.key}",
            mass_in_kg=(made.water_kg, made.extract_kg, made.ethanol_kg),
            mass_out_kg=(beer_kg * packed, beer_kg * (1.0 - packed)),
        ),
    ]
    return course, entries


def _real_degree(wort: Wort, apparent: Value) -> Value:
    """Real share of all extract that is fermented when the grist's part attenuates so far. [fraction]"""
    of_grist = fermenting.QUOTIENT * apparent
    grist_kg = wort.extract_kg - wort.sugar_kg
    return (grist_kg * of_grist + wort.fermentable_kg) / wort.extract_kg


def _gravity(original: Value, real_degree: Value) -> Value:
    apparent = original * (1.0 - real_degree / fermenting.QUOTIENT)
    return sg_from_plato(apparent)


def _kept_l(
    plan: Plan, brewery: Brewery, figures: Mapping[str, Array], portion: Portion, beer_l: Value
) -> Value:
    """Beer that the sediment, the vessel, dry hops and the packaging keep. [L]"""
    fixed = brewery.fermenters[portion.fermenter].dead_volume_l + beer_kept_by_dry_hops_l(plan, portion)
    kept = figures["fermenter.sediment"] * beer_l + fixed
    return kept if portion.package.kind == "stays" else kept + figures["package.loss_l"]
