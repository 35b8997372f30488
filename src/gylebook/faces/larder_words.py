"""Say what to buy and what is left over, and how portions fill vessels and packages.

In:  the views of `tasks.larder` and `tasks.filling`, and the brewer's `Units`.
Out: plain English, the same on every face.
"""

from __future__ import annotations

from gylebook.faces import words
from gylebook.faces.words import METRIC, Units
from gylebook.tasks.filling import Filling, FillingSet
from gylebook.tasks.larder import LarderView, Moved, Purchase


def money(amount: float, currency: str) -> str:
    """“12.80 EUR”."""
    return f"{words.fixed(amount, 2)} {currency}".rstrip()


def purchase_cells(one: Purchase, currency: str, units: Units = METRIC) -> tuple[str, str, str, str, str]:
    """What to buy, used, at hand, left over and cost, for a row of a list."""
    if one.size_kg is None:
        bought = f"{words.count(one.packs)} pack{'s' if one.packs != 1 else ''}" if one.packs else "none"
        used, at_hand, left = (words.count(round(x)) for x in (one.used, one.at_hand, one.left))
    else:
        size = words.mass(one.size_kg, units, weighed=True)
        bought = f"{words.count(one.packs)} × {size}" if one.packs else "none"
        used, at_hand, left = (_weight(x, units) for x in (one.used, one.at_hand, one.left))
    return bought, used, at_hand, left, money(one.cost, currency) if one.packs else ""


def _weight(kilograms: float, units: Units) -> str:
    return words.mass(kilograms, units, weighed=True) if kilograms else ""


def moved_sentence(moved: Moved, units: Units = METRIC) -> str:
    """“Vienna malt 5.52 kg → 5.58 kg”."""
    before, after = (words.mass(x, units, weighed=True) for x in (moved.before, moved.after))
    return f"{moved.of} {before} → {after}"


def missing_sentence(view: LarderView, units: Units = METRIC) -> str:
    """What the larder does not tell of."""
    listed = ", ".join(
        of if kilograms is None else f"{of} {words.mass(kilograms, units, weighed=True)}"
        for of, kilograms in view.missing
    )
    return f"The larder tells of no pack of: {listed}." if listed else ""


WORT = (
    ("og", "gravity", "SG"),
    ("ibu", "bitterness", "IBU"),
    ("colour_srm", "colour", "SRM"),
    ("fermenters.volume_l", "in the fermenters", "L"),
)


def wort_rows(view: LarderView, units: Units = METRIC) -> list[tuple[str, str, str]]:
    """The wort as planned and with the weights moved, a row for each of its figures."""
    return [
        (
            name,
            words.median_and_interval(view.before[key], unit, units),
            words.median_and_interval(view.after[key], unit, units),
        )
        for key, name, unit in WORT
    ]


def filling_text(filling: Filling, units: Units = METRIC) -> str:
    """“wide bucket 20.2 L: kegs of 9.5 L and 9.5 L”."""
    into = []
    if filling.kegs_l:
        kegs = " and ".join(words.capacity(keg, units) for keg in filling.kegs_l)
        into.append(f"{'kegs' if len(filling.kegs_l) > 1 else 'a keg'} of {kegs}")
    if filling.bottles:
        into.append(f"{words.count(filling.bottles)} bottle{'s' if filling.bottles != 1 else ''}")
    if filling.orphan_l > 0.0:
        into.append(f"{words.to_measure(filling.orphan_l, 'volume', units)} left over")
    return f"{filling.name}, {words.volume(filling.wort_l, units)} of wort: {', '.join(into)}"


def set_heading(one: FillingSet, units: Units = METRIC) -> str:
    """“33.1 L of wort, 30.9 L of beer, nothing left over”."""
    left = (
        "nothing left over"
        if one.orphan_l <= 0.0
        else f"{words.to_measure(one.orphan_l, 'volume', units)} left over"
    )
    wort, beer = words.volume(one.wort_l, units), words.volume(one.beer_l, units)
    return f"{wort} of wort, {beer} of beer, {left}"
