"""Say what a brewery file holds: each part of it, and each field in plain words.

In:  paths of a brewery file.
Out: the parts of the page with their fields; what a path is called.

Idea: the page is this table.  A part is either one set of fields or a row for each key of a table of the
file; a field left empty is not stated, and then the usual value or the published figure holds.
"""

from __future__ import annotations

from dataclasses import dataclass

from gylebook.faces.first_run_words import CHILLERS, HEATS, Asked

YES_NO = (("yes", "yes"), ("no", "no"))
METALS = tuple((m, m) for m in ("stainless", "aluminium", "copper", "glass", "plastic"))
INSTRUMENTS = (
    ("hydrometer", "hydrometer"),
    ("refractometer", "refractometer"),
    ("dipstick", "dipstick, or marks of a vessel"),
    ("scale", "scale"),
    ("thermometer", "thermometer"),
    ("ph meter", "pH meter"),
    ("clock", "clock"),
    ("tally", "tally of bottles"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A part of the page.  With a `table` there is a row for each of its keys, and rows come and go.

    `one` names a row, and `usual` what a choice stands at where the file does not state it.
    """

    key: str
    title: str
    told: str
    fields: tuple[Asked, ...]
    table: str = ""
    one: str = ""
    usual: tuple[tuple[str, str], ...] = ()


SITE = Part(
    key="place",
    title="The place",
    told="Where it is brewed.",
    fields=(
        Asked("altitude", "Height above the sea", "Water boils cooler on a mountain; 0 m if left empty."),
        Asked("room_temperature", "The room", "The grain has its temperature; 18 °C if left empty."),
        Asked("liquor_temperature", "Brewing water", "As it is drawn; 12 °C if left empty."),
        Asked("kettle", "The kettle is", "The short name of the vessel that boils."),
        Asked("rinse", "Grain is rinsed in", "The short name of a vessel, or empty."),
        Asked("tun", "Grain is mashed in", "A tun besides the kettle, or empty."),
    ),
)
VESSELS = Part(
    key="vessels",
    title="Vessels",
    told="Pots, kettles and tuns.",
    table="vessels",
    one="vessel",
    usual=(("metal", "stainless"), ("may_be_heated", "yes"), ("insulated", "no")),
    fields=(
        Asked("name", "Called", "Its short name if left empty."),
        Asked("capacity", "To the brim", "What it holds when quite full."),
        Asked("dead_volume", "Stays behind", "When emptied as you do it; a published value if left empty."),
        Asked("diameter", "Across", "Inside, from wall to wall."),
        Asked("mass", "Weighs, empty", "0.16 kg for each litre if left empty."),
        Asked("metal", "Made of", "How much heat it takes up itself.", METALS),
        Asked("may_be_heated", "May stand on heat", "A plastic tun may not.", YES_NO),
        Asked("insulated", "Insulated", "How fast a mash cools in it.", YES_NO),
    ),
)
HEAT = Part(
    key="heat",
    title="Heat",
    told="Elements, plates and burners. Gas burns outdoors, or where air comes in freely.",
    table="heat_sources",
    one="source of heat",
    fields=(
        Asked("name", "Called", "Its short name if left empty."),
        Asked("kind", "Kind", "How much of its power reaches the liquid.", HEATS),
        Asked("power", "Power", "As it is printed on it."),
        Asked("efficiency", "Reaches the liquid", "A share, if you measured it; a published one if empty."),
        Asked("vessels", "Heats", "Short names of vessels, with commas between."),
    ),
)
CHILLER = Part(
    key="chiller",
    title="Chiller",
    told="What brings the wort from the boil to the yeast.",
    usual=(("chiller.kind", "none"), ("chiller.stirred", "yes")),
    fields=(
        Asked("chiller.kind", "Kind", "With none it stands till it is cold.", CHILLERS),
        Asked("chiller.area", "Surface", "Metal between wort and water: 10 m of 15 mm tube have 0.47 m²."),
        Asked("chiller.known.volume", "Once cooled", "A cooling that you timed: how much, from the boil."),
        Asked("chiller.known.to", "Down to", "Where that cooling ended."),
        Asked("chiller.known.time", "In", "How long it took. It goes before the surface."),
        Asked("chiller.tap", "Cooling water", "Its temperature; 14 °C if left empty."),
        Asked("chiller.flow", "Its flow", "Litres a minute; time a bucketful. 8 L/min if left empty."),
        Asked("chiller.stirred", "Wort is stirred", "It cools in half the time.", YES_NO),
        Asked("chiller.displaces", "Room it takes", "Of a coil that stands in the kettle."),
    ),
)
BAG = Part(
    key="bag",
    title="Bag",
    told="Full of wort it weighs four to six times its dry grain, and it is hot.",
    fields=(
        Asked("bag.mass", "Weighs, dry", "0.3 kg if left empty."),
        Asked("bag.hoist", "Hook or hoist carries", "Whatever of hook, rope and beam is weakest."),
        Asked("bag.person", "Lifted by hand", "Where there is no hoist; 15 kg if left empty."),
    ),
)
FERMENTERS = Part(
    key="fermenters",
    title="Fermenters",
    told="One holds one portion.",
    table="fermenters",
    one="fermenter",
    fields=(
        Asked("name", "Called", "Its short name if left empty."),
        Asked("capacity", "To the brim", "Foam wants a fifth of it left free."),
        Asked("dead_volume", "Cannot be racked", "What stays under the tap; 0.3 L if left empty."),
    ),
)
INSTRUMENT = Part(
    key="instruments",
    title="Instruments",
    told="One of every kind is there without being named, with the errors of a decent one. Name those you "
    "know better.",
    table="instruments",
    one="instrument",
    fields=(
        Asked("name", "Called", "Its short name if left empty."),
        Asked("kind", "Kind", "What it reads.", INSTRUMENTS),
        Asked("error", "Differs by", "From one reading to the next, as its scale shows."),
        Asked("bias", "Off by", "What all its readings may share, as its scale shows."),
        Asked("calibrated", "Made for", "The temperature of its scale; 20 °C if left empty."),
    ),
)
_IONS = ("calcium", "magnesium", "sodium", "chloride", "sulphate", "bicarbonate")
WATERS = Part(
    key="waters",
    title="Waters",
    told="Each figure as the report writes it, with its unit: 180 mg/L CaCO3, 12 °dH, 11 mg/L S.",
    table="waters",
    one="water",
    usual=(("chloramine", "yes"),),
    fields=(
        Asked("name", "Called", "Its short name if left empty."),
        Asked("report.ph", "pH", "Hardly moves a mash."),
        Asked("report.alkalinity", "Alkalinity", "Acid capacity to pH 4.3, which moves a mash most."),
        Asked("report.hardness", "Hardness, in all", "Where calcium and magnesium are not told."),
        *(Asked(f"report.{ion}", ion.capitalize(), "As the report has it, or empty.") for ion in _IONS),
        Asked("scatter", "Changes by", "What all of it may be off by on a day; 10 % if left empty."),
        Asked("chlorine", "Chlorine", "Total, at the tap."),
        Asked("chloramine", "It may be chloramine", "Which does not leave with boiling.", YES_NO),
        Asked("membrane_of", "Made by a membrane of", "Short name of another water, instead of a report."),
        Asked("passed", "Lets through", "Share of each ion; 4 % if left empty."),
    ),
)
PATIENCE = Part(
    key="limits",
    title="Limits of patience, and of care",
    told="Beyond these a forecast says so.",
    fields=(
        Asked("patience_heat", "Longest heating", "120 min if left empty."),
        Asked("patience_cool", "Longest cooling", "60 min if left empty."),
        Asked("stir_room", "Kept free, mashing", "Share of the vessel; 5 % if left empty."),
        Asked("foam_room", "Kept free, boiling", "Share of the kettle, for foam; 15 % if left empty."),
        Asked("basket", "Hop basket’s own", "Room that its material takes."),
        Asked("water", "Water drawn", "Short name of the one used where a plan names none."),
        Asked("weighs_to", "Scale’s finest step", "0.1 g if left empty."),
        Asked("measures_to", "Measure’s finest step", "0.1 mL if left empty."),
    ),
)
PARTS = (SITE, VESSELS, HEAT, CHILLER, BAG, FERMENTERS, INSTRUMENT, WATERS, PATIENCE)
TABLES = {part.table: part for part in PARTS if part.table}


def field_name(path: str) -> str:
    """What the field at a path is called: “kettle, to the brim”; a house figure by its own name."""
    table, _, rest = path.partition(".")
    if table == "house":
        return f"house figure {rest.rpartition('.')[0]}, {rest.rpartition('.')[2]}"
    part = TABLES.get(table)
    if part is not None:
        key, _, inner = rest.partition(".")
        label = next((one.label for one in part.fields if one.name == inner), inner)
        return f"{key}, {label[:1].lower()}{label[1:]}"
    found = next((one.label for part in PARTS for one in part.fields if one.name == path), path)
    return f"{found[:1].lower()}{found[1:]}"
