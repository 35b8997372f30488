"""Ask PHREEQC, a program for aqueous chemistry, what a water becomes.

In:  a water's ions [mmol/L], alkalinity [mEq/L], pH and temperature [°C]; what is added [mmol/L]; a gas.
Out: pH, total carbonate [mmol/L], ionic strength [mol/L], saturation index of calcite.

Idea: PHREEQC (IPhreeqc 3.7.3, its data base phreeqc.dat) has its own solver, its own law of activity, ion
by ion, and its own heats of reaction.  Lactic and citric acid are unknown to it: they are told to it with
the constants of 20 °C, and no pairs.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from phreeqpython import PhreeqPython

ORGANIC_ACIDS = """
SOLUTION_MASTER_SPECIES
  Lac Lac- 0 Lac 89.07
  Cit Cit-3 0 Cit 189.10
SOLUTION_SPECIES
  Lac- = Lac-
    log_k 0
  Lac- + H+ = HLac
    log_k 3.8573
  Cit-3 = Cit-3
    log_k 0
  Cit-3 + H+ = HCit-2
    log_k 6.3878
  Cit-3 + 2 H+ = H2Cit-
    log_k 11.1567
  Cit-3 + 3 H+ = H3Cit
    log_k 14.2991
END
"""
NAMES = {
    "calcium": "Ca",
    "magnesium": "Mg",
    "sodium": "Na",
    "potassium": "K",
    "chloride": "Cl",
    "sulphate": "S(6)",
    "nitrate": "N(5)",
}
PRINTED = """
SELECTED_OUTPUT
  -reset false
  -pH true
  -ionic_strength true
  -totals C(4)
  -si Calcite
END
"""


class Found(NamedTuple):
    """What PHREEQC finds."""

    ph: float
    ionic_strength: float
    total_carbonate: float
    calcite_saturation: float


class AqueousLibrary:
    """One running PHREEQC."""

    def __init__(self) -> None:
        self._program: Any = PhreeqPython().ip
        self._program.run_string(ORGANIC_ACIDS + PRINTED)

    def after(
        self,
        ions: Mapping[str, float],
        ph: float,
        temp_c: float,
        added: Mapping[str, float] | None = None,
        log_pco2: float | None = None,
    ) -> Found:
        """The water of a measured pH, after additions by formula, at rest with a gas where one is named."""
        lines = [
            "DELETE",
            "  -all",
            "END",
            "SOLUTION 1",
            "  units mmol/L",
            f"  temp {temp_c!r}",
            f"  pH {ph!r}",
            f"  Alkalinity {ions['alkalinity']!r}",
        ]
        lines += [f"  {NAMES[name]} {amount!r}" for name, amount in ions.items() if name in NAMES]
        if added or log_pco2 is not None:
            lines += ["END", "USE SOLUTION 1"]
        if added:
            lines += ["REACTION 1", *(f"  {formula} {amount!r}" for formula, amount in added.items())]
            lines += ["  1 mmol", "REACTION_TEMPERATURE 1", f"  {temp_c!r}"]
        if log_pco2 is not None:
            lines += ["EQUILIBRIUM_PHASES 1", f"  CO2(g) {log_pco2!r} 10"]
        self._program.run_string("\n".join([*lines, "END"]))
        head, *rows = self._program.get_selected_output_array()
        values = dict(zip(head, rows[-1], strict=True))
        return Found(values["pH"], values["mu"], 1000.0 * values["C(4)(mol/kgw)"], values["si_Calcite"])
