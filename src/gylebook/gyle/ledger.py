"""Keep account of mass: what goes into a step comes out of it.

In:  for each step, kilograms in and out.
Out: `Entry`, one for each step, whose two sides agree to 1e-9; a test holds every run to it.

Idea: the flow writes its entries as it goes, from the same arrays it works with, so that a slip in an
equation shows as a side that does not agree.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gylebook.figures.draws import Value

Masses = tuple[Value, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Entry:
    """One step's account.  Extract counts as mass too; `extract_*` follows it by itself where it lasts."""

    step: str
    mass_in_kg: Masses
    mass_out_kg: Masses
    extract_in_kg: Masses = ()
    extract_out_kg: Masses = ()

    def imbalance(self) -> float:
        """Largest disagreement of the two sides over all draws, relative to what went in."""
        return max(
            _disagreement(self.mass_in_kg, self.mass_out_kg),
            _disagreement(self.extract_in_kg, self.extract_out_kg),
        )


def _disagreement(into: Masses, out: Masses) -> float:
    if not into and not out:
        return 0.0
    given = np.asarray(sum(into))
    taken = np.asarray(sum(out))
    return float(np.max(np.abs(given - taken) / np.maximum(np.abs(given), 1e-12)))
