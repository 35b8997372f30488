"""Open what bitters a beer that is carried over by its part of it, and take aroma along by the litre.

In:  the beer's own numbers, its hops as solved, the scale and the wish.
Out: hops for the other brewery, and whether any of them is left to the solver; `Note`s of aroma that is lost.
"""

from __future__ import annotations

from dataclasses import replace

from gylebook.brewery.beer import Beer
from gylebook.brewery.ingredients import Hop
from gylebook.decide.carried import Note, Scale, Wish

LATE_MIN = 15.0  # of boil left: what is added later is there for its aroma; common practice
TASTELESS_IBU = 0.05  # of an addition that brings no bitterness to speak of; judgement


def hops_over(
    beer: Beer, hops: tuple[Hop, ...], scale: Scale, wish: Wish, notes: list[Note]
) -> tuple[tuple[Hop, ...], bool]:
    """Bittering additions open by their part of the bitterness, others by the litre; whether any is open."""
    brings = dict(beer.hop_ibu)
    bitter = [hop for hop in hops if hop.use != "dry" and brings.get(hop.key, 0.0) > TASTELESS_IBU]
    early = [hop for hop in bitter if not is_late(hop)]
    if not wish.aroma:
        opened = bitter
    elif early or not bitter:
        opened = early
    else:  # something has to carry the bitterness
        opened = [max(bitter, key=lambda hop: brings[hop.key])]
    notes += [Note(kind="aroma", of=hop.variety, before=hop.minutes) for hop in opened if is_late(hop)]
    whole = sum(brings[hop.key] for hop in opened)
    shares = {hop.key: brings[hop.key] / whole for hop in opened}
    out = []
    for hop in hops:
        times = scale.of_hop(hop)
        if hop.key in shares:
            out.append(replace(hop, mass_kg=None, bitterness_share=shares[hop.key]))
        elif times is not None:
            out.append(replace(hop, mass_kg=(hop.mass_kg or 0.0) * times, bitterness_share=None))
    return tuple(out), bool(opened)


def is_late(hop: Hop) -> bool:
    """Whether an addition is there for its aroma."""
    return hop.use in ("stand", "dry") or (hop.use == "boil" and hop.minutes <= LATE_MIN)
