"""Print a portion as the beer it becomes."""

from __future__ import annotations

import click

from gylebook.faces import telling, words
from gylebook.faces.cli.tables import print_table
from gylebook.faces.words import Units
from gylebook.figures.draws import Summary
from gylebook.tasks.views import BeerView, BlendView

MODELS = {"trade rule": "by trade rule", "kinetics": "by kinetics"}
FORMULAS = {
    "balling": "Balling",
    "balling_classical": "Balling, classical extract",
    "cutaia_2009": "Cutaia 2009",
    "tabarie": "Tabarié",
    "hall_1995": "Hall 1995",
    "custom": "131.25 × fall",
}


def show_beer(view: BeerView, chosen: str, units: Units, glass: str) -> None:
    """One portion: what it tastes and feeds, and what its fermentation and package ask.

    `glass` is how much beer the light went through for its colour on a screen, as typed.
    """
    rows = [
        ("packaged", words.median_and_interval(view.volume_l, "L", units)),
        (
            "gravity",
            f"{words.gravity(view.og.median, units)} → {words.median_and_interval(view.fg, 'SG', units)}",
        ),
        ("attenuation", f"{_share(view.attenuation)}, real {_share(view.real_attenuation)}"),
        ("alcohol", words.median_and_interval(view.abv, "%", units)),
    ]
    for name, bitter in view.ibu_by.items():
        mark = " (planned)" if name == chosen else ""
        rows.append((f"bitter {MODELS[name]}{mark}", words.median_and_interval(bitter, "IBU", units)))
    rows.append(("colour", telling.colour_text(view.colour_srm, units)))
    red, green, blue = view.srgb
    rows.append((f"through {glass} on a screen", f"about #{red:02X}{green:02X}{blue:02X}"))
    kj = words.amount(view.energy_kj_per_l.median, "kJ/L", units)
    rows.append(("energy", f"{kj}, {words.amount(view.energy_kcal_per_100_g.median, 'kcal/100 g', units)}"))
    lifted = words.interval_with_unit(view.warmest_above_air_k, "K", units)
    rows.append(
        (
            "heat of fermentation",
            f"{words.fixed(view.heat_kj.median, 0)} kJ, at its height {lifted} above the air",
        )
    )
    rows.append(("gas when packed", telling.residual_text(view)))
    rows += telling.priming_rows(view, units)
    click.echo()
    print_table(view.name, ("", "middle (90 of 100 lie between)"), rows)
    by = "; ".join(f"{FORMULAS[name]} {words.fixed(one.median, 2)}" for name, one in view.abv_by.items())
    print_table("", ("Alcohol by formula, % vol",), [(by,)])


def show_blend(view: BlendView, units: Units) -> None:
    """Finished portions poured together."""
    click.echo()
    rows = [
        ("in all", words.median_and_interval(view.volume_l, "L", units)),
        ("gravity", words.median_and_interval(view.fg, "SG", units)),
        ("alcohol", words.median_and_interval(view.abv, "%", units)),
        ("bitterness", words.median_and_interval(view.ibu, "IBU", units)),
        ("colour", telling.colour_text(view.colour_srm, units)),
        ("gas when packed", telling.residual_text(view)),
        *telling.priming_rows(view, units),
    ]
    print_table(f"{view.name}, a blend", ("", "middle (90 of 100 lie between)"), rows)


def _share(summary: Summary) -> str:
    return f"{words.share(summary.median)} ({words.share(summary.low)} – {words.share(summary.high)})"
