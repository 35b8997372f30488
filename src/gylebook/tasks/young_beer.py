"""Read a gravity off an instrument in beer that still ferments.

In:  what the instrument shows, on which, the original gravity, how well both are known.
Out: `GravityView`: gravity, alcohol and attenuation with their ranges.

Idea: a refractometer sees alcohol too, so its reading is undone through the same model that foretells it,
draw by draw, with its error, its bias and the brewer's own factor left open.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from gylebook.brewery.instruments import READS, Instrument
from gylebook.brewery.site import Brewery, HouseFigure
from gylebook.errors import Problem, Refused
from gylebook.exchange.brewery_file import default_instruments
from gylebook.figures.draws import standard_normal_latents, summarise
from gylebook.matter.extract import plato_from_sg, sg_from_plato
from gylebook.matter.spirit import abv_from_mass_percent
from gylebook.process.ferment import alcohol_balling, real_extract
from gylebook.process.instruments import apparent_from_refractometer, sg_from_hydrometer
from gylebook.tasks.typed import BRIX
from gylebook.tasks.views import GravityView

USUAL_FACTOR = HouseFigure(level=1.04, scatter=0.015)  # °Bx a °P, until a brewer has pairs of his own
ORIGINAL_SD = 0.15  # °P, of an original gravity that was read once
ALCOHOL_SD = 0.025  # of its value, from two gravities
LEAST_PLATO = -2.0  # apparent; drier is no beer, and the scale of gravities ends there
ABOVE_PLATO = 0.5  # over the original, more than errors of reading explain


def gravity_in_beer(
    shown_plato: float,
    instrument: Instrument,
    original_plato: float,
    temperature_c: float | None,
    *,
    factor: HouseFigure = USUAL_FACTOR,
    draws: int = 4000,
    seed: int = 1,
) -> GravityView:
    """Gravity of beer in which `instrument` showed `shown_plato` (°P, or °Bx on a refractometer).

    `factor` is what a refractometer shows a °P of this brewery's worts.
    """
    free = standard_normal_latents(draws, 4, seed)
    error = np.hypot(instrument.error, instrument.bias) * free[:, 0]
    original = original_plato + ORIGINAL_SD * free[:, 1]
    if instrument.kind == "refractometer":
        if temperature_c is not None:
            raise _uncorrected()
        if shown_plato / factor.level > original_plato + ABOVE_PLATO:
            raise _above(f"{shown_plato:.1f} °Bx", original_plato)
        brix_per_plato = factor.level + factor.scatter * free[:, 2]
        apparent = apparent_from_refractometer(shown_plato + error, original, brix_per_plato)
    else:
        if shown_plato < LEAST_PLATO:
            raise _below(f"{shown_plato:.1f} °P")
        reading = float(sg_from_plato(shown_plato)) + error
        at_c = instrument.calibrated_c if temperature_c is None else temperature_c
        lightest = float(sg_from_plato(LEAST_PLATO))
        sg = sg_from_hydrometer(np.maximum(reading, lightest), at_c, instrument.calibrated_c)
        apparent = plato_from_sg(np.maximum(sg, lightest))
        middle = float(np.median(apparent))
        if middle > original_plato + ABOVE_PLATO:
            raise _above(_both(middle), original_plato)
    if float(np.median(apparent)) < LEAST_PLATO:
        unit = "°Bx" if instrument.kind == "refractometer" else "°P"
        raise _below(f"{shown_plato:.1f} {unit}")
    apparent = np.clip(apparent, LEAST_PLATO, original)
    gravity = sg_from_plato(apparent)
    by_balling = alcohol_balling(original, real_extract(original, apparent))
    alcohol = np.maximum(by_balling, 0.0) * (1.0 + ALCOHOL_SD * free[:, 3])  # rounding must not go below none
    return GravityView(
        sg=summarise(gravity),
        abv=summarise(abv_from_mass_percent(alcohol, gravity)),
        attenuation=summarise(1.0 - apparent / original),
    )


def factor_of(brewery: Brewery | None) -> HouseFigure:
    """The brewery's own factor of its refractometer, if it has found one; else the usual."""
    return USUAL_FACTOR if brewery is None else brewery.house.get("refractometer.factor", USUAL_FACTOR)


def usual_instrument(value: str, known: Mapping[str, Instrument] | None, named: str | None) -> Instrument:
    """The instrument that showed a value as typed: the named one, else the one whose scale it is."""
    instruments = known if known is not None else default_instruments()
    if named is not None:
        if named not in instruments or READS[instruments[named].kind] != "gravity":
            able = ", ".join(i.key for i in instruments.values() if READS[i.kind] == "gravity")
            raise Refused((Problem("--on", f"“{named}” reads no gravity here", f"there is {able}"),))
        return instruments[named]
    kind = "refractometer" if BRIX.search(value) else "hydrometer"
    shows_it = [i for i in instruments.values() if i.kind == kind]
    if not shows_it:
        others = ", ".join(i.key for i in instruments.values() if READS[i.kind] == "gravity") or "none"
        raise Refused(
            (
                Problem(
                    "value",
                    f"“{value}” stands on a {kind}, and this brewery has none",
                    f"name the instrument with --on; those that read a gravity: {others}",
                ),
            )
        )
    return shows_it[0]


def _above(found: str, original: float) -> Refused:
    """Beer is not stronger than its wort: one of the two was read or written wrongly."""
    problem = f"{found} is above the original {_both(original)}"
    return Refused((Problem("gravity", problem, "check which is which, and their units"),))


def _below(shown: str) -> Refused:
    """No beer is so light, not even one without any extract left."""
    problem = f"a reading of {shown} is lower than beer of that original can show"
    return Refused((Problem("gravity", problem, "check its unit, and what the instrument shows in water"),))


def _uncorrected() -> Refused:
    """A refractometer's warmth is its prism's, which nobody measures."""
    problem = "a refractometer's reading is not put right for warmth here"
    return Refused((Problem("--temperature", problem, "leave it out, and let the drop take the prism's"),))


def _both(plato: float) -> str:
    return f"{plato:.1f} °P ({float(sg_from_plato(plato)):.3f})"
