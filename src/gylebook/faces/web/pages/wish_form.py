"""Hold a wish as a form shows it.

In:  the query of an address, what the book offers, the reader's units.
Out: `WishForm`: every field as typed, the usual where nothing was; `typed()`, the same for the tasks.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import parse_qs

from gylebook.brewery.wish import Treatment
from gylebook.faces.words import Units
from gylebook.tasks.divide_desk import Offered
from gylebook.tasks.wish_typed import AIMS, BeerTyped, WishTyped

LEAST, MOST = 2, 6  # beers
MOST_FIELDS = 300
LONGEST = 120  # characters of a field
TREATMENTS: tuple[tuple[Treatment, str], ...] = (
    ("dilution", "liquor"),
    ("sugar", "sugar"),
    ("hop tea", "hops boiled apart"),
    ("grain tea", "a tea of steeped grain"),
    ("long ageing", "months on Brettanomyces"),
)
USUAL_MAY = ("dilution", "sugar", "hop tea", "grain tea")
# What a first look shows, so that the form is never empty.
USUAL = {
    "name": "One wort",
    "grain1": "pale ale malt",
    "share1": "80 %",
    "grain2": "Vienna malt",
    "share2": "20 %",
    "dark1": "caramel malt, medium",
    "most1": "10 %",
    "dark2": "chocolate malt",
    "most2": "4 %",
    "mash": "66 °C",
    "boil": "60 min",
    "hop": "Perle",
    "alpha": "",
    "hops_in": "water",
}
USUAL_YEAST = "American ale, clean"


@dataclass(frozen=True, slots=True, kw_only=True)
class BeerForm:
    """The fields of one beer."""

    number: int
    name: str
    style: str
    fermenter: str
    volume: str
    yeast: str
    or_yeast: str
    later: str
    package: str
    may: tuple[str, ...]
    aims: Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class WishForm:
    """All fields."""

    brewery: str
    kind: str
    wort: Mapping[str, str]
    beers: tuple[BeerForm, ...]
    volume_unit: str
    colour_unit: str

    @property
    def more(self) -> int:
        """How many beers one more would be; none where that is too many."""
        return len(self.beers) + 1 if len(self.beers) < MOST else 0

    def typed(self) -> WishTyped:
        """What was typed, for the tasks."""
        wort = self.wort
        pairs = [("grain", "share"), ("dark", "most")]
        grains, darker = (
            tuple((wort[f"{a}{n}"], wort[f"{b}{n}"]) for n in (1, 2) if wort[f"{a}{n}"]) for a, b in pairs
        )
        return WishTyped(
            name=wort["name"],
            kind=self.kind,
            grains=grains,
            darker=darker,
            mash=wort["mash"],
            boil=wort["boil"],
            hop=wort["hop"],
            alpha=wort["alpha"],
            hops_in=wort["hops_in"],
            beers=tuple(
                BeerTyped(
                    name=beer.name,
                    fermenter=beer.fermenter,
                    style=beer.style,
                    volume=beer.volume,
                    aims=beer.aims,
                    yeasts=tuple(dict.fromkeys(one for one in (beer.yeast, beer.or_yeast) if one)),
                    later=beer.later,
                    package=beer.package,
                    may=beer.may,
                )
                for beer in self.beers
            ),
            volume_unit=self.volume_unit,
            colour_unit=self.colour_unit,
        )


def form_of(query: str, offered: Offered, units: Units) -> WishForm:
    """The form that a query filled in, the usual where it says nothing."""
    try:
        given = parse_qs(query, keep_blank_values=True, max_num_fields=MOST_FIELDS)
    except ValueError:  # no form of ours has so many
        given = {}

    def field(name: str, usual: str = "") -> str:
        return given.get(name, [usual])[-1].strip()[:LONGEST]

    count = field("beers", str(LEAST))
    beers = min(max(int(count), LEAST), MOST) if count.isascii() and count.isdigit() else LEAST
    asked = "b1_name" in given
    free = [one.key for one in offered.fermenters]
    return WishForm(
        brewery=offered.brewery,
        kind=field("kind", "dunk rinse" if offered.rinses else "full volume"),
        wort={name: field(name, usual) for name, usual in USUAL.items()},
        beers=tuple(
            BeerForm(
                number=n,
                name=field(f"b{n}_name", f"Beer {n}"),
                style=field(f"b{n}_style"),
                fermenter=field(f"b{n}_fermenter", free[(n - 1) % len(free)]),
                volume=field(f"b{n}_volume"),
                yeast=field(f"b{n}_yeast", USUAL_YEAST),
                or_yeast=field(f"b{n}_or_yeast"),
                later=field(f"b{n}_later"),
                package=field(f"b{n}_package", "keg"),
                may=tuple(given.get(f"b{n}_may", () if asked and f"b{n}_name" in given else USUAL_MAY)),
                aims={aim: field(f"b{n}_{aim}") for aim in AIMS},
            )
            for n in range(1, beers + 1)
        ),
        volume_unit=_one_of(field("volume_in"), ("L", "gal"), units.volume),
        colour_unit=_one_of(field("colour_in"), ("EBC", "SRM"), units.colour),
    )


def _one_of(given: str, known: tuple[str, ...], usual: str) -> str:
    """The unit a form was typed in stays its own, whatever its reader likes."""
    return given if given in known else usual
