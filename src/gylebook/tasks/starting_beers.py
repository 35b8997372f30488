"""Hold the beers that a first run may start from, as grist, hops and yeast of the tables that ship.

In:  the key of a beer.
Out: `Beer`.

Idea: plain beers of long tradition, written for this book; each has a way from grain and one from bought
extract.  Shares of the grist are by mass, those of the hops by the bitterness they give.
"""

from __future__ import annotations

from dataclasses import dataclass

from gylebook.tasks.starting_shapes import Both


@dataclass(frozen=True, slots=True, kw_only=True)
class Beer:
    """A first beer: `grist` and `hops` as (name, share in per cent), hops with their minutes in the boil.

    `extract` is what stands for the grist where nothing is mashed, by share; `steeped` is (grain, grams for
    each litre of beer), poured in for what no extract brings.
    """

    key: str
    gravity: str
    bitterness: str
    mash: Both
    grist: tuple[tuple[str, int], ...]
    hops: tuple[tuple[str, int, int], ...]
    yeast: str
    ferment_at: Both
    co2: str
    extract: tuple[tuple[str, int], ...]
    steeped: tuple[str, float] | None = None
    pack_l: float = 25.0  # litres that a pack of dry yeast is meant for


PALE, WHEATEN = "pale dry malt extract", "dry wheat malt extract"

BEERS: dict[str, Beer] = {
    beer.key: beer
    for beer in (
        Beer(
            key="pale ale",
            gravity="1.046",
            bitterness="32 IBU",
            mash=("66 °C", "151 °F"),
            grist=(("pale ale malt", 92), ("caramel malt, light", 5), ("wheat malt, light", 3)),
            hops=(("Challenger", 60, 75), ("East Kent Golding", 10, 25)),
            yeast="English ale, dry",
            ferment_at=("19 °C", "66 °F"),
            co2="2.2",
            extract=((PALE, 100),),
            steeped=("caramel malt, light", 12.0),
        ),
        Beer(
            key="amber",
            gravity="1.050",
            bitterness="26 IBU",
            mash=("66 °C", "151 °F"),
            grist=(("Vienna malt", 60), ("Munich malt, light", 33), ("caramel malt, medium", 7)),
            hops=(("Hallertauer Tradition", 60, 85), ("Hersbrucker", 15, 15)),
            yeast="Altbier",
            ferment_at=("17 °C", "63 °F"),
            co2="2.4",
            extract=((PALE, 100),),
            steeped=("caramel malt, dark", 20.0),
            pack_l=12.0,  # it is pitched cool, so more is wanted
        ),
        Beer(
            key="stout",
            gravity="1.045",
            bitterness="36 IBU",
            mash=("66 °C", "151 °F"),
            grist=(("pale ale malt", 79), ("flaked barley", 12), ("roasted barley", 9)),
            hops=(("First Gold", 60, 100),),
            yeast="Irish ale",
            ferment_at=("19 °C", "66 °F"),
            co2="2.0",
            extract=((PALE, 100),),
            steeped=("roasted barley", 20.0),
        ),
        Beer(
            key="wheat",
            gravity="1.048",
            bitterness="13 IBU",
            mash=("65 °C", "149 °F"),
            grist=(("wheat malt, light", 56), ("Pilsner malt", 44)),
            hops=(("Hallertauer Mittelfrüh", 60, 100),),
            yeast="German wheat",
            ferment_at=("20 °C", "68 °F"),
            co2="3.0",
            extract=((WHEATEN, 100),),
        ),
        Beer(
            key="farmhouse",
            gravity="1.048",
            bitterness="27 IBU",
            mash=("64 °C", "147 °F"),
            grist=(("Pilsner malt", 80), ("spelt malt", 14), ("flaked oats", 6)),
            hops=(("Aurora", 60, 70), ("Aurora", 10, 30)),
            yeast="Saison, non-diastatic",
            ferment_at=("23 °C", "73 °F"),
            co2="2.8",
            extract=((PALE, 75), (WHEATEN, 25)),
        ),
    )
}
