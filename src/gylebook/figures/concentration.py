"""Read how much of something a litre of water holds, however a laboratory or a label writes it.

In:  text such as `180 mg/l as CaCO3`, `3,6 mmol/L`, `12 °fH`, `12 mg/L SO4-S`, and the units wanted there.
Out: a number and one of those units, or `QuantityRefused`.

Idea: a concentration names a unit and, perhaps, what it is told as; both are kept, since 180 mg/L of
alkalinity as calcium carbonate and as bicarbonate are two waters.  Words become a few units, whose names are
`UNITS`.  What a unit is worth in charges is chemistry and stands elsewhere, but for alkalinity, which is
nothing else.

A ppm is a mg/L and a kilogram of water a litre: within 0.3 % in any water one drinks, up to 25 °C.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Collection
from fractions import Fraction

from gylebook.errors import QuantityRefused
from gylebook.figures.quantity_text import LONGEST, split

MOST = 1_000_000
"""More than any concentration is, in whichever unit: a litre of water weighs a million milligrams."""

UNITS = (
    *("mg/L", "mmol/L", "mEq/L", "mg/L CaCO3", "mg/L HCO3", "mg/L Ca", "mg/L S", "mg/L N"),
    *("°dH", "°f", "°e", "gpg"),
)
"""Names of the units that are told apart; others are told as one of these."""

_CACO3 = 50.043  # mg for a mEq
ALKALINITY_MEQ = {
    "mEq/L": 1.0,
    "mg/L CaCO3": 1.0 / _CACO3,
    "mmol/L": 1.0,  # acid used to pH 4.3
    "mg/L HCO3": 1.0 / 61.016,
    "mg/L Ca": 2.0 / 40.078,  # of calcium carbonate, whose calcium it counts
    "°dH": 20.0 / 56.077,  # 10 mg/L of CaO
    "°f": 10.0 / _CACO3,
    "°e": 14.254 / _CACO3,  # a grain of CaCO3 in an imperial gallon
    "gpg": 17.118 / _CACO3,  # a grain of CaCO3 in a US gallon
}
"""Charges in one of each unit that an alkalinity is told in. [mEq/L]  Atomic weights of IUPAC, abridged."""


class _NotRead(Exception):
    """Why a text is refused: what was understood of it, and what holds."""

    def __init__(self, understood: str, holds: str = "") -> None:
        self.understood, self.holds = understood, holds
        super().__init__(understood)


_SPECIES = {
    word: formula
    for formula, words in {
        "CaCO3": ("caco3", "calcium carbonate"),
        "CaO": ("cao",),
        "HCO3": ("hco3", "bicarbonate", "hydrogen carbonate", "hydrogencarbonate"),
        "CO3": ("co3", "co32", "co3 2", "carbonate"),
        "Ca": ("ca", "ca2", "ca 2", "calcium"),
        "Mg": ("mg", "mg2", "mg 2", "magnesium"),
        "Na": ("na", "sodium"),
        "K": ("k", "potassium"),
        "NH4": ("nh4", "ammonium"),
        "Cl": ("cl", "chloride"),
        "Cl2": ("cl2", "chlorine"),
        "SO4": ("so4", "so42", "so4 2", "sulphate", "sulfate"),
        "NO3": ("no3", "nitrate"),
        "F": ("f", "fluoride"),
        "S": ("s", "sulphur", "sulfur", "so4 s", "sulphate s", "sulfate s"),
        "N": (
            *("n", "nitrogen", "no3 n", "nitrate n", "nitrate nitrogen"),
            *("nh4 n", "nh3 n", "ammonium n", "ammonia n", "ammonia nitrogen"),
        ),
    }.items()
    for word in words
}
"""Formula of what a figure may be told as, by its words with blanks for hyphens and no sign of charge."""
_AMOUNTS = {
    "mg": ("mg/L", Fraction(1)),
    **dict.fromkeys(("\u03bcg", "ug", "mcg"), ("mg/L", Fraction(1, 1000))),
    "g": ("mg/L", Fraction(1000)),
    "mmol": ("mmol/L", Fraction(1)),
    **dict.fromkeys(("\u03bcmol", "umol"), ("mmol/L", Fraction(1, 1000))),
    "mol": ("mmol/L", Fraction(1000)),
    **dict.fromkeys(("meq", "mval", "mmolc", "mmol c"), ("mEq/L", Fraction(1))),
    **dict.fromkeys(("\u03bceq", "ueq", "\u03bcval"), ("mEq/L", Fraction(1, 1000))),
    **dict.fromkeys(("eq", "val"), ("mEq/L", Fraction(1000))),
}
_IN = {
    **dict.fromkeys(("l", "litre", "liter", "dm3", "kg"), Fraction(1)),
    "m3": Fraction(1, 1000),
}
_ALONE = {
    "ppm": ("mg/L", Fraction(1)),
    "ppb": ("mg/L", Fraction(1, 1000)),
    "epm": ("mEq/L", Fraction(1)),
}
_DEGREES = {
    **dict.fromkeys(
        (
            "°dh",
            "dh",
            "°d",
            "°dgh",
            "dgh",
            "°dkh",
            "dkh",
            "°kh",
            "kh",
            "°german",
            "german degree",
            "german degrees",
        ),
        "°dH",
    ),
    **dict.fromkeys(("°f", "°fh", "fh", "°th", "°french", "french degree", "french degrees"), "°f"),
    **dict.fromkeys(("°e", "°eh", "°clark", "clark", "°english", "english degree", "english degrees"), "°e"),
    **dict.fromkeys(("grain/imp gal", "grains/imp gal", "grain/imperial gallon"), "°e"),
    **dict.fromkeys(("grains/imperial gallon",), "°e"),
    **dict.fromkeys(("gpg", "gr/gal", "grain/gal", "grains/gal", "grain/gallon", "grains/gallon"), "gpg"),
    **dict.fromkeys(("grains/us gal", "grains/us gallon"), "gpg"),
}
_CHARGES_OF = {("mmol/L", "CaCO3"): 2, ("mmol/L", "HCO3"): 1}
"""Charges of a mole of what hardness and alkalinity are told as."""
_CONDUCTIVITY = re.compile(r"(?:\u03bc|u|m)s/c?m")
_RATIO = re.compile(
    rf"(?P<amount>{'|'.join(sorted(_AMOUNTS, key=len, reverse=True))})(?: (?P<of>[^/]+))?"
    rf"/(?P<in>{'|'.join(sorted(_IN, key=len, reverse=True))})(?: (?P<as>[^/]+))?"
)
_SINGLE = re.compile(rf"(?P<word>{'|'.join(_ALONE)})(?: (?P<as>[^/]+))?")


def read_concentration(
    text: str, units: Collection[str], *, of: str = "concentration", own: str = "", where: str = ""
) -> tuple[float, str]:
    """Number and unit of a written concentration, one of `units`, which are names of `UNITS`.

    `own` is the formula of what is told: a figure that names it says nothing new.  `of` is its name, and
    `where` the place (a file, its line, a key), for the error.

    Raises
    ------
    QuantityRefused
        If the text is no concentration, could be two, or is told in another unit.

    >>> read_concentration("180 mg/l as CaCO3", UNITS)
    (180.0, 'mg/L CaCO3')
    >>> read_concentration("80 mg/L Ca", ["mg/L"], own="Ca")
    (80.0, 'mg/L')
    """
    try:
        number, written, instead = _taken_apart(text)
        unit, factor = _unit_of(written, number, own)
        if instead is not None:
            first, other = (f"{_plain(n * factor)} {unit}" for n in (number, instead))
            raise _NotRead(f"either {first} or {other}", "which? Write it without the comma")
        value = number * factor
        said = f"understood as {_plain(value)} {unit}"
        if unit not in units:
            raise _NotRead(said, _as_what(unit, units))
        if value < 0:
            raise _NotRead(said, "no water holds less than nothing")
        if value > MOST:
            raise _NotRead(said, "no water holds so much")
        return float(value), unit
    except _NotRead as no:
        raise _refusal(text, no, f"here {of} is wanted, told in {_listed(units)}.", where) from None


def _taken_apart(text: str) -> tuple[Fraction, str, Fraction | None]:
    """Number, unit as written, and the other reading of an ambiguous comma."""
    stripped = text.strip()
    if len(stripped) > LONGEST:
        raise _NotRead("not a number with a unit")
    if stripped[:1] in ("<", "≤", "≦"):
        raise _NotRead("a bound, not a figure", "give half of it, or leave the line out")
    start = next((n for n, c in enumerate(stripped) if c.isalpha() or c in "°˚("), len(stripped))
    terms = split(stripped[:start])
    if terms is None or any(term.word for term in terms):
        raise _NotRead("not a number with a unit")
    if len(terms) > 1:
        raise _NotRead("more than one number", "of a range take the middle")
    if start == len(stripped):
        raise _NotRead("a number without a unit")
    return terms[0].number, stripped[start:], terms[0].instead


def _unit_of(written: str, number: Fraction, own: str) -> tuple[str, Fraction]:
    """Name of the unit, and how many of it one of what was written is."""
    word = _tidy(written)
    if word in _DEGREES:
        return _DEGREES[word], Fraction(1)
    found = _RATIO.fullmatch(word) or _SINGLE.fullmatch(word)
    if found is None:
        hint = (
            "conductivity tells of all ions at once, of none alone" if _CONDUCTIVITY.fullmatch(word) else ""
        )
        raise _NotRead(f"{_plain(number)} of “{written.strip()}”, which is no concentration known here", hint)
    parts = found.groupdict()
    if "word" in parts:
        unit, factor = _ALONE[parts["word"]]
    else:
        unit, factor = _AMOUNTS[parts["amount"]]
        factor = factor * _IN[parts["in"]]
    names = [name for name in (parts.get("of"), parts["as"]) if name]
    if not names:
        return unit, factor
    told_as = {_formula(name) for name in names}
    formula = told_as.pop()
    if formula is None or told_as:
        raise _NotRead(f"{_plain(number)} {unit} of “{written.strip()}”, which is nothing known here")
    if formula == own or (unit == "mEq/L" and formula in ("CaCO3", "HCO3")):  # charges are charges
        return unit, factor
    if (unit, formula) in _CHARGES_OF:
        return "mEq/L", factor * _CHARGES_OF[unit, formula]
    if (unit, formula) == ("mg/L", "CaO"):
        return "°dH", factor / 10
    return f"{unit} {formula}", factor


def _formula(name: str) -> str | None:
    """`so4-s` is sulphur, `so42-` sulphate: a hyphen before a letter parts words, any other is a charge."""
    parted = re.sub(r" ?- ?(?=[a-z])", " ", name)
    return _SPECIES.get(" ".join(re.sub("[-^+]", "", parted).split()))


def _tidy(written: str) -> str:
    """`mg L⁻¹ (as CaCO₃)` becomes `mg/l caco3`, `deg dH` becomes `°dh`."""
    word = unicodedata.normalize("NFKC", written.replace("º", "°").replace("˚", "°")).casefold()
    word = re.sub("[\u2212\u2010\u2011\u2013]", "-", word)
    word = re.sub(r"[()\[\],:;.·⋅*]|\bas\b", " ", word)
    word = _inverse(word)
    word = re.sub(r"\bper\b", "/", word)
    word = " ".join(re.sub(r"\b(litre|liter)s\b", r"\1", word).split())
    word = re.sub(r" ?/ ?", "/", word)
    return re.sub(r"^(?:°|deg(?:rees?)?\b) ?", "°", word)


def _inverse(word: str) -> str:
    """`mg l-1` and `mg dm-3` as `mg/l` and `mg/dm3`."""
    word = re.sub(r" ?\b(l|litre|liter|kg) ?\^?-1\b", r"/\1", word)
    return re.sub(r" ?\b(dm|m) ?\^?-3\b", r"/\g<1>3", word)


def _as_what(unit: str, units: Collection[str]) -> str:
    """What a mass has to say before it is an alkalinity or a hardness."""
    ways = [name for name in units if name.startswith("mg/L ")]
    return f"milligrams of what? Write {_listed(ways)}" if unit == "mg/L" and ways else ""


def _listed(units: Collection[str]) -> str:
    *most, last = units
    return f"{', '.join(most)} or {last}" if most else last


def _refusal(text: str, no: _NotRead, accepted: str, where: str) -> QuantityRefused:
    shown = text if len(text) <= LONGEST else text[: LONGEST - 3] + "..."
    understood = f"“{shown}” is {no.understood}" if where else no.understood
    if no.holds:
        accepted = f"{no.holds}; {accepted}"
    return QuantityRefused(shown, understood, accepted, where)


def _plain(number: Fraction) -> str:
    return f"{float(number):.6g}"
