"""Find what of a beer another brewery cannot match.

In:  `Adapted`.
Out: `MatchFinding`s: of what, how it was and is, and why.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from gylebook.brewery.ingredients import Yeast
from gylebook.brewery.plan import Plan
from gylebook.decide.starters import LEAST_L
from gylebook.tasks.adapt import Adapted, chill_minutes, late_bitterness, mash_ions, pitched_of
from gylebook.tasks.liquor import TOLERANCE_MG, liquor_view

# From where on a difference is told; what is smaller nobody tastes or measures.  Judgement.
LATE_IBU, LATE_SHARE = 0.5, 0.1
COLOUR_SHARE = 0.05
THICKNESS_SHARE = 0.1
PH_APART = 0.05
PITCH_SHARE = 0.1


Ions = tuple[tuple[str, float], ...]  # mg/L


@dataclass(frozen=True, slots=True, kw_only=True)
class MatchFinding:
    """What cannot be matched: of what, how it was and is (in base units, or a key), and why (a key)."""

    kind: str
    of: str = ""
    before: float | str | None = None
    after: float | str | None = None
    why: str = ""
    others: tuple[float, ...] = ()


def findings_of(adapted: Adapted) -> tuple[MatchFinding, ...]:
    """All that cannot be matched, what was settled before solving first."""
    return tuple(_findings(adapted))


def _findings(adapted: Adapted) -> Iterator[MatchFinding]:
    for note in adapted.notes:
        yield MatchFinding(kind=note.kind, of=note.of, before=note.before, after=note.after, why=note.why)
    yield from _of_liquor(adapted)
    before, outlook = adapted.before, adapted.outlook
    pitched = pitched_of(outlook)
    for portion in before.asked.portions:
        old = next(one.pitched for one in before.beer.portions if one.key == portion.key)
        new = pitched.get(portion.key, old)
        if abs(new / old - 1.0) > PITCH_SHARE:
            why = _stops(portion.yeast, outlook.plan)
            yield MatchFinding(kind="pitch rate", of=portion.name, before=old, after=new, why=why)
    late = late_bitterness(outlook)
    if abs(late - before.beer.late_ibu) > max(LATE_IBU, LATE_SHARE * before.beer.late_ibu):
        yield MatchFinding(
            kind="late hops",
            before=before.beer.late_ibu,
            after=late,
            others=(before.beer.chill_min, chill_minutes(outlook)),
        )
    colour = outlook.numbers["colour_srm"].median
    if abs(colour / before.beer.colour_srm - 1.0) > COLOUR_SHARE:
        yield MatchFinding(kind="colour", before=before.beer.colour_srm, after=colour)
    if before.solved.grist:
        thick = [
            (plan.liquor.mash_l or 0.0) / sum(grain.mass_kg or 0.0 for grain in plan.grist)
            for plan in (before.solved, outlook.plan)
        ]
        if abs(thick[1] / thick[0] - 1.0) > THICKNESS_SHARE:
            yield MatchFinding(kind="thickness", before=thick[0], after=thick[1])


def _stops(yeast: Yeast, plan: Plan) -> str:
    """What keeps a pitch from being any size."""
    flask = next((one.volume_l for one in plan.starters if one.key == yeast.starter), None)
    if flask is not None:
        return "starter" if flask <= LEAST_L else ""
    return "" if yeast.form == "slurry" else "packs"


def _moved(before: Ions, after: Ions, told: set[str]) -> Iterator[MatchFinding]:
    """Ions that keep their bounds, and yet come out otherwise than in the other water."""
    here = dict(after)
    for ion, mg_per_l in before:
        if ion not in told and abs(here.get(ion, 0.0) - mg_per_l) > TOLERANCE_MG[ion]:
            yield MatchFinding(kind="ion moved", of=ion, before=mg_per_l, after=here.get(ion, 0.0))


def _of_liquor(adapted: Adapted) -> Iterator[MatchFinding]:
    """Ions and mash pH that nothing at hand brings where they were."""
    view = liquor_view(adapted.outlook)
    if view is None:
        return
    if not adapted.before.beer.ions and not adapted.before.asked.liquor.ions:
        yield MatchFinding(kind="their water")
    for liquor in view.liquors:
        if liquor.where == "mash":
            told = {ion.ion for ion in liquor.outside}
            for ion in liquor.outside:
                others = () if ion.dilution is None else (ion.dilution,)
                yield MatchFinding(
                    kind="ion", of=ion.ion, before=ion.wanted, after=ion.got, why=ion.why, others=others
                )
            yield from _moved(adapted.before.beer.ions, mash_ions(view), told)
    aim, found = view.aim_ph, view.mash_ph
    if found is not None and aim is not None and abs(found.median - aim) > PH_APART:
        yield MatchFinding(kind="mash ph", before=aim, after=found.median)
