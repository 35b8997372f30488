"""Find the brew that an address names.

In:  a request with a name or an id in its address.
Out: the name; a page that is not there where the book holds none such.
"""

from __future__ import annotations

from typing import Annotated

from fastapi import Depends, HTTPException, Request

from gylebook.errors import Refused
from gylebook.faces.web.desk import desk_of


def brew_asked(request: Request, brew: str) -> str:
    """The brew's name or id as it stands in the address."""
    missing = HTTPException(404, f"There is no brew “{brew}” in this book.")
    if "\0" in brew:  # no database keeps such a name, and one cannot even be asked for it
        raise missing
    try:
        desk_of(request).hand.newest_of(brew)
    except Refused as refused:
        (problem,) = refused.problems
        raise HTTPException(404, f"The brew “{brew}” {problem.accepted}.") from None
    return brew


BrewAsked = Annotated[str, Depends(brew_asked)]
