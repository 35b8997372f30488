"""Take a written quantity apart into numbers and unit words.

In:  text as typed, such as `5 lb 3 oz`, `1,5 kg`, `−2 °C`, `1½ oz`, `pH 5.4`.
Out: a list of `Term` (an exact number and the word behind it), or None where the text is no such thing.

Idea: a point is always the decimal sign.  A comma is one too, except before exactly three digits, where it
may as well part thousands: then both readings are kept and somebody is asked.  Which words are units, and
whether the whole makes sense, is decided in `units`.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

LONGEST = 60  # characters; no quantity needs more


@dataclass(frozen=True, slots=True)
class Term:
    """One number with the word behind it.  `instead` is the other reading of an ambiguous comma."""

    number: Fraction
    word: str
    instead: Fraction | None = None


_SAME = str.maketrans(
    {
        "\u2212": "-",
        "\u2044": "/",
        "º": "°",
        "˚": "°",
        "℃": "°C",
        "℉": "°F",
        "²": "2",
        "ℓ": "L",
        **dict.fromkeys("\t\u00a0\u2007\u2009\u202f", " "),
    }
)
_FRACTION_SIGNS = "¼½¾⅓⅔⅛⅜⅝⅞"
_NUMBER = rf"""
    (?P<sign> [+-]\ * )?
    (?: (?: (?P<whole> [0-9]+ ) \ + )? (?P<over> [0-9]+ ) \ * / \ * (?P<under> [0-9]+ )
      | (?P<before> [0-9]+ )? \ * (?P<part> [{_FRACTION_SIGNS}] )
      | (?P<spaced> [0-9]{{1,3}} (?: \ [0-9]{{3}} )+ (?: [.,][0-9]+ )? )
      | (?P<plain> [0-9]+ (?: [.,][0-9]+ )* | [.,][0-9]+ )
    )
"""
_WORD = rf"(?P<word> (?: (?:m|cm|ft|in)2\b | [^0-9+{_FRACTION_SIGNS}-] )* )"
_TERM = re.compile(rf"{_NUMBER} (?![0-9.,/{_FRACTION_SIGNS}]) \ * {_WORD}", re.VERBOSE)
_LEADING = re.compile(r"(SG|pH) *([0-9].*)", re.IGNORECASE)


def split(text: str) -> list[Term] | None:
    """Every number with its word, in the order written; None where the text is not made of such pairs."""
    rest = text.translate(_SAME).strip()
    if len(rest) > LONGEST:
        return None
    if leading := _LEADING.fullmatch(rest):
        rest = f"{leading[2]} {leading[1]}"
    terms: list[Term] = []
    while rest:
        match = _TERM.match(rest)
        readings = _readings(match) if match else None
        if match is None or readings is None:
            return None
        terms.append(Term(readings[0], _tidy(match["word"]), readings[1]))
        rest = rest[match.end() :]
    return terms or None


_BEYOND: tuple[tuple[Literal["above", "below"], re.Pattern[str]], ...] = (
    ("above", re.compile(r"(?:>|above\b|over\b|more than\b) *(.*)", re.IGNORECASE)),
    ("below", re.compile(r"(?:<|below\b|under\b|less than\b) *(.*)", re.IGNORECASE)),
)


def beyond(text: str) -> tuple[Literal["", "above", "below"], str]:
    """Which side of a quantity is meant, and the quantity: `above 38 L` and `> 38 L` are alike.

    >>> beyond("over 38 L")
    ('above', '38 L')
    """
    for side, pattern in _BEYOND:
        if found := pattern.fullmatch(text.strip()):
            return side, found[1]
    return "", text


def with_unit(text: str, unit: str) -> str:
    """A bare number with the unit that its field names; anything else as it was typed.

    >>> with_unit("-3", "L"), with_unit("above 38", "L"), with_unit("2 gal", "L")
    ('-3 L', 'above 38 L', '2 gal')
    """
    terms = split(beyond(text)[1])
    bare = terms is not None and len(terms) == 1 and not terms[0].word
    return f"{text.strip()} {unit}" if unit and bare else text.strip()


def plain_word(word: str) -> str:
    """A unit word as it is looked up: case does not matter, except where it stands alone as one letter."""
    return word if len(word) == 1 else word.casefold()


def _tidy(word: str) -> str:
    """`deg F` and `° F` become `°F`, `fl. oz.` becomes `fl oz`, `L / min` becomes `L/min`."""
    word = " ".join(word.replace(".", " ").split())
    word = re.sub(r" ?/ ?", "/", word)
    return re.sub(r"^(?:°|deg(?:rees?)?\b|deg(?=[CF]$)) ?", "°", word, flags=re.IGNORECASE)


def _readings(match: re.Match[str]) -> tuple[Fraction, Fraction | None] | None:
    """The number, and the other number that it might be; None for digits that make no number."""
    sign = -1 if (match["sign"] or "").startswith("-") else 1
    if match["under"]:
        if int(match["under"]) == 0:
            return None
        return sign * (int(match["whole"] or 0) + Fraction(int(match["over"]), int(match["under"]))), None
    if match["part"]:
        part = Fraction(unicodedata.numeric(match["part"])).limit_denominator(8)
        return sign * (int(match["before"] or 0) + part), None
    if match["spaced"]:
        return sign * Fraction(match["spaced"].replace(" ", "").replace(",", ".")), None
    both = _decimal(match["plain"])
    if both is None:
        return None
    first, other = both
    return sign * first, None if other is None else sign * other


def _decimal(digits: str) -> tuple[Fraction, Fraction | None] | None:
    """Tell the decimal sign from the one that parts thousands."""
    signs = [c for c in digits if c in ".,"]
    groups = re.split("[.,]", digits)
    if not signs:
        return Fraction(digits), None
    if len(signs) == 1:
        value = Fraction(".".join(groups))
        in_thousands = re.fullmatch(r"[1-9][0-9]{0,2},[0-9]{3}", digits)
        return value, Fraction("".join(groups)) if in_thousands else None
    decimals = groups.pop() if signs[-1] != signs[0] else ""
    thousands = signs[:-1] if decimals else signs
    if len(set(thousands)) > 1 or len(groups[0]) > 3 or any(len(g) != 3 for g in groups[1:]):
        return None
    return Fraction("".join(groups) + (f".{decimals}" if decimals else "")), None
