"""Read what a brewer writes into base units, and write base units as text.

In:  text and the dimension wanted there, or a number in the base unit of a dimension.
Out: a float in the base unit (kg, L, °C, °P, min, kW ...; the first unit of each row of `unit_table.SPECS`),
     text that reads back as the same number, or `QuantityRefused`.

Idea: nothing is guessed.  Every refusal repeats what was understood and shows what would be accepted.
`gal`, `qt`, `pint`, `cup` and `fl oz` are US, imperial ones begin with `imp`, and `oz` is a mass.  What the
number is for (gauge or absolute, hot or cold litres) is told by the place where it stands, not by its unit.
"""

from __future__ import annotations

import math
from fractions import Fraction
from itertools import pairwise

from gylebook.errors import QuantityRefused
from gylebook.figures.quantity_text import Term, plain_word, split
from gylebook.figures.unit_table import REFUSED_WORDS, SG_HIGH, SG_LOW, SPECS, Dimension, Unit

__all__ = ["Dimension", "base_unit", "read", "read_quantity", "unit_names", "write"]

_ANY_EXAMPLES = "33 L, 10.7 kg, 149 °F, 13 °P or 1.052 SG"

_BY_WORD: dict[Dimension, dict[str, Unit]] = {
    dimension: {plain_word(word): unit for unit in spec.units for word in unit.words if word}
    for dimension, spec in SPECS.items()
}


class _NotRead(Exception):
    """Why a text is refused: what was understood of it, and what holds."""

    def __init__(self, understood: str, holds: str = "") -> None:
        self.understood, self.holds = understood, holds
        super().__init__(understood)


def read(text: str, dimension: Dimension, *, where: str = "") -> float:
    """Value of a written quantity in the base unit of its dimension.

    `where` names the place (a file, its line, a key) for the error.

    Raises
    ------
    QuantityRefused
        If the text is not such a quantity, could be two, or lies outside what can be.

    >>> read("5 lb 3 oz", Dimension.MASS)
    2.353010419375
    >>> read("149 °F", Dimension.TEMPERATURE)
    65.0
    """
    try:
        terms = _terms(text)
        found = _dimension_of(terms, dimension)
        value = _value(terms, found)
        if found is not dimension:
            raise _NotRead(f"understood as {_said(value, found)}", _oz_hint(terms, dimension))
        return value
    except _NotRead as no:
        wanted = f"here a {dimension} is wanted: write it like {SPECS[dimension].examples}."
        raise _refusal(text, no, wanted, where) from None


def read_quantity(text: str, *, gravity_expected: bool = False, where: str = "") -> tuple[float, Dimension]:
    """Value and dimension of a quantity that names its own dimension by its unit.

    A bare number is taken only where a gravity is expected.  A temperature stands before a difference of
    temperatures, a rate of evaporation before a flow in the same unit.

    >>> read_quantity("24.5L")
    (24.5, <Dimension.VOLUME: 'volume'>)
    """
    try:
        terms = _terms(text)
        found = _dimension_of(terms, Dimension.GRAVITY if gravity_expected else None)
        return _value(terms, found), found
    except _NotRead as no:
        raise _refusal(text, no, f"write the unit with it, like {_ANY_EXAMPLES}.", where) from None


def write(value: float, dimension: Dimension, unit: str, *, digits: int | None = None) -> str:
    """Text of a base-unit value in a chosen unit, which `read` takes back to the printed precision.

    `digits` counts decimals; without it six significant figures are kept (as far as
    the twelfth decimal) and closing zeros dropped.

    >>> write(13.0, Dimension.GRAVITY, "SG", digits=3)
    '1.053'
    """
    if not math.isfinite(value):
        raise ValueError(f"a {dimension} of {value} cannot be written")
    chosen = next((u for u in SPECS[dimension].units if u.name == unit), None)
    if chosen is None:
        raise ValueError(f"a {dimension} is written in {', '.join(unit_names(dimension))}, not in {unit!r}")
    number = _digits(float(chosen.from_base(Fraction(value))), digits)
    if unit in ("", "SG"):
        return number
    return f"pH {number}" if unit == "pH" else f"{number} {unit}"


def base_unit(dimension: Dimension) -> str:
    """Name of the unit that `read` answers in; empty for a share and a plain number."""
    return SPECS[dimension].base.name


def unit_names(dimension: Dimension) -> tuple[str, ...]:
    """Names of every unit that `write` takes, base unit first."""
    return tuple(unit.name for unit in SPECS[dimension].units)


def _terms(text: str) -> list[Term]:
    terms = split(text)
    if terms is None:
        raise _NotRead("not a number with a unit")
    return terms


def _dimension_of(terms: list[Term], wanted: Dimension | None) -> Dimension:
    """The dimension wanted, if its units cover every word; else the first whose units do."""
    words = [plain_word(term.word) for term in terms]
    for word, term in zip(words, terms, strict=True):
        if word in REFUSED_WORDS:
            raise _NotRead(f"{_plain(term.number)} “{term.word}”", REFUSED_WORDS[word])
        if term.word[:1] == "M" and plain_word("m" + term.word[1:]) in ("mg", "ml", "mbar"):
            raise _NotRead(
                f"{_plain(term.number)} “{term.word}”", "a capital M is a million, a small m a thousandth"
            )
    if words == [""]:
        if wanted in (Dimension.GRAVITY, Dimension.SHARE, Dimension.PH, Dimension.NUMBER):
            return wanted
        raise _NotRead("a number without a unit")
    order = [*([wanted] if wanted else []), *_BY_WORD]
    for dimension in order:
        if all(word in _BY_WORD[dimension] for word in words):
            return dimension
    for term, word in zip(terms, words, strict=True):
        if not word:
            raise _NotRead(f"a {_plain(term.number)} without a unit beside others")
        if not any(word in units for units in _BY_WORD.values()):
            raise _NotRead(f"{_plain(term.number)} of “{term.word}”, which is not a unit known here")
    raise _NotRead("made of units of different kinds")


