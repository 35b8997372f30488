"""Name the steps of a day.

In:  the key of a step.
Out: its title, and a sentence on how it is done; no number is in either, as numbers travel as amounts.
"""

from __future__ import annotations

from gylebook.gyle.steps import Step

TITLES: dict[str, tuple[str, str]] = {
    "starter": (
        "Make the starter",
        "Boil the extract in its water, cool it, add the yeast, cover it loosely.",
    ),
    "starter step": (
        "Feed the starter",
        "Boil the extract in its water, cool it, and pour it to what has grown.",
    ),
    "last starter step": (
        "Feed the starter for the last time",
        "Boil the extract in its water, cool it, and pour it to what has grown.",
    ),
    "settle the starter": (
        "Settle the starter",
        "Into the cold; before pitching pour its beer off, to the slurry.",
    ),
    "weigh": (
        "Weigh everything out",
        "Mill the grain, lay the hops ready, check valves and hoses with water.",
    ),
    "take the chlorine out": (
        "Take the chlorine out of all liquor",
        "Dissolve the powder in a cup of it, stir it through, and wait ten minutes.",
    ),
    "dose the mash liquor": (
        "Dose the mash liquor",
        "While it is cool: salts first, stirred till they are gone, then acid; never liquor into acid.",
    ),
    "dose the rinse liquor": (
        "Dose the rinse liquor",
        "While it is cool: salts first, stirred till they are gone, then acid; never liquor into acid.",
    ),
    "finish the mash pH": (
        "Finish the mash pH",
        "Write the pH down first; pour what that asks for, stir it through, and read again.",
    ),
    "heat rinse liquor": ("Heat the rinse liquor", "Lid on. It may stand warm until the bag comes."),
    "heat rinse liquor in the kettle": (
        "Heat the rinse liquor in the kettle",
        "Then pour it into the second vessel and keep it covered.",
    ),
    "heat mash liquor": ("Heat the mash liquor", "Lid on. Stir before you read its temperature."),
    "mash in": (
        "Mash in",
        "Heat off. Stir the grain in until no dry lump is left, then read the temperature.",
    ),
    "heat the mash": ("Heat the mash", "Stir without stopping, the bag clear of the bottom."),
    "rest": (
        "Let the mash rest",
        "Lid on, well wrapped. Stir once or twice. Ten minutes in, cool a sample to the room for its pH.",
    ),
    "lift and drain": ("Lift the bag and let it drain", "Heat off. Lift slowly, hang it over the kettle."),
    "run off": ("Run the wort off", "Slowly, and pour the first cloudy litres back."),
    "dunk rinse": (
        "Rinse the bag in the second vessel",
        "Lower it slowly, open it, stir, lift, drain; add what ran off to the kettle.",
    ),
    "poured rinse": ("Pour the rinse over the bag", "Slowly, over all of it."),
    "fly rinse": ("Rinse while it runs", "Keep as much liquor coming as wort goes."),
    "heat to the boil": (
        "Bring the wort to the boil",
        "Read level and gravity once all wort is in and stirred.",
    ),
    "heat the liquor to the boil": (
        "Bring the liquor to the boil",
        "Lid on till it simmers. Heat off while extract is stirred in.",
    ),
    "boil": ("Boil", "Rolling, lid off."),
    "add to the boil": ("Add to the boil", "A little at a time."),
    "coil in": ("Coil into the kettle", "So that the boil makes it clean."),
    "boil the late liquor": (
        "Boil the liquor for the end",
        "In a pot of its own, on any fire that is free; once it has boiled, keep it hot under its lid.",
    ),
    "end of the boil": ("End of the boil", "Heat off. Read level and gravity before anything is drawn."),
    "stand": ("Let it stand hot", "Lid on."),
    "chill": ("Chill", "Stir, and run the first hot water away where it hurts nobody."),
    "ice": (
        "Leave the rest to ice or the night",
        "Pack the ice round the kettle, or pump its water through the chiller; or close it till morning.",
    ),
    "stand to cool": ("Leave it to cool", "Closed and clean, without a chiller."),
    "divide": (
        "Divide the wort",
        "In turns, a little at a time, so that all get the same wort and trub.",
    ),
    "grain tea": ("Steep a grain tea", "Hot, then strain it, and let it cool before it is poured."),
    "cold grain tea": (
        "Steep a grain tea cold",
        "Strain it; boil it up for a few minutes and cool it again.",
    ),
    "part boiled apart": (
        "Boil a part of the wort with hops",
        "Draw it from the kettle when the boil ends; strain it, cool it, and pour it into its fermenter.",
    ),
    "hop tea": ("Boil a hop tea", "Strain it, and let it cool before it is poured."),
    "dry hop": ("Dry hops", "Slowly: beer with gas in it foams when hops go in."),
    "second organism": (
        "Add the second organism",
        "Clean portions first; keep its hoses and plastics apart.",
    ),
    "keg": ("Keg", "Purge the keg; read the gravity first, and only if it stands still."),
    "bottles": (
        "Bottle",
        "Read the gravity first, and bottle only if it stands still; weigh sugar by the packing sheet alone.",
    ),
    "blend": (
        "Blend and pack",
        "Read the gravity of each part first, and blend only what stands still. Draw by hose, no splash.",
    ),
    "pitch": ("Pitch the yeast", "Swirl a shared starter until it is even; weigh the flask between pours."),
}

