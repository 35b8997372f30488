"""Take what a form sent, whatever its fields are called."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Annotated
from uuid import UUID

from fastapi import Depends, Request

from gylebook.errors import GylebookError, Problem, Refused

MOST_FIELDS = 4000  # a brewery of two hundred fermenters has some thousand


async def _typed(request: Request) -> dict[str, str]:
    """Every field with its text; of several with one name the last counts, so a box follows its “no”."""
    form = await request.form(max_fields=MOST_FIELDS)
    return {name: text.replace("\r\n", "\n") for name, text in form.multi_items() if isinstance(text, str)}


Typed = Annotated[dict[str, str], Depends(_typed)]


def id_typed(text: str) -> UUID | None:
    """The id that a form was given, so that what is sent twice is kept once; None where it is none."""
    try:
        return UUID(text)
    except ValueError:
        return None


def problems_of(problem: GylebookError, where: str = "") -> tuple[Problem, ...]:
    """What is wrong, one by one; what is no refusal of a field stands at `where`."""
    return problem.problems if isinstance(problem, Refused) else (Problem(where, "", str(problem)),)


def by_field(problems: Iterable[Problem], names: Iterable[str]) -> tuple[dict[str, str], list[Problem]]:
    """What to say beside each field, and the problems that belong to none."""
    known, beside, rest = set(names), dict[str, str](), list[Problem]()
    for problem in problems:
        if problem.where not in known:
            rest.append(problem)
            continue
        accepted = problem.accepted[:1].upper() + problem.accepted[1:]
        said = f"{problem.understood}. {accepted}" if problem.understood else accepted
        beside[problem.where] = said[:1].upper() + said[1:]
    return beside, rest
