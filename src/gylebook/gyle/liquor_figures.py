"""Declare what is uncertain about the liquor and its meeting with the malt.

In:  a plan and a brewery.
Out: the figures of waters, acid, salts and malts; which water is drawn in which share.

Idea: of a water two things are uncertain, how strong it runs on the day and how well its alkalinity was
measured; of a malt how sour it is and how hard it holds on to that.  What is weighed to a hundredth needs no
figure.  Declared by what is at hand and not by what is dosed, so that a solver may dose as it likes.
"""

from __future__ import annotations

from collections.abc import Iterator

from gylebook.brewery.ingredients import Grain
from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.brewery.water import Water
from gylebook.figures.figure import Figure, Transform
from gylebook.process.acid_doses import STRENGTH, acid_of
from gylebook.process.malt_ph import (
    LEAST_CARAMEL_EBC,
    MALTS,
    MODEL_SHIFT_PH,
    MOST_CARAMEL_EBC,
    MaltPh,
    by_distilled_ph,
    caramel_malt,
)
from gylebook.process.mash_ph import CALCIUM_DIVISOR, CARBONATE_KEPT, MAGNESIUM_DIVISOR
from gylebook.process.ph_meter import SHIFT_PER_K
from gylebook.process.salts import SALTS

WITHOUT_WATER = (5.45, 0.15)
"""Mash pH of a brewery whose water is not known, level and scatter; common practice for pale grists."""
ALKALINITY_DOUBT = 0.05  # what a titration, and the day it was made on, leave open; judgement
PASSED_DOUBT = 0.4  # of what a membrane lets through, as a share of it: 2 to 7 % of a level of 4 %
OWN_PH_DOUBT = 0.04  # of a malt mashed in distilled water at home and read on a calibrated meter
WELL_KNOWN = 0.02  # a salt or an acid that acts to within this needs no figure of its own


def waters_drawn(plan: Plan, brewery: Brewery) -> tuple[tuple[Water, float], ...]:
    """The waters of this gyle and their shares; none where the brewery has no report."""
    shares = plan.liquor.waters or (((brewery.water, 1.0),) if brewery.water else ())
    if shares and plan.liquor.diluted_with:  # not solved yet, but its figures are there already
        shares = (*shares, (plan.liquor.diluted_with, 0.0))
    return tuple((brewery.waters[key], share) for key, share in shares)


def reported(water: Water, brewery: Brewery) -> Water:
    """The water whose report tells what this one holds: itself, or what its membrane is fed with."""
    return brewery.waters[water.membrane_of] if water.membrane_of else water


def mash_figures(plan: Plan, brewery: Brewery) -> Iterator[Figure]:
    """What the mash pH rests on before all else: one figure, whether the water is known or not."""
    if waters_drawn(plan, brewery):
        yield _figure("mash.ph_shift", "pH", MODEL_SHIFT_PH, "none", "judgement")
    else:
        yield _figure("mash.ph", "pH", WITHOUT_WATER, "none", "common-practice")


def liquor_figures(plan: Plan, brewery: Brewery) -> Iterator[Figure]:
    """All other figures of liquor and mash pH; of a hot pH reading alone where no water is known."""
    if plan.grist:
        yield _figure("mash.ph_per_k", "pH/K", SHIFT_PER_K, "none", "briggs-2004")
    waters = [water for water, _ in waters_drawn(plan, brewery)]
    for key in dict.fromkeys(reported(water, brewery).key for water in waters):
        scatter = brewery.waters[key].scatter
        yield _figure(f"water.{key}.strength", "factor", (1.0, scatter), "log", "brewery-file")
        yield _figure(f"water.{key}.alkalinity", "factor", (1.0, ALKALINITY_DOUBT), "log", "judgement")
    for water in waters:
        if water.membrane_of and water.passed:
            level = (water.passed, PASSED_DOUBT * water.passed)
            yield _figure(f"water.{water.key}.passed", "share", level, "logit", "common-practice")
    if not waters:
        return
    for kind in dict.fromkeys(acid_of(key).kind for key in acids_at_hand(plan)):
        if kind in STRENGTH:
            yield _figure(f"acid.{kind}.strength", "share", STRENGTH[kind], "none", "vu-2005")
    for key in salts_at_hand(plan):
        if SALTS[key].acting[1] > WELL_KNOWN:
            yield _figure(f"salt.{key}.acting", "share", SALTS[key].acting, "none", "judgement")
    if plan.grist:
        yield from _malts(plan)


def _malts(plan: Plan) -> Iterator[Figure]:
    yield _figure("mash.calcium_divisor", "eq/eq", CALCIUM_DIVISOR, "log", "kolbach-1953")
    yield _figure("mash.magnesium_divisor", "eq/eq", MAGNESIUM_DIVISOR, "log", "kolbach-1953")
    yield _figure("mash.carbonate_kept", "share", CARBONATE_KEPT, "logit", "judgement")
    for grain in plan.grist:
        malt = malt_of(grain)
        known = ("distilled_ph", "pH") if malt.by_ph else ("acidity", "mEq/kg")
        yield _figure(f"grist.{grain.key}.{known[0]}", known[1], malt.known, "none", "malt-titrations")
        buffering = f"grist.{grain.key}.buffering"
        yield _figure(buffering, "mEq/(kg pH)", malt.buffer, "log", "malt-titrations")


def malt_of(grain: Grain) -> MaltPh:
    """How sour a grain is, by its kind, a caramel malt by its colour; its own pH where that was measured."""
    if grain.sours_as == "caramel":
        malt = caramel_malt(min(max(grain.colour_ebc, LEAST_CARAMEL_EBC), MOST_CARAMEL_EBC))
    else:
        malt = MALTS[grain.sours_as]
    if grain.distilled_ph is None:
        return malt
    return by_distilled_ph(grain.distilled_ph, OWN_PH_DOUBT, *malt.buffer)


def acids_at_hand(plan: Plan) -> tuple[str, ...]:
    """Every acid that a dose names or a solver may take, by key."""
    used = [dose.of for dose in plan.liquor.doses if dose.kind == "acid"]
    return tuple(dict.fromkeys([plan.liquor.acid, *used]))


def salts_at_hand(plan: Plan) -> tuple[str, ...]:
    """Every salt that a dose names or a solver may take, by key."""
    liquor = plan.liquor
    used = [dose.of for dose in liquor.doses if dose.kind == "salt"]
    return tuple(dict.fromkeys([*liquor.salts, *([liquor.alkali] if liquor.alkali else []), *used]))


def _figure(
    name: str, unit: str, level_and_scatter: tuple[float, float], transform: Transform, source: str
) -> Figure:
    level, scatter = level_and_scatter
    return Figure(name=name, unit=unit, level=level, scatter=scatter, transform=transform, source=source)
