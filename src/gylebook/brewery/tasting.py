"""Describe a blind test and what is said of a beer in the glass.

In:  what the brewer wants to know, who tastes, which glasses were poured.
Out: `Tasting`, `GlassSet`, `Answer`, frozen; the words for what is tasted.

Idea: a tasting is its list of glasses: every set names its taster, the beers from left to right and the code
on each glass, so that an answer is a code and nobody who answers need know more.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

TestKind = Literal["triangle", "tetrad", "paired", "ranking"]

GLASSES: dict[TestKind, int] = {"triangle": 3, "tetrad": 4, "paired": 2}
"""Glasses of one set; in a ranking there are as many as beers."""

MOST_TASTERS = 60
MOST_ROUNDS = 4  # sets that one taster should judge in one sitting
MOST_GLASSES = 480  # that codes can be told apart of
MOST_RANKED = 6
GLASS_ML = 50.0
FOAM = 0.15  # of what is poured, on top

STRENGTHS = ("none", "a hint", "clear", "strong", "over all else")
"""How much of something there is, 0 to 4."""

TRAITS = (
    "malt aroma",
    "hop aroma",
    "esters",
    "bitterness",
    "sweetness",
    "sourness",
    "body",
    "astringency",
    "carbonation",
    "alcohol warmth",
    "head",
    "clarity",
)
"""What may be rated of any beer."""

OFF_FLAVOURS: dict[str, str] = {
    "acetaldehyde": "unripe apple, cut pumpkin",
    "acetic": "vinegar",
    "autolysed yeast": "broth, soy sauce",
    "diacetyl": "butter, slick on the tongue",
    "dimethyl sulphide": "cooked sweetcorn, cabbage",
    "ethyl acetate": "glue, pear drops, when much",
    "isovaleric": "old cheese, stale hops",
    "lactic": "sour milk, sharp without vinegar",
    "light-struck": "wild animal, from light on hops",
    "metallic": "iron, ink, blood",
    "musty": "cellar, cork",
    "oxidised": "wet cardboard, sherry",
    "phenolic": "clove, smoke, plaster",
    "sulphury": "struck match, boiled egg",
}
"""Off-flavours by their trade names, and what they remind of."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Poured:
    """A portion of a brew that is in the test."""

    brew_id: str
    brew: str
    portion: str
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GlassSet:
    """What one taster gets at once: `beers` from left to right by their number, `codes` on the glasses."""

    taster: int
    round: int
    beers: tuple[int, ...]
    codes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Tasting:
    """A blind test as it was set up.

    `trait` is what a pair or a ranking is judged by, nothing for a preference; `foretold` is the beer of a
    pair of which it was said beforehand that it has more of it, None where that was left open.  `seed` gave
    the order of the glasses and their codes.
    """

    kind: TestKind
    poured: tuple[Poured, ...]
    tasters: int
    rounds: int
    trait: str
    foretold: int | None
    seed: int
    glass_ml: float
    sets: tuple[GlassSet, ...]

    @property
    def preference(self) -> bool:
        """Whether it asks what is liked and not what is there."""
        return self.kind in ("paired", "ranking") and not self.trait


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What a taster picked of a set: codes, in a ranking all of them, the most first."""

    taster: int
    round: int
    picked: tuple[str, ...]
    sure: int = 0  # 1 a guess, 2 rather, 3 certain; 0 not asked
    words: str = ""
