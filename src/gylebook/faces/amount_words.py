"""Say what a solved plan weighs and measures out, line by line.

In:  the amounts of an `Outlook` as `tasks.solved` tells them, and the brewer's `Units`.
Out: `AmountRow`s in the order of the day, each with the field of the plan that would say the same.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from gylebook.faces import liquor_words, words
from gylebook.faces.words import METRIC, Units


@dataclass(frozen=True, slots=True)
class AmountRow:
    """What, how much of it, and the path of its field in a plan; empty where it has none."""

    what: str
    amount: str
    field: str = ""


def amount_rows(answer: dict[str, Any], units: Units = METRIC) -> list[AmountRow]:
    """Grain, liquor, strike temperature, salts and acid, additions, hops, starters."""
    rows = [
        AmountRow(g["grain"], words.to_measure(g["mass_kg"], "mass", units), f"grist.{place}.mass")
        for place, g in enumerate(answer["grist"])
    ]
    rows += _liquor(answer, units)
    rows += [_dose(dose, bool(answer["grist"]), units) for dose in answer["doses"]]
    rows += [AmountRow(a["name"], words.to_measure(a["mass_kg"], "mass", units)) for a in answer["additions"]]
    for place, hop in enumerate(answer["hops"]):
        when = "" if hop["use"] in ("first wort", "dry") else f" {words.duration(hop['minutes'])}"
        mass = words.to_measure(hop["mass_kg"], "mass", units)
        rows.append(AmountRow(f"{hop['variety']}, {hop['use']}{when}", mass, f"hops.{place}.mass"))
    for starter in answer["starters"]:
        if starter["volume_l"] is not None:
            extract = words.to_measure(starter["extract_kg"], "mass", units)
            what = f"Starter {starter['name']}, with {extract} dried extract"
            wort = words.to_measure(starter["volume_l"], "volume", units)
            rows.append(AmountRow(what, wort, f"starters.{starter['name']}.volume"))
    return rows


def _liquor(answer: dict[str, Any], units: Units) -> Iterator[AmountRow]:
    for what, key in (
        ("Mash liquor" if answer["grist"] else "Liquor", "mash"),
        ("Rinse liquor", "rinse"),
        ("Liquor into the kettle", "kettle"),
    ):
        litres = answer["liquor"][f"{key}_l"]
        if litres:
            yield AmountRow(what, words.to_measure(litres, "volume", units), f"liquor.{key}")
    if answer["strike_temperature_c"] is not None:
        yield AmountRow("Strike temperature", words.temperature(answer["strike_temperature_c"], units))


def _dose(dose: dict[str, Any], mashed: bool, units: Units) -> AmountRow:
    poured = dose["volume_l"] is not None
    amount = dose["volume_l"] if poured else dose["mass_kg"]
    text = words.to_measure(amount, "dose volume" if poured else "dose mass", units)
    place = "kettle liquor" if dose["into"] == "mash" and not mashed else dose["into"]
    return AmountRow(f"{dose['of']}, into the {liquor_words.INTO.get(place, place)}", text)
