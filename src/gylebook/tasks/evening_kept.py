"""Find the readings of a calibration evening that a book keeps.

In:  an open book, a brewery's name.
Out: its newest evening as readings; none where there was none.
"""

from __future__ import annotations

from gylebook.brewery.instruments import Reading
from gylebook.exchange.readings_file import read_readings
from gylebook.record.book import Book


def readings_kept(book: Book, brewery: str) -> tuple[Reading, ...]:
    """What was read on the newest evening with water on a brewery."""
    kept = book.evening(brewery)
    if kept is None:
        return ()
    return read_readings(kept.text, where=f"evening on “{brewery}”, version {kept.version}")
