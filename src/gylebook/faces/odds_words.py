"""Say odds and counts in words, the same on every face.

In:  shares from 0 to 1, whole numbers.
Out: short texts; `words` has them all, so no other module needs this one.

Idea: a brewer counts futures, never per cents, and certainty is never claimed.
"""

from __future__ import annotations


def odds(share: float, draws: int | None = None) -> str:
    """Odds in words.  Certainty is never claimed: at most every draw that was made agrees.

    >>> odds(0.884), odds(0.9989), odds(0.9998), odds(0.0001), odds(1.0, 4000)
    ('88 in 100', '999 in 1,000', 'more than 999 in 1,000', 'fewer than 1 in 1,000', 'in all 4,000 draws')
    """
    if not 0 <= share <= 1:
        raise ValueError(f"odds lie from 0 to 1, not at {share}")
    if draws and share in (0, 1):
        return f"in {'all' if share else 'none of the'} {count(draws)} draws"
    if share < 0.0005:
        return "fewer than 1 in 1,000"
    if share >= 0.9995:
        return "more than 999 in 1,000"
    if share < 0.01 or share >= 0.99:
        return f"{round(1000 * share)} in 1,000"
    return f"{round(100 * share)} in 100"


def odds_pair(before: float, after: float) -> tuple[str, str]:
    """Odds before and after, out of the same number, which is said once where both have a figure.

    >>> odds_pair(0.98, 0.99), odds_pair(0.5, 0.61), odds_pair(0.98, 1.0)
    (('980', '990 in 1,000'), ('50', '61 in 100'), ('98 in 100', 'more than 999 in 1,000'))
    """
    first, then = odds(before), odds(after)
    plain = [text for text in (first, then) if text[0].isdigit()]
    if len(plain) < 2:
        return first, then
    if all(text.endswith(" in 100") for text in plain):
        return first.removesuffix(" in 100"), then
    return f"{round(1000 * before)}", f"{round(1000 * after)} in 1,000"


def odds_in_a_column(share: float) -> str:
    """The same odds where a column must be narrow: “over 999 in 1,000”."""
    return odds(share).replace("more than", "over").replace("fewer than", "under")


def count(value: int) -> str:
    """A whole number, thousands set apart: “4,000”."""
    return f"{value:,}"


def spelled(value: int) -> str:
    """A small whole number as a word, a larger one in digits."""
    names = ("no", "one", "two", "three", "four", "five", "six")
    return names[value] if 0 <= value < len(names) else count(value)
