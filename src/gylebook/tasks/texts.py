"""Read the text of a file that a brewer keeps, and write one where none is.

In:  a path.
Out: its bytes; refusals in words.
"""

from __future__ import annotations

from pathlib import Path

from gylebook.errors import Problem, Refused

MOST_BYTES = 1_000_000  # a plan typed by hand is a thousandth of that


def text_of(path: str | Path) -> bytes:
    """What a file holds; a file that cannot be read, or is far too large, is refused in words."""
    try:
        with Path(path).open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except OSError as problem:
        reason = problem.strerror or type(problem).__name__
        raise Refused(
            (Problem(str(path), f"cannot be read ({reason.lower()})", "name a file that is there"),)
        ) from None
    if len(data) > MOST_BYTES:
        raise Refused(
            (Problem(str(path), "is larger than 1 MB", "such a file is text by hand, far smaller"),)
        )
    return data


def write_new(path: str | Path, text: str) -> None:
    """Write a file where none is; one that is there already may hold somebody's work."""
    try:
        with Path(path).open("x", encoding="utf-8", newline="") as file:
            file.write(text)
    except FileExistsError:
        understood = "is there already and was left as it is"
        raise Refused((Problem(str(path), understood, "name another place"),)) from None
    except OSError as problem:
        reason = (problem.strerror or type(problem).__name__).lower()
        raise Refused((Problem(str(path), f"cannot be written ({reason})", "name another place"),)) from None