# How a step is called and done where `what` says that it is not the usual case.
OTHERWISE: dict[tuple[str, str], tuple[str, str]] = {
    ("weigh", "no grain"): (
        "Weigh everything out",
        "Lay the hops and the extract ready, check valves and hoses with water.",
    ),
    ("dose the mash liquor", "no grain"): (
        "Dose the liquor",
        "While it is cool: salts first, stirred till they are gone, then acid; never liquor into acid.",
    ),
    ("heat rinse liquor", "tun"): ("Heat the rinse liquor", "Lid on. It may stand warm until the wort runs."),
    ("heat rinse liquor in the kettle", "no second vessel"): (
        "Heat the rinse liquor in the kettle",
        "Then pour it aside, into whatever is clean and stands heat, and keep it covered.",
    ),
    ("end of the boil", "boiled liquor"): (
        "End of the boil",
        "Heat off. Stir the boiled liquor in, then read level and gravity before anything is drawn.",
    ),
    ("end of the boil", "extract"): (
        "End of the boil",
        "Heat off. Stir what is listed in until it is dissolved, and boil it up for some minutes: stay with "
        "it, it foams. Then read level and gravity before anything is drawn.",
    ),
    ("end of the boil", "extract and boiled liquor"): (
        "End of the boil",
        "Heat off. Stir what is listed and the boiled liquor in until all is dissolved, and boil it up for "
        "some minutes: stay with it, it foams. Then read level and gravity before anything is drawn.",
    ),
    ("mash in", "tun"): (
        "Mash in",
        "Run the hot liquor into the tun by hose. Stir the grain in until no dry lump is left, then read the "
        "temperature.",
    ),
    ("pitch", "no starter"): ("Pitch the yeast", "As its maker says, once the wort is as cool as it likes."),
    ("heat the mash", "tun"): ("Heat the mash", "Stir without stopping, down to the bottom."),
    ("poured rinse", "tun"): ("Pour the rinse over the grain", "Slowly, over all of it."),
}

FOR_WHOM = (
    *("second organism", "keg", "bottles", "blend"),
    *("starter", "starter step", "last starter step", "settle the starter"),
)


def title_of(step: Step) -> str:
    """What a step is called."""
    return _words(step)[0]


def detail_of(step: Step) -> str:
    """How a step is done, and what or whom it is for where that is not in its amounts."""
    detail = _words(step)[1]
    return f"{step.what}. {detail}" if step.what and step.key in FOR_WHOM else detail


def _words(step: Step) -> tuple[str, str]:
    return OTHERWISE.get((step.key, step.what), TITLES[step.key])
