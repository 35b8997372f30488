"""Turn the bytes of a file into TOML tables, or say on which lines they are not TOML.

In:  text or bytes as they came from disk, and the name to call the file by.
Out: the tables as plain dictionaries, the `Place` to say lines by, and every fault of the writing.

Idea: after a fault the line is blanked and reading goes on, so that one run shows all faults.  What the
tables must hold is said in the models.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from typing import Any

from gylebook.errors import Problem, Refused
from gylebook.exchange.lines import Place

LARGEST = 1_000_000  # bytes; a long plan has some five thousand
MOST_FAULTS = 20

_AT_LINE = re.compile(r"\(at line (\d+), column \d+\)$")
_BARE_QUANTITY = re.compile(r"\s*(?:\{.*)?[\w.-]+\s*=\s*[-+]?[0-9][0-9.,]*\s*[^\s0-9#.,:\]}-]")


@dataclass(frozen=True, slots=True)
class Parsed:
    """A file read as TOML.  `faults` is empty where it was TOML throughout."""

    tables: dict[str, Any]
    place: Place
    faults: tuple[Problem, ...]


def parse(data: str | bytes, *, where: str) -> Parsed:
    """Tables of a TOML file.

    Raises
    ------
    Refused
        If it is too large, not UTF-8, or so broken that no table can be read.
    """
    text = decoded(data, where).replace("\r\n", "\n")
    faults: list[Problem] = []
    lines = text.split("\n")
    while True:
        try:
            tables = tomllib.loads("\n".join(lines))
        except RecursionError:
            raise Refused([Problem(where, "brackets too deep to read", "tables here are flat.")]) from None
        except ValueError as error:  # TOMLDecodeError, or a number too long for Python
            line = _line_of(error)
            faults.append(_fault(error, line, lines, where))
            # A broken header would hand its keys to another table: what follows could not be judged.
            broken_header = line is None or lines[line - 1].lstrip().startswith("[")
            if line is None or broken_header or not lines[line - 1].strip() or len(faults) >= MOST_FAULTS:
                raise Refused(faults) from None
            lines[line - 1] = ""
        else:
            return Parsed(tables, Place(where, "\n".join(lines)), tuple(faults))


def decoded(data: str | bytes, where: str) -> str:
    """The text of a file.

    Raises
    ------
    Refused
        If it is too large or not UTF-8.
    """
    if len(data) > LARGEST:
        said = f"{len(data):,}".replace(",", " ")
        raise Refused([Problem(where, f"{said} bytes", "such a file has at most 1 000 000 bytes.")])
    if isinstance(data, str):
        broken = next((n for n, c in enumerate(data) if "\ud800" <= c <= "\udfff"), None)
        if broken is not None:  # half of a character: a file read with its faults let through
            line = data.count("\n", 0, broken) + 1
            raise Refused(
                [Problem(f"{where} line {line}", "half a character", "save the file as UTF-8 text.")]
            )
        return data.removeprefix("\ufeff")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise Refused(
            [
                Problem(
                    f"{where} line {line}",
                    f"byte 0x{data[error.start]:02x} is not UTF-8",
                    "save the file as UTF-8 text.",
                )
            ]
        ) from None


def _line_of(error: ValueError) -> int | None:
    match = _AT_LINE.search(str(error))
    return int(match[1]) if match else None


def _fault(error: ValueError, line: int | None, lines: list[str], where: str) -> Problem:
    why = _AT_LINE.sub("", str(error)).strip()
    if line is None:
        return Problem(where, "not TOML", f"{why}.")
    written = lines[line - 1].strip()
    shown = written if len(written) <= 60 else written[:57] + "..."
    if _BARE_QUANTITY.match(written):
        why = 'a quantity stands in quotes with its unit, such as volume = "34 L"'
    return Problem(f"{where} line {line}", f"“{shown}” is not TOML", f"{why}.")
