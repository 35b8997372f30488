"""Gather all that the printed sheet of a day shows.

In:  an `Outlook`.
Out: `SheetView`.
"""

from __future__ import annotations

from gylebook.tasks.order_view import amounts_to_weigh, order_view
from gylebook.tasks.outlook import Outlook
from gylebook.tasks.reading_view import reading_views, trust_view
from gylebook.tasks.run_view import run_view
from gylebook.tasks.views import SheetView


def sheet_view(outlook: Outlook) -> SheetView:
    """The run, the running order and the amounts of one day."""
    order = order_view(outlook)
    return SheetView(
        run=run_view(outlook),
        order=order,
        amounts=amounts_to_weigh(order),
        brewery=outlook.brewery.name,
        trust=trust_view(outlook),
        doubtful=tuple(view for view in reading_views(outlook) if view.doubtful),
    )
