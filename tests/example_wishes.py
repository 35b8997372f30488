"""Build wishes for tests: beers in the example brewery, each stated by what a test is about."""

from __future__ import annotations

from pathlib import Path

from gylebook.brewery.wish import Wish
from gylebook.exchange.brewery_file import read_brewery
from gylebook.exchange.wish_file import read_wish

EXAMPLE = Path(__file__).parents[1] / "examples" / "garden-trio"
SHED = read_brewery((EXAMPLE / "brewery.toml").read_text(encoding="utf-8"), where="brewery")
HEAD = """
name = "trial"
odds = "90 %"
{more}
[process]
kind = "full volume"
[[grist]]
grain = "pale ale malt"
share = "100 %"
[[colour_grains]]
grain = "chocolate malt"
at_most = "5 %"
[[mash]]
temperature = "66 °C"
time = "60 min"
[boil]
time = "60 min"
[[hops]]
variety = "Perle"
time = "60 min"
bitterness_share = "100 %"
[[yeasts]]
kind = "American ale, clean"
form = "dry"
cells = "200 billion"
[hop_tea]
variety = "Perle"
mass = "50 g"
water = "1.5 L"
time = "30 min"
[grain_tea]
grain = "roasted barley"
mass = "0.5 kg"
water = "2 L"
[sugar]
name = "table sugar"
mass = "0.5 kg"
"""
BEER = """
[beers.{key}]
name = "{key}"
fermenter = "{fermenter}"
volume = "{volume}"
package = {{ kind = "keg" }}
{aims}
"""
FERMENTERS = ("squat", "tall", "glass")


def wish(more: str = "", volume: str = "8 L", **beers: str) -> Wish:
    """Beers by key, each with the lines that state its aims."""
    told = [
        BEER.format(key=key, fermenter=fermenter, volume=volume, aims=aims)
        for (key, aims), fermenter in zip(beers.items(), FERMENTERS, strict=False)
    ]
    return read_wish(HEAD.format(more=more) + "".join(told), where="wish")
