"""Sum up each portion as the beer it becomes.

In:  an `Outlook`.
Out: `BeerView`s: bitterness by both models, colour, alcohol by every formula, food, heat, gas and priming.
"""

from __future__ import annotations

from gylebook.figures.draws import Summary
from gylebook.process.colour import beer_srgb
from gylebook.tasks.outlook import Outlook
from gylebook.tasks.views import BeerView, BlendView

FORMULAS = ("balling", "balling_classical", "cutaia_2009", "tabarie", "hall_1995", "custom")


def beer_views(outlook: Outlook, *, path_cm: float = 5.0) -> tuple[BeerView, ...]:
    """Every portion; `path_cm` is how much beer the light goes through."""
    both = {
        outlook.plan.bitterness_by: outlook,
        outlook.by_the_other_model.plan.bitterness_by: outlook.by_the_other_model,
    }
    out = []
    for portion in outlook.plan.portions:
        stem = f"portion.{portion.key}."
        details = outlook.details
        out.append(
            BeerView(
                key=portion.key,
                name=portion.name,
                volume_l=outlook.numbers[stem + "packaged_l"],
                og=outlook.numbers[stem + "og"],
                fg=outlook.numbers[stem + "fg"],
                abv=outlook.numbers[stem + "abv"],
                abv_by={name: details[f"{stem}abv.{name}"] for name in FORMULAS},
                ibu_by={name: one.numbers[stem + "ibu"] for name, one in both.items()},
                colour_srm=outlook.numbers[stem + "colour_srm"],
                srgb=_srgb(outlook.numbers[stem + "colour_srm"], path_cm),
                attenuation=details[stem + "attenuation.apparent"],
                real_attenuation=details[stem + "attenuation.real"],
                energy_kj_per_l=details[stem + "energy.kj_per_l"],
                energy_kcal_per_100_g=details[stem + "energy.kcal_per_100_g"],
                heat_kj=details[stem + "heat.kj"],
                warmest_above_air_k=details[stem + "heat.warmest_above_air_k"],
                residual_volumes=details[stem + "co2.residual_volumes"],
                wanted_volumes=portion.package.co2_volumes,
                sucrose_g_per_l=details.get(stem + "prime.sucrose_g_per_l"),
                sucrose_g=details.get(stem + "prime.sucrose_g"),
                package=portion.package.kind,
            )
        )
    return tuple(out)


def blend_views(outlook: Outlook) -> tuple[BlendView, ...]:
    """Every blend of finished portions."""
    numbers = outlook.numbers
    return tuple(
        BlendView(
            key=blend.key,
            name=blend.name,
            volume_l=numbers[f"blend.{blend.key}.volume_l"],
            fg=numbers[f"blend.{blend.key}.fg"],
            abv=numbers[f"blend.{blend.key}.abv"],
            ibu=numbers[f"blend.{blend.key}.ibu"],
            colour_srm=numbers[f"blend.{blend.key}.colour_srm"],
            residual_volumes=outlook.details[f"blend.{blend.key}.co2.residual_volumes"],
            wanted_volumes=blend.package.co2_volumes,
            sucrose_g_per_l=outlook.details.get(f"blend.{blend.key}.prime.sucrose_g_per_l"),
            sucrose_g=outlook.details.get(f"blend.{blend.key}.prime.sucrose_g"),
        )
        for blend in outlook.plan.blends
    )


def _srgb(colour: Summary, path_cm: float) -> tuple[int, int, int]:
    """The middling colour in transmitted light on white, as a screen shows it; approximate."""
    red, green, blue = (round(255.0 * float(part)) for part in beer_srgb(colour.median, path_cm))
    return red, green, blue
