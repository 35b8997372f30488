"""Sum up the yeast: needed, given, and how a shared starter is poured.

In:  an `Outlook`.
Out: `YeastView`, one for each portion.
"""

from __future__ import annotations

import numpy as np

from gylebook.figures.draws import odds, summarise
from gylebook.gyle.limits import ENOUGH_YEAST
from gylebook.gyle.pitch import pitches, suspension_kg_per_l, suspension_l
from gylebook.tasks.outlook import Outlook
from gylebook.tasks.views import YeastView

__all__ = ["ENOUGH_YEAST", "yeast_views"]


def yeast_views(outlook: Outlook) -> tuple[YeastView, ...]:
    """Yeast of every portion. [billion cells, L]"""
    plan = outlook.plan
    starters = {starter.key: starter for starter in plan.starters}
    names = {portion.key: portion for portion in plan.portions}
    out = []
    for pitch in pitches(plan, outlook.figures, outlook.course.portions):
        starter = starters.get(pitch.starter or "")
        whole = suspension_l(starter) if starter is not None else None
        poured = None if whole is None else float(np.median(pitch.share)) * whole
        out.append(
            YeastView(
                portion=names[pitch.key].name,
                kind=names[pitch.key].yeast.kind,
                needed=summarise(pitch.needed),
                given=summarise(pitch.given),
                odds_enough=odds(np.asarray(pitch.given) >= ENOUGH_YEAST * np.asarray(pitch.needed)),
                starter=pitch.starter,
                poured_l=poured,
                poured_kg=None
                if poured is None or starter is None
                else poured * suspension_kg_per_l(starter),
            )
        )
    return tuple(out)
