"""Compare names as brewers write them, and make keys of them.

In:  a name of a grain, hop, sugar or yeast.
Out: `plain`, the form in which two names are compared; `slug`, a short key.

Idea: case, accents, commas and hyphens never tell two things apart.
"""

from __future__ import annotations

import unicodedata


def plain(name: str) -> str:
    """A name as it is compared: no case, accents, commas or double blanks; a key reads like its name."""
    bare = "".join(c for c in unicodedata.normalize("NFKD", name) if not unicodedata.combining(c))
    return " ".join(bare.casefold().replace(",", " ").replace("-", " ").split())


def slug(name: str) -> str:
    """A key made of a name: `Munich malt, light` becomes `munich-malt-light`."""
    kept = "".join(c if c.isalnum() else " " for c in plain(name).replace("'", ""))
    return "-".join(kept.split()) or "unnamed"
