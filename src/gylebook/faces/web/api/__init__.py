"""Answer programs: the same tasks as the pages, in JSON, described at /api/openapi.json.

`models` are what goes in and out, `troubles` what can go wrong; one module a group of addresses.
"""

from __future__ import annotations

from fastapi import APIRouter

from gylebook.faces.web.api import brews, divide, ferments, forecasts, shelf
from gylebook.faces.web.api.troubles import TROUBLES

router = APIRouter(prefix="/api", responses=TROUBLES)
for part in (shelf, forecasts, divide, brews, ferments):
    router.include_router(part.router)
