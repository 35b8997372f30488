"""Write single values and tables as TOML.

In:  numbers with the unit to write them in, texts, flags.
Out: lines of TOML; of a number the shortest decimal text that is the very same number.

Idea: what has no value has no line.  Which keys a file has is known to its writer.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from decimal import Decimal

Line = tuple[str, str | None]


def table(heading: str, *lines: Line) -> Iterator[str]:
    """A heading and its keys, after a blank line."""
    yield ""
    yield heading
    for key, value in lines:
        if value is not None:
            yield f"{key} = {value}"


def quantity(value: float | None, unit: str) -> str | None:
    """A number with its unit."""
    return None if value is None else quoted(f"{decimal(value)} {unit}")


def percent(value: float | None) -> str | None:
    """A share in per cent."""
    return None if value is None else quoted(f"{decimal(value, 2)} %")


def kilograms_in_g(value: float | None) -> str | None:
    """A mass in kg as the scale shows it, in g."""
    return None if value is None else quoted(f"{decimal(value, 3)} g")


def decimal(value: float, shift: int = 0) -> str:
    """The shortest decimal text of a number, its point moved; without exponent and closing zeros."""
    text = format(Decimal(repr(float(value))).scaleb(shift), "f")
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in ("-0", "") else text


def listed(values: list[str | None]) -> str | None:
    """A list, where there is anything to list."""
    return f"[{', '.join(filter(None, values))}]" if values else None


def maybe(text: str | None) -> str | None:
    """A text, where there is one."""
    return None if text is None else quoted(text)


def flag(value: bool) -> str:
    """Yes or no."""
    return "true" if value else "false"


def bare_key(key: str) -> str:
    """A key as it stands in a heading, quoted only where TOML asks for it."""
    return key if re.fullmatch("[A-Za-z0-9_-]+", key) else quoted(key)


def quoted(text: str) -> str:
    """A text in quotes; what TOML escapes is what JSON does."""
    return json.dumps(text, ensure_ascii=False)
