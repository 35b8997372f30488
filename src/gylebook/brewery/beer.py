"""Describe what makes a beer the same wherever it is brewed.

In:  a forecast on the brewery that the plan was made for, or a parcel from another brewer.
Out: frozen records of plain numbers; nothing here computes.

Idea: an amount belongs to a brewery, these belong to the beer: how strong, how bitter and by which hops, in
which liquor, at which pH, and how much of it each portion was.  With the plan they are enough to solve the
amounts again for any gear, without the gear they came from.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class PortionOfBeer:
    """One portion as it was to be: its middling litres, and the most of them at the odds the plan asks for.

    `pitched` is the yeast given over the yeast needed, `packs_needed` what the usual pitch takes of packs.
    """

    key: str
    volume_l: float
    most_l: float
    pitched: float
    packs_needed: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Beer:
    """What must stay the same.  `volume_l` is reached with the plan's odds, all else is the middle.

    `kettle_l` is the wort as its boil ends, some of which stays behind and takes along what went into it.
    `ions` are those of the mash liquor as it was treated [mg/L], none where the water was not known; so is
    `mash_ph` then.  `hop_ibu` is what each addition brings by itself, `late_ibu` what all late ones bring
    by the kinetics while the wort cools in `chill_min`.
    """

    volume_l: float
    kettle_l: float
    plato: float
    ibu: float
    colour_srm: float
    mash_ph: float | None
    ions: tuple[tuple[str, float], ...]
    hop_ibu: tuple[tuple[str, float], ...]
    late_ibu: float
    chill_min: float
    portions: tuple[PortionOfBeer, ...]
