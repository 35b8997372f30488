"""Part the picture of a reach into strips that can be tapped, each the gravity in its middle.

In:  nothing but the ends of the curves.
Out: `Strip`s, as many as a finger or a pointer can hit.

Idea: a page may hold no inline style, so where strips lie is said in its style sheet by how many there are;
the first and the last reach to the edges of the picture.
"""

from __future__ import annotations

from dataclasses import dataclass

FINE = tuple(1.030 + 0.005 * number for number in range(17))  # for a pointer
BROAD = (1.030, 1.045, 1.060, 1.075, 1.090, 1.105)  # for a finger, 44 px wide on the smallest phone


@dataclass(frozen=True, slots=True)
class Strip:
    """One strip: its gravity, and whether it is the one that is looked at."""

    sg: float
    here: bool


def strips(gravities: tuple[float, ...], at_sg: float) -> tuple[Strip, ...]:
    """Strips from left to right; the one nearest to the gravity looked at is marked."""
    nearest = min(gravities, key=lambda sg: abs(sg - at_sg))
    return tuple(Strip(sg, abs(sg - at_sg) < 5e-4 and sg == nearest) for sg in gravities)
