"""Call a malt, a salt or an acid as the tables do.

In:  the key that a plan and its figures know it by.
Out: its name; of a key that no table has, its words.
"""

from __future__ import annotations

import re

from gylebook.exchange.substances import acids, substance_name
from gylebook.exchange.tables import SHIPPED

A_KEY = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)+")  # what was made of a name, where no table has it


def name_of(key: str) -> str:
    """What such a thing is called.

    >>> name_of("vienna-malt"), name_of("calcium-chloride"), name_of("lactic"), name_of("my-neighbours-malt")
    ('Vienna malt', 'calcium chloride', 'lactic acid', 'my neighbours malt')
    """
    grain = SHIPPED.grain(key)
    if grain is not None and grain.key == key:
        return grain.name
    if any(acid.startswith(f"{key}-") for acid in acids()):
        return f"{key} acid"
    named = substance_name(key)
    return key.replace("-", " ") if named == key and A_KEY.fullmatch(key) else named
