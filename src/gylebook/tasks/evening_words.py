"""Name the steps of a calibration evening.

In:  a step.
Out: its title, and how it is done; no number is in either, as numbers travel as amounts.
"""

from __future__ import annotations

from gylebook.gyle.steps import Step

_POUR = "Weigh it in by the bucket and add the bucketfuls up. "
TITLES: dict[str, tuple[str, str]] = {
    "evening first": (
        "Pour the first half in",
        _POUR + "Then read the marks, or dip the stick; coil, bag and basket stay out.",
    ),
    "evening full": (
        "Pour the second half in",
        _POUR + "Write down this half alone. Read the marks again, stir, and take the temperature.",
    ),
    "evening heat": (
        "Heat it with the lid on",
        "Full fire. Start the clock as you light it and let it run; stir before you read the thermometer.",
    ),
    "evening beside": (
        "Heat the second vessel meanwhile",
        "Lid on. Start a clock of its own as you light it. Let it cool there; its water is done with.",
    ),
    "evening boil": (
        "Boil it, lid off",
        "As hard as you boil wort. Once it rolls, hold the fire a moment for the marks, start the clock, and "
        "let the thermometer hang in it.",
    ),
    "evening boil end": ("End the boil", "Heat off, clock off. Read the marks once the surface is still."),
    "evening stand": (
        "Leave it to cool",
        "Lid on, till the morning. Nothing is drawn while it is hot.",
    ),
    "evening drained": (
        "Drain it as you drain wort",
        "Through the hose that you use, into buckets, until no more comes. Weigh them and add them up, "
        "or write down their litres where an instrument of the brewery file has those marks.",
    ),
    "evening left": (
        "Measure what stays",
        "Tip the kettle out into a jug, and weigh it; a jug that the brewery file has among its instruments "
        "may be read instead.",
    ),
}
CHILLED = {
    "coil": (
        "Chill it with the coil",
        "Coil in, water on as strong as said (time a bucketful), and stir as you stir wort. Take the "
        "temperature of the water that goes in; clock from water on.",
    ),
    "counterflow": (
        "Run it through the chiller",
        "Water on as strong as said (time a bucketful); let the hot water run as fast as it leaves at the "
        "temperature wanted. Take the temperature of the cooling water that goes in; clock the whole of it. "
        "What has run through counts as drained.",
    ),
}


def title_of(step: Step) -> str:
    """What a step is called."""
    return _words(step)[0]


def detail_of(step: Step) -> str:
    """How a step is done."""
    return _words(step)[1]


def _words(step: Step) -> tuple[str, str]:
    return CHILLED[step.what] if step.key == "evening chill" else TITLES[step.key]
