"""Lend a notebook the model: plans, breweries, forecasts, readings.

In:  nothing.  Out: the names in `__all__`, each loaded when it is first asked for.

Idea: `import gylebook.matter` or the start of the command line must load nothing else, so this package
imports nothing itself.
"""

from __future__ import annotations

import importlib
from typing import Any

_HOMES = {
    "load_plan": "gylebook.tasks.files",
    "load_brewery": "gylebook.tasks.files",
    "load_readings": "gylebook.tasks.files",
    "adapt": "gylebook.tasks.notebook",
    "forecast": "gylebook.tasks.notebook",
    "solve": "gylebook.tasks.notebook",
    "condition": "gylebook.tasks.notebook",
    "learn": "gylebook.tasks.notebook",
    "reach": "gylebook.tasks.notebook",
    "ways_to_keep": "gylebook.tasks.fixes",
    "what_can_be_done": "gylebook.tasks.remedy_view",
    "load_wish": "gylebook.tasks.dividing",
    "divided": "gylebook.tasks.dividing",
    "chosen_plan": "gylebook.tasks.dividing",
    "what_it_becomes": "gylebook.tasks.becoming",
    "load_larder": "gylebook.tasks.larder",
    "shopping": "gylebook.tasks.larder",
    "ways_to_fill": "gylebook.tasks.filling",
    "run": "gylebook.gyle.course",
    "named": "gylebook.gyle.names",
    "summarise": "gylebook.figures.draws",
    "Reading": "gylebook.brewery.instruments",
}

__all__ = [
    "Reading",
    "adapt",
    "chosen_plan",
    "condition",
    "divided",
    "forecast",
    "learn",
    "load_brewery",
    "load_larder",
    "load_plan",
    "load_readings",
    "load_wish",
    "named",
    "reach",
    "run",
    "shopping",
    "solve",
    "summarise",
    "ways_to_fill",
    "ways_to_keep",
    "what_can_be_done",
    "what_it_becomes",
]


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"gylebook has no “{name}”; it lends {', '.join(__all__)}")
    return getattr(importlib.import_module(_HOMES[name]), name)


def __dir__() -> list[str]:
    return sorted(__all__)
