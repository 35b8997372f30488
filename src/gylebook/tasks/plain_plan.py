"""Make the plan of a plain pale beer, for questions that are about a brewery and about no beer.

In:  a brewery.
Out: a `Plan`, or its text, with everything open: one pale malt, an hour's mash, an hour's boil, one portion.
"""

from __future__ import annotations

from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.errors import Problem, Refused
from gylebook.exchange.plan_file import read_plan
from gylebook.exchange.toml_lines import quoted


def plain_plan(brewery: Brewery) -> Plan:
    """A plain pale beer, mashed and rinsed by what the brewery has.

    Raises Refused where it has no fermenter.
    """
    return read_plan(plain_text(brewery), where="a plain pale beer")


def plain_text(brewery: Brewery) -> str:
    """The same as the text of a plan file."""
    if not brewery.fermenters:
        raise Refused((Problem("fermenters", "none is in the brewery", "name one with its capacity"),))
    widest = max(brewery.fermenters.values(), key=lambda fermenter: fermenter.capacity_l)
    kind, drain = ("dunk rinse", "hung") if brewery.rinse else ("full volume", "hung")
    if brewery.tun:
        kind, drain = "fly rinse", "tun"
    return PLAIN.format(kind=kind, drain=drain, fermenter=quoted(widest.key))


PLAIN = """\
name = "Plain pale beer"

[aims]
fermenters = "20 L"
gravity = "1.050"
bitterness = "25 IBU"

[process]
kind = "{kind}"
drain = "{drain}"

[[grist]]
grain = "Pilsner malt"
share = "100 %"

[[mash]]
temperature = "66 °C"
time = "60 min"

[boil]
time = "60 min"

[[hops]]
variety = "Perle"
time = "60 min"
bitterness_share = "100 %"

[portions.all]
name = "all of it"
fermenter = {fermenter}
share = "100 %"
ferment_at = "18 °C"
yeast = {{ kind = "American ale, clean", form = "dry", packs = 2, cells = "180 billion", age = "60 d" }}
package = {{ kind = "keg", co2 = "2.4" }}
"""
