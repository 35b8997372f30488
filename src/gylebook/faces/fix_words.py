"""Say what would keep a limit: what to change, how sure it is then, and what it costs elsewhere.

In:  `FixView`s and the brewer's `Units`.
Out: plain English, the same on every face.
"""

from __future__ import annotations

from gylebook.faces import words
from gylebook.faces.findings import RISK, limit_subject
from gylebook.faces.words import METRIC, Units
from gylebook.tasks.fixes import FixView

NOTHING = "No single change of plan or gear that gylebook knows of keeps it."

_WAYS = {
    "dunk rinse": "Rinse the bag by dunking it in the second vessel",
    "poured rinse": "Pour a rinse over the hanging bag",
}


def fix_sentence(fix: FixView, units: Units = METRIC) -> str:
    """What to do, how sure the limit is kept then, and what else is lost: two or three short sentences."""
    lost = "".join(
        f" {RISK} {limit_subject(limit)} would then be kept {words.odds(limit.odds_kept)}."
        for limit in fix.lost
    )
    return f"{fix_deed(fix, units)}: kept {words.odds(fix.odds_kept)}.{lost}"


def fix_deed(fix: FixView, units: Units = METRIC) -> str:
    """“Hold 4.0 L of liquor back for the end of the boil”."""
    if fix.deed == "another way":
        return _WAYS.get(fix.of, fix.of)
    if fix.deed == "more packs":
        return f"Take {words.count(round(fix.amount))} packs of yeast for {fix.of}"
    if fix.deed == "less of it here":
        return (
            f"Put {words.fixed(100.0 * fix.amount, 0)} % of the wort into {fix.of}, the rest into the others"
        )
    if fix.dimension == "power":
        return f"Heat with {words.fixed(fix.amount, 1)} kW ({fix.of})"
    if fix.dimension == "mass":
        return f"Use a hoist rated for {words.mass(fix.amount, units)}"
    if fix.dimension == "temperature":
        warmth = words.temperature(fix.amount, units)
        return {
            "warmer liquor": f"Start with liquor of {warmth}",
            "chill less far": f"Chill to {warmth}, and leave the rest to ice or the night",
            "ferment at": f"Ferment {fix.of} at {warmth}",
        }[fix.deed]
    litres = words.volume(fix.amount, units)
    return {
        "hold liquor back": f"Hold {litres} of liquor back for the end of the boil",
        "liquor in the fermenters": f"Pour {litres} of boiled and cooled liquor into the fermenters",
        "make less": f"Make {litres}",
        "larger vessel": f"Use a {fix.of} of {words.capacity(fix.amount, units)}",
    }[fix.deed]
