"""Put what comes of a wish, a wort, a larder and of fillings into JSON, the same on every face.

In:  the views of the tasks.
Out: plain dictionaries; numbers in base units, sentences in metric.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from gylebook.faces import divide_words
from gylebook.faces.answers import limit_answer
from gylebook.tasks.dividing import Divided
from gylebook.tasks.division_views import BecomingView
from gylebook.tasks.filling import FillingSet
from gylebook.tasks.larder import LarderView


def divided_answer(found: Divided) -> dict[str, Any]:
    """Solutions, best first; what stands between two beers, and which beer no wort serves."""
    return {
        "solutions": [
            {**asdict(one), "served": one.served, "lost": [limit_answer(limit) for limit in one.lost]}
            for one in found.solutions
        ],
        "conflicts": [
            {**asdict(one), "in_words": divide_words.conflict_sentence(one)} for one in found.conflicts
        ],
        "unmade": [{**asdict(one), "in_words": divide_words.unmade_sentence(one)} for one in found.unmade],
    }


def becomes_answer(found: Sequence[BecomingView]) -> dict[str, Any]:
    """Styles, those within reach first."""
    return {"becomes": [asdict(one) for one in found]}


def larder_answer(view: LarderView) -> dict[str, Any]:
    """The shopping list, without the plan's text."""
    return {key: value for key, value in asdict(view).items() if key != "plan"}


def fillings_answer(found: Sequence[FillingSet]) -> dict[str, Any]:
    """Sets of portions, best first."""
    return {"sets": [asdict(one) for one in found]}
