"""Draw a QR code with the characters of a terminal."""

from __future__ import annotations

from io import StringIO

import segno


def code_for_terminal(address: str) -> str:
    """The address as a QR code, two rows of it to a line."""
    out = StringIO()
    segno.make(address, error="l").terminal(out, border=2, compact=True)
    return out.getvalue()
