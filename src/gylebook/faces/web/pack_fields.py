"""Take what the form of packing sent, by its fields, and make an address of it again.

In:  fields with their texts, from an address or a form.
Out: `Sent`: rows of bottles and a `PackTyped`; the same as an address.

Idea: rows are numbered (count.0, kind.0, size.0), and a row without a number of bottles means nothing.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import urlencode

from gylebook.faces.pack_form import PackTyped, lines

MOST_ROWS = 12
LONGEST = 400  # characters of one field; what is longer was not typed
PLAIN = (
    "volumes",
    "sugar",
    "way",
    "store",
    "serve",
    "scale",
    "litres",
    "warmest",
    "wort",
    "accepted",
    "reason",
)


@dataclass(frozen=True, slots=True)
class LotTyped:
    """A row of the form: how many bottles of which kind, and their size where it is not the usual one."""

    count: str = ""
    kind: str = ""
    size: str = ""

    @property
    def text(self) -> str:
        """As it is read; nothing where no number was typed."""
        if not self.count:
            return ""
        return f"{self.count} {self.kind}" + (f", {self.size}" if self.size else "")


@dataclass(frozen=True, slots=True, kw_only=True)
class Sent:
    """What a form sent, as it was typed."""

    lots: tuple[LotTyped, ...]
    typed: PackTyped
    kegs: str = ""
    at: str = ""
    id: str = ""

    @property
    def query(self) -> str:
        """The same as an address has it, without the moment."""
        fields = [
            (f"{name}.{place}", getattr(row, name))
            for place, row in enumerate(self.lots)
            for name in ("count", "kind", "size")
        ]
        fields += [(name, getattr(self.typed, name)) for name in PLAIN]
        fields += [("kegs", self.kegs), ("prime_kegs", "true" if self.typed.prime_kegs else "")]
        return urlencode([(name, text) for name, text in fields if text])


def sent_of(fields: Mapping[str, str]) -> Sent:
    """What these fields say."""

    def told(name: str) -> str:
        return fields.get(name, "").strip()[:LONGEST]

    rows = [
        LotTyped(*(told(f"{name}.{place}") for name in ("count", "kind", "size")))
        for place in range(MOST_ROWS)
    ]
    lots = tuple(row for row in rows if row.count or row.size)
    typed = PackTyped(
        bottles=tuple(row.text for row in lots if row.text),
        kegs=lines(told("kegs").replace(";", "\n").replace(", ", "\n")),
        prime_kegs=bool(told("prime_kegs")),
        **{name: told(name) for name in PLAIN},
    )
    return Sent(lots=lots, typed=typed, kegs=told("kegs"), at=told("at"), id=told("id"))
