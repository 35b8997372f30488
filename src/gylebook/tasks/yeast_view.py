"""Sum up the yeast: needed, given, and how a shared starter is poured.

In:  an `Outlook`.
Out: `YeastView`, one for each portion.
"""

from __future__ import annotations

import numpy as np

from gylebook.figures.draws import odds, summarise
from gylebook.gyle.limits import ENOUGH_YEAST
from gylebook.gyle.pitch import pitches
from gylebook.tasks.outlook import Outlook
from gylebook.tasks.views import YeastView


def yeast_views(outlook: Outlook) -> tuple[YeastView, ...]:
    """Yeast of every portion. [billion cells, L]"""
    plan = outlook.plan
    starters = {starter.key: starter for starter in plan.starters}
    names = {portion.key: portion for portion in plan.portions}
    out = []
    for pitch in pitches(plan, outlook.figures, outlook.course.portions):
        starter = starters.get(pitch.starter or "")
        poured = None
        if starter is not None and starter.volume_l is not None:
            poured = float(np.median(pitch.share)) * starter.volume_l
        out.append(
            YeastView(
                portion=names[pitch.key].name,
                kind=names[pitch.key].yeast.kind,
                needed=summarise(pitch.needed),
                given=summarise(pitch.given),
                odds_enough=odds(np.asarray(pitch.given) >= ENOUGH_YEAST * np.asarray(pitch.needed)),
                starter=pitch.starter,
                poured_l=poured,
            )
        )
    return tuple(out)
