"""Say what a plan's form asks, in the order of a brewer's work, with the words explained where they stand.

In:  nothing.
Out: `SECTIONS`; `asked_at`, the question behind a path such as `grist.0.share`.

Idea: a path is the plan file's own; the words beside it are for somebody who has brewed twice.  What the form
does not ask (teas, blends, a malt's own figures) stays in the file as it is.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from gylebook.brewery.ingredients import HopForm, HopStorage, HopUse, StarterKind, YeastForm
from gylebook.brewery.plan import BitternessBy, Crush, Drain, PackageKind, ProcessKind
from gylebook.brewery.water import AgainstChlorine, DoseInto

Names = Literal["", "grains", "hops", "sugars", "yeasts", "acids", "substances"]
Offers = Literal["", "fermenters", "waters", "alkalis", "starters", "portions", "places"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """One question of the form.

    `key` is its path inside the section's table.  It is answered by a text, by one of `choices`, by one of
    what the brewery or the plan `offers`, by yes or no (`flag`), or by several (`many`); `names` are only
    suggested.  `usual` holds where it is left empty; what is `solved` then is found from the aims.  What is
    `rare` stands folded away until it says something.
    """

    key: str
    label: str
    hint: str = ""
    example: str = ""
    choices: tuple[str, ...] = ()
    offers: Offers = ""
    names: Names = ""
    usual: str = ""
    flag: bool = False
    many: bool = False
    must: bool = False
    solved: bool = False
    rare: bool = False
    group: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """One heading of the form: a table of the file, a list of them, or tables by a key of their own.

    `lead` is the field that a new row begins with, `row` what one is called.
    """

    key: str
    title: str
    asked: tuple[Asked, ...]
    hint: str = ""
    rows: Literal["", "list", "named"] = ""
    row: str = ""
    lead: str = ""


def _ion(key: str, label: str, hint: str = "", example: str = "100 mg/L") -> Asked:
    return Asked(key=f"ions.{key}", label=label, hint=hint, example=example, group="Ions of all liquor")


AIMS = Section(
    key="aims",
    title="Aims",
    hint="What the wort should be. An aim that is left empty is free.",
    asked=(
        Asked(key="fermenters", label="Wort into the fermenters", hint="all of them together, at 20 °C",
              example="34 L"),
        Asked(key="gravity", label="Original gravity", hint="strength before the yeast; °P will do, too",
              example="1.052"),
        Asked(key="bitterness", label="Bitterness", example="28 IBU"),
        Asked(key="mash_ph", label="pH of the mash", hint="read in a cooled sample", example="5.4"),
        Asked(key="odds", label="How sure to be", hint="of the volume, and of every limit", usual="90 %",
              example="90 %"),
    ),
)  # fmt: skip

PROCESS = Section(
    key="process",
    title="Process",
    asked=(
        Asked(key="kind", label="How the wort is made", choices=get_args(ProcessKind), must=True,
              hint="Full volume: all liquor goes into the mash. A dunk rinse moves the bag to a second pot, "
              "a poured one wets it where it hangs, a fly rinse trickles through a tun."),
        Asked(key="drain", label="How the bag gives up its wort", choices=get_args(Drain),
              usual="hung, or the tun of a fly rinse"),
        Asked(key="crush", label="How fine the grain is crushed", choices=get_args(Crush), usual="fine"),
        Asked(key="rinse_temperature", label="Rinse liquor at", usual="74 °C", example="74 °C"),
        Asked(key="stirred", label="Rinse stirred", flag=True, usual="yes", rare=True),
        Asked(key="mash_out", label="Mash heated before it is drained", flag=True, usual="no", rare=True),
    ),
)  # fmt: skip

GRIST = Section(
    key="grist",
    title="Grist",
    hint="The grain that is mashed. With shares the masses are found from the aims.",
    rows="list",
    row="grain",
    lead="grain",
    asked=(
        Asked(key="grain", label="Grain", names="grains", must=True, example="Pilsner malt"),
        Asked(key="share", label="Share of the mass", example="70 %"),
        Asked(key="mass", label="Mass, in place of a share", solved=True, example="7.5 kg"),
        Asked(key="extract", label="Extract", hint="of the dry grain, finely ground, as its maker says",
              usual="the table's", example="81 %", rare=True),
        Asked(key="moisture", label="Moisture", usual="the table's", example="4.5 %", rare=True),
        Asked(key="colour", label="Colour", usual="the table's", example="3.5 EBC", rare=True),
    ),
)  # fmt: skip

LIQUOR = Section(
    key="liquor",
    title="Liquor",
    hint="Liquor is brewing water. What is left empty is found; salts and acid are for the ions and the pH "
    "that are wanted.",
    asked=(
        Asked(key="mash", label="Into the mash", solved=True, example="34 L"),
        Asked(key="rinse", label="For the rinse", solved=True, example="14 L"),
        Asked(key="kettle", label="Into the kettle at the end", hint="kept back until the boil is over, so "
              "that there is room for foam", usual="none", example="2 L"),
        _ion("calcium", "Calcium", "clears beer, feeds yeast, sours the mash a little"),
        _ion("magnesium", "Magnesium"),
        _ion("sodium", "Sodium"),
        _ion("chloride", "Chloride", "fullness"),
        _ion("sulphate", "Sulphate", "a drier bitterness"),
        _ion("alkalinity", "Alkalinity", "what holds the pH up", "60 mg/L CaCO3"),
        Asked(key="salts", label="Salts at hand", many=True, group="What is at hand",
              usual="gypsum, calcium chloride, common salt, Epsom salt"),
        Asked(key="acid", label="Acid", names="acids", usual="lactic acid 88 %", example="lactic acid 88 %",
              group="What is at hand"),
        Asked(key="alkali", label="Against too sour a mash", offers="alkalis", usual="baking soda",
              group="What is at hand"),
        Asked(key="rinse_alkalinity", label="Alkalinity left in the rinse",
              hint="the acid takes away what is more", example="25 mg/L CaCO3", rare=True),
        Asked(key="diluted_with", label="Thinned with", offers="waters", rare=True,
              hint="a purer water of the brewery; how much is found for the ions"),
        Asked(key="against_chlorine", label="Against chlorine", choices=get_args(AgainstChlorine),
              usual="potassium metabisulphite", rare=True),
    ),
)  # fmt: skip

DOSES = Section(
    key="doses",
    title="Salts and acid by hand",
    hint="Only where you want to weigh them yourself; else they are found.",
    rows="list",
    row="salt or acid",
    lead="of",
    asked=(
        Asked(key="of", label="Salt or acid", names="substances", must=True, example="gypsum"),
        Asked(key="into", label="Into", choices=get_args(DoseInto), must=True,
              hint="held back: for the mash, once its pH was read"),
        Asked(key="amount", label="How much", must=True, example="8 g"),
    ),
)  # fmt: skip

MASH = Section(
    key="mash",
    title="Mash",
    hint="The first rest sets how hot the liquor is when the grain goes in.",
    rows="list",
    row="rest",
    lead="temperature",
    asked=(
        Asked(key="temperature", label="Rest at", must=True, example="66 °C"),
        Asked(key="time", label="For", must=True, example="60 min"),
    ),
)

BOIL = Section(
    key="boil", title="Boil", asked=(Asked(key="time", label="Boil for", must=True, example="60 min"),)
)

HOPS = Section(
    key="hops",
    title="Hops",
    hint="Hops without a mass share what is lacking of the bitterness.",
    rows="list",
    row="hop",
    lead="variety",
    asked=(
        Asked(key="variety", label="Variety", names="hops", must=True, example="Saaz"),
        Asked(key="alpha", label="Alpha acids", hint="as on the pack", usual="the table's", example="3.5 %"),
        Asked(key="use", label="When", choices=get_args(HopUse), usual="boil"),
        Asked(key="time", label="Boil left, or time in", example="60 min",
              hint="how long it boils, stands, or lies in the beer"),
        Asked(key="mass", label="Mass", solved=True, example="20 g"),
        Asked(key="bitterness_share", label="Part of the bitterness", example="80 %"),
        Asked(key="portion", label="Dry hops for", offers="portions", rare=True),
        Asked(key="form", label="Form", choices=get_args(HopForm), usual="pellets", rare=True),
        Asked(key="age", label="Age since it was measured", example="240 d", rare=True),
        Asked(key="storage", label="Kept", choices=get_args(HopStorage), usual="sealed", rare=True),
    ),
)  # fmt: skip

ADDITIONS = Section(
    key="additions",
    title="Anything else",
    hint="Sugar, malt extract, fruit, spice, finings, nutrient.",
    rows="list",
    row="addition",
    lead="name",
    asked=(
        Asked(key="name", label="What", names="sugars", must=True, example="table sugar"),
        Asked(key="mass", label="Mass", must=True, example="300 g"),
        Asked(key="at", label="Into", offers="places", usual="boil"),
        Asked(key="time", label="Boil left", example="10 min"),
        Asked(key="extract", label="Of it dissolves", hint="0 % for a spice", usual="the table's",
              example="96 %"),
        Asked(key="fermentable", label="Of that yeast takes", usual="the table's", example="75 %", rare=True),
        Asked(key="finings", label="There to clear the wort", flag=True, usual="no", rare=True),
    ),
)  # fmt: skip

STAND = Section(
    key="stand",
    title="Hot stand",
    hint="Hops steep after the boil. Leave both empty for none.",
    asked=(
        Asked(key="temperature", label="Stand at", example="80 °C"),
        Asked(key="time", label="For", example="20 min"),
    ),
)

CHILL = Section(
    key="chill", title="Chill", asked=(Asked(key="to", label="Down to", usual="20 °C", example="18 °C"),)
)

STARTERS = Section(
    key="starters",
    title="Starters",
    hint="A small brew that yeast grows in beforehand. Portions may share one.",
    rows="named",
    row="starter",
    lead="kind",
    asked=(
        Asked(key="kind", label="Kept moving", choices=get_args(StarterKind), usual="stirred"),
        Asked(key="volume", label="Volume", solved=True, example="2 L"),
        Asked(key="gravity", label="Gravity", usual="9 °P", example="9 °P"),
        Asked(key="days_before", label="Days before the brew", usual="2", example="2"),
        Asked(key="cold_crash", label="Settled cold, its beer poured off", flag=True, usual="no", rare=True),
    ),
)

PORTIONS = Section(
    key="portions",
    title="Portions",
    hint="One wort, and the beers that come of it: each its own fermenter, yeast and package.",
    rows="named",
    row="portion",
    lead="name",
    asked=(
        Asked(key="name", label="Name of the beer", must=True, example="Gate amber"),
        Asked(key="fermenter", label="Fermenter", offers="fermenters", must=True),
        Asked(key="share", label="Share of the wort", usual="by the room there is", example="40 %"),
        Asked(key="ferment_at", label="Ferments at", usual="19 °C, or what suits the yeast",
              example="18 °C"),
        Asked(key="volume", label="Volume, in place of a share", example="12 L", rare=True),
        Asked(key="top_up", label="Liquor added in the fermenter", hint="boiled and cooled", usual="none",
              example="2 L", rare=True),
        Asked(key="head_room", label="Room for foam", hint="as a share of the wort", usual="20 %",
              example="20 %", rare=True),
        Asked(key="yeast.kind", label="Kind", names="yeasts", must=True, group="Yeast",
              example="American ale, clean"),
        Asked(key="yeast.form", label="Form", choices=get_args(YeastForm), usual="liquid", group="Yeast"),
        Asked(key="yeast.packs", label="Packs", usual="1", example="1", group="Yeast"),
        Asked(key="yeast.cells", label="Cells in a new pack", usual="150 billion", example="150 billion",
              group="Yeast"),
        Asked(key="yeast.age", label="Age of the pack", usual="30 d", example="35 d", group="Yeast"),
        Asked(key="yeast.starter", label="Starter", offers="starters", usual="none", group="Yeast"),
        Asked(key="yeast.attenuation", label="Attenuation", hint="how much of the gravity it takes",
              usual="the table's", example="77 %", rare=True, group="Yeast"),
        Asked(key="package.kind", label="Packed in", choices=get_args(PackageKind), must=True,
              group="Package"),
        Asked(key="package.co2", label="Gas", hint="volumes of CO2", example="2.4", group="Package"),
        Asked(key="package.bottle", label="One bottle holds", usual="0.5 L", example="0.5 L",
              group="Package"),
        Asked(key="package.after", label="Days from pitching", example="24 d", group="Package"),
        Asked(key="later.kind", label="Organism", names="yeasts", example="Brettanomyces secondary",
              rare=True, group="Something that lives on in it later"),
        Asked(key="later.after", label="Added after", example="21 d", rare=True,
              group="Something that lives on in it later"),
        Asked(key="later.months", label="Months at work", example="6", rare=True,
              group="Something that lives on in it later"),
    ),
)  # fmt: skip

WHOLE = Section(
    key="",
    title="Bitterness by",
    asked=(
        Asked(key="bitterness_by", label="Aimed by", choices=get_args(BitternessBy), usual="trade rule",
              hint="the trade's rule of thumb, or the chemistry of the boil"),
    ),
)  # fmt: skip

SECTIONS = (
    AIMS, PROCESS, GRIST, LIQUOR, DOSES, MASH, BOIL, HOPS, WHOLE, ADDITIONS, STAND, CHILL, STARTERS, PORTIONS,
)  # fmt: skip


def asked_at(path: str) -> tuple[Section, Asked] | None:
    """The section and question of a path; None where the form does not ask it."""
    head, _, rest = path.partition(".")
    for section in SECTIONS:
        if section.key and section.key != head:
            continue
        inside = path if not section.key else rest.partition(".")[2] if section.rows else rest
        for asked in section.asked:
            if inside in (asked.key, f"{asked.key}.aim"):
                return section, asked
    return None
