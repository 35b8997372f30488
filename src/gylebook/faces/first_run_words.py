"""Say what a first run asks: the shapes of brewery, the kinds of beer, and every field in plain words.

In:  keys of `tasks.first_run`.
Out: titles, labels, and one short line that explains each word where it stands.
"""

from __future__ import annotations

from dataclasses import dataclass

SHAPE_WORDS: dict[str, tuple[str, str]] = {
    "bag": (
        "One kettle and a bag",
        "All the water at once; the grain hangs in it in a bag, the bag is lifted out, and what is left is "
        "boiled in the same kettle.",
    ),
    "bag-and-pot": (
        "A kettle, a bag, and a second pot",
        "The bag is lifted out of the kettle and stirred once more in hot water in a second pot, so that "
        "less sugar stays in the grain.",
    ),
    "tun": (
        "A kettle and a tun",
        "The grain stays in a vessel of its own with a false bottom; hot water runs over it from above while "
        "the wort runs off below.",
    ),
    "extract": (
        "A pot, and extract",
        "No mashing: malt extract is dissolved in water and boiled with hops. The shortest way to a beer.",
    ),
    "hoist": (
        "A large electric kettle with a hoist",
        "As with one kettle and a bag, in twice the size: a hoist lifts what no person should.",
    ),
}

BEER_WORDS: dict[str, str] = {
    "pale ale": "pale ale: biscuit and earthy hops, dry enough for a second glass",
    "amber": "amber: malt first, smooth, fermented cool",
    "stout": "stout: black and dry, roasted barley",
    "wheat": "wheat beer: cloudy, hardly bitter, fruit from the yeast",
    "farmhouse": "farmhouse ale: pale, peppery, fermented warm, very dry",
}


@dataclass(frozen=True, slots=True)
class Asked:
    """One field: its label, what the word means, and the choices where only some are possible."""

    name: str
    label: str
    meaning: str
    choices: tuple[tuple[str, str], ...] = ()


HEATS = (
    ("element", "an element in the kettle"),
    ("induction", "an induction plate"),
    ("hotplate", "a hot plate"),
    ("gas", "gas"),
    ("sheltered gas", "gas, shielded from the wind"),
)
CHILLERS = (
    ("coil", "a coil that hangs in the kettle"),
    ("counterflow", "a counterflow or plate chiller"),
    ("none", "nothing: it stands till it is cold"),
)

GEAR = (
    Asked("brewery", "What the brewery is called", "A book can hold several."),
    Asked("kettle", "Kettle, to the brim", "What it holds when quite full, not the size it is sold as."),
    Asked("second", "Second vessel, to the brim", "The pot for the rinse, or the tun for the grain."),
    Asked("power", "Power of the heat", "As it is printed on the element, the plate or the burner."),
    Asked("heat", "What heats it", "How much of that power reaches the wort depends on it.", HEATS),
    Asked("fermenters", "Fermenters, how many", "Vessels that wort can ferment in."),
    Asked("fermenter", "Each fermenter, to the brim", "Foam wants a fifth of it left free."),
)

CLOSER = (
    Asked("across", "Kettle, across", "Inside, from wall to wall. The wider it is, the more it boils away."),
    Asked("chiller", "What cools the wort", "From the boil to where yeast can live.", CHILLERS),
    Asked("surface", "Chiller’s surface", "Metal between wort and water: 10 m of 15 mm tube have 0.47 m²."),
    Asked("tap", "Water from the tap", "Its temperature, for brewing and for cooling."),
    Asked("room", "The room", "Its temperature, which the grain has, too."),
    Asked("altitude", "Height above the sea", "Water boils cooler on a mountain."),
    Asked("bag", "The bag, dry", "Its weight, empty. A basket with feet weighs more."),
    Asked(
        "lift",
        "What may hang from hook or hoist",
        "Full of wort the bag weighs four to six times its dry grain. Left empty: 15 kg, lifted by hand.",
    ),
    Asked("marks", "How finely the kettle is read", "What a stick with notches, or marks, may be off by."),
    Asked("hydrometer", "Hydrometer made for", "The temperature that is printed on its scale."),
)

BEER = (
    Asked("beer", "What the beer is called", "Left empty, it is named after its kind."),
    Asked("litres", "Into the fermenters", "How much wort there shall be to ferment, cooled."),
    Asked("gravity", "Gravity before the yeast", "How much sugar is in the wort: 1.046 or 11.5 °P."),
    Asked("bitterness", "Bitterness", "In IBU, milligrams of hop bitter to the litre."),
)

TAKEN_FOR_GRANTED = (
    "Thermometer, refractometer, scale and pH meter are taken to be there, with the errors of decent ones; "
    "nobody asks for a reading that you cannot take. Under House each can be described as it is."
)
BAG = (
    "A full bag is hot and heavy: hang it from something that holds it, and keep feet and face from under it."
)
GAS = "Burn gas outdoors only, or where air comes in freely."
CAUTIONS: dict[str, tuple[str, ...]] = {
    "bag": (BAG,),
    "bag-and-pot": (BAG, GAS),
    "tun": (
        "Hot water and wort run through hoses here: clamp them, and shut the tap before you turn away.",
        GAS,
    ),
    "extract": ("Extract burns on: take the pot from the heat to stir it in. Never leave a boil alone.",),
    "hoist": (BAG, "A large element belongs on a circuit of its own, behind a residual-current device."),
}


def asked_of(shape_has_second: bool, shape_has_bag: bool, fields: tuple[Asked, ...]) -> tuple[Asked, ...]:
    """The fields that such a brewery has."""
    left_out = {"second"} if not shape_has_second else set()
    if not shape_has_bag:
        left_out |= {"bag", "lift"}
    return tuple(field for field in fields if field.name not in left_out)