def _value(terms: list[Term], dimension: Dimension) -> float:
    """Base value of all terms together, held to what can be."""
    units = [_unit_of(term, dimension) for term in terms]
    for term, unit in zip(terms, units, strict=True):
        # A gravity of 1,052 and one of 1052 mean the same; anywhere else the two differ a thousandfold.
        if term.instead is not None and unit.name != "SG":
            first, other = (f"{_plain(n)} {unit.name}".strip() for n in (term.number, term.instead))
            raise _NotRead(f"either {first} or {other}", "which? Write it without the comma")
    if len(terms) > 1:
        _check_compound(terms, units)
    if units[0].name == "SG":
        _check_scale(terms[0].number)
    parts = (unit.to_base(term.number) for term, unit in zip(terms, units, strict=True))
    return _within(sum(parts, Fraction(0)), terms, dimension)


def _unit_of(term: Term, dimension: Dimension) -> Unit:
    if term.word:
        return _BY_WORD[dimension][plain_word(term.word)]
    return _BY_WORD[dimension]["sg"] if dimension is Dimension.GRAVITY else SPECS[dimension].base


def _check_compound(terms: list[Term], units: list[Unit]) -> None:
    """As 5 lb 3 oz: one family, larger unit first, only the last with a fraction, and less than a pound."""
    for (larger, unit), (smaller, next_unit) in pairwise(zip(terms, units, strict=True)):
        if not unit.family or unit.family != next_unit.family:
            raise _NotRead(f"made of {unit.name} and {next_unit.name}", "those are not written together")
        one = unit.to_base(Fraction(1))
        if next_unit.to_base(Fraction(1)) >= one:
            raise _NotRead(f"{next_unit.name} after {unit.name}", "the larger unit comes first")
        if larger.number.denominator != 1:
            raise _NotRead(
                f"{_plain(larger.number)} {unit.name} with more behind it",
                "only the last number may have a fraction",
            )
        if not 0 <= next_unit.to_base(smaller.number) < one:
            raise _NotRead(
                f"{_plain(smaller.number)} {next_unit.name} beside {unit.name}",
                f"the second part must lie between 0 and 1 {unit.name}",
            )


def _check_scale(number: Fraction) -> None:
    """The gravity scale ends long before the dimension does."""
    if SG_LOW <= number <= SG_HIGH:
        return
    if SG_LOW * 1000 <= number <= SG_HIGH * 1000:
        raise _NotRead(
            f"a gravity of {_plain(number)}", f"did you mean {_plain(number / 1000)}? Water is 1.000"
        )
    hint = (
        f"; {_plain(number)} °P is written with its °P" if 0 <= number <= 40 and number not in (0, 1) else ""
    )
    raise _NotRead(
        f"a gravity of {_plain(number)}",
        f"the scale runs from {_plain(SG_LOW)} to {_plain(SG_HIGH)} (35 °P){hint}",
    )


def _within(exact: Fraction, terms: list[Term], dimension: Dimension) -> float:
    spec = SPECS[dimension]
    if Fraction(str(spec.low)) <= exact <= Fraction(str(spec.high)):
        return float(exact)
    said = f"understood as {_said(exact, dimension)}"
    if dimension is Dimension.SHARE and not terms[0].word and 1 < exact <= 100:
        raise _NotRead(said, f"a share is 1 at most; did you mean {_plain(exact)} %?")
    if dimension is Dimension.TEMPERATURE and exact < 0:
        raise _NotRead(said, "nothing is colder than -273.15 °C")
    if exact < 0 and spec.low == 0:
        raise _NotRead(said, f"a {dimension} is not below zero")
    low, high = (f"{bound:,.12g}".replace(",", " ") for bound in (spec.low, spec.high))
    raise _NotRead(said, f"a {dimension} lies from {low} to {high} {spec.base.name}".rstrip())


def _oz_hint(terms: list[Term], wanted: Dimension) -> str:
    if wanted is Dimension.VOLUME and any(plain_word(t.word) in ("oz", "ounce", "ounces") for t in terms):
        return "oz is a mass, the volume is written fl oz"
    return ""


def _refusal(text: str, no: _NotRead, accepted: str, where: str) -> QuantityRefused:
    shown = text if len(text) <= 60 else text[:57] + "..."
    understood = f"“{shown}” is {no.understood}" if where else no.understood
    if no.holds.endswith("?"):
        accepted = f"{no.holds} {accepted[0].upper()}{accepted[1:]}"
    elif no.holds:
        accepted = f"{no.holds}; {accepted}"
    return QuantityRefused(shown, understood, accepted, where)


def _said(value: float | Fraction, dimension: Dimension) -> str:
    return f"{_digits(float(value), None)} {SPECS[dimension].base.name}".rstrip()


def _plain(number: Fraction) -> str:
    return _digits(float(number), None)


def _digits(number: float, digits: int | None) -> str:
    """Decimal text without exponent, without a negative zero, and with twelve decimals at most."""
    if digits is not None:
        text = f"{number:.{digits}f}"
    else:
        magnitude = math.floor(math.log10(abs(number))) if number else 0
        text = f"{number:.{min(12, max(0, 5 - magnitude))}f}"
        text = text.rstrip("0").rstrip(".") if "." in text else text
    return text[1:] if text.startswith("-") and not text.strip("-0.") else text
