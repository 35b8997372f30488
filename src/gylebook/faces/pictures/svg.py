"""Write SVG elements, with every text escaped and every coordinate rounded for output.

In:  a tag, its attributes and its children.
Out: a string; presentation attributes alone, so that a browser and a PDF maker draw the same.

Idea: a picture is a list of strings.  An attribute's `_` stands for the `-` that Python's names cannot hold.
"""

from __future__ import annotations

import re
from xml.sax.saxutils import escape

# What XML 1.0 cannot hold at all, escaped or not; a brewer's title may still contain it.
_NOT_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def clean(text: str) -> str:
    """Text as element content."""
    return escape(_NOT_XML.sub(" ", text))


def coordinate(value: float) -> str:
    """A coordinate to a tenth of a unit, which no eye sees, without closing zeros."""
    text = f"{value:.1f}"
    return text[:-2] if text.endswith(".0") else text


def element(tag: str, *children: str, **attributes: str | float | None) -> str:
    """One element; children are taken as they are, attributes of None are left out.

    >>> element("rect", x=1.04, fill='"a"')
    '<rect x="1" fill="&quot;a&quot;"/>'
    """
    parts = [tag]
    for name, value in attributes.items():
        if value is None:
            continue
        text = value if isinstance(value, str) else coordinate(value)
        parts.append(f'{name.rstrip("_").replace("_", "-")}="{escape(_NOT_XML.sub(" ", text), _QUOTE)}"')
    head = " ".join(parts)
    return f"<{head}>{''.join(children)}</{tag}>" if children else f"<{head}/>"


_QUOTE = {'"': "&quot;"}
