"""Take chlorine and chloramine out of the liquor with metabisulphite.

In:  the utility's figure [mg/L as Cl2], whether it is chloramine, litres, the agent.
Out: grams of the agent; what the reaction leaves in the liquor and takes from its alkalinity.

Idea: a mole of metabisulphite gives two of sulphite, each of which takes up one of chlorine or chloramine;
"total chlorine" is already told as Cl2, so one factor serves both.  Ascorbic acid is not offered for
chloramine, which it was found not to remove (Basu and De Souza 2011).
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Literal, NamedTuple

import numpy as np

from gylebook.errors import Problem, Refused
from gylebook.figures.draws import Array, Value
from gylebook.matter.bounds import Range

Agent = Literal["potassium metabisulphite", "sodium metabisulphite", "ascorbic acid"]

MARGIN = 1.25  # over the stoichiometric dose: powder that has aged, and the utility's figure of another day
AS_CHLORINE = 70.90 / 51.474
"""A figure given as monochloramine, NH2Cl, read as Cl2. [mg/mg]"""

_CL2, _SULPHATE, _CHLORIDE, _NITROGEN = 70.90, 96.056, 35.45, 14.007
_SULPHUR_DIOXIDE = 64.058
_CHLORINE = Range("chlorine", "mg/L as Cl2", 0.0, 20.0, "a tap; drinking water is kept below 4 or 5 mg/L")


class _Powder(NamedTuple):
    molar_mass: float  # g/mol
    takes_up: int  # mol of Cl2
    sodium: int
    potassium: int
    sulphite: int


_AGENTS: Mapping[str, _Powder] = MappingProxyType(
    {
        "potassium metabisulphite": _Powder(222.312, 2, 0, 2, 2),
        "sodium metabisulphite": _Powder(190.096, 2, 2, 0, 2),
        "ascorbic acid": _Powder(176.124, 1, 0, 0, 0),
    }
)


class Left(NamedTuple):
    """What the removal leaves in a litre.  All but the last are gained."""

    sulphate_mg: Array
    chloride_mg: Array  # of the other half of Cl2 the liquor held the chloride already
    sodium_mg: Array
    potassium_mg: Array
    ammonium_n_mg: Array
    sulphite_mg: Array  # as SO2, unused
    alkalinity_used_meq: Array


def agent_per_chlorine(agent: Agent) -> float:
    """Powder that takes up a milligram of chlorine told as Cl2, to the last grain. [mg/mg]

    >>> round(agent_per_chlorine("sodium metabisulphite"), 2)
    1.34
    """
    powder = _AGENTS[agent]
    return powder.molar_mass / (powder.takes_up * _CL2)


def agent_grams(
    agent: Agent, chlorine_mg_per_l: Value, litres: Value, *, chloramine: bool = True, margin: float = MARGIN
) -> Array:
    """Powder for a volume of liquor. [g]

    Parameters
    ----------
    chlorine_mg_per_l
        The utility's total chlorine, 0 to 20. [mg/L as Cl2]
    chloramine
        Whether some of it may be chloramine, which is taken for granted where nobody says.

    Raises
    ------
    Refused
        Where the agent does not remove chloramine.
    """
    if chloramine and not _AGENTS[agent].sulphite:
        accepted = "it was found not to remove chloramine; take a metabisulphite, or say that there is none"
        raise Refused([Problem("agent", agent, accepted)])
    return np.asarray(1e-3 * margin * agent_per_chlorine(agent) * _CHLORINE.check(chlorine_mg_per_l) * litres)


def left_behind(
    agent: Agent, chlorine_mg_per_l: Value, grams_per_l: Value, *, chloramine: bool = True
) -> Left:
    r"""What the reaction leaves in a litre of liquor.

    .. math:: HSO_3^- + HOCl \to SO_4^{2-} + Cl^- + 2H^+,\quad
              HSO_3^- + NH_2Cl + H_2O \to SO_4^{2-} + Cl^- + NH_4^+ + H^+

    Of each mole of chlorine one of chloride is new; the powder beyond what reacts stays as sulphite.

    Parameters
    ----------
    chlorine_mg_per_l, grams_per_l
        Total chlorine [mg/L as Cl2] and powder [g/L]; with too little powder only its share reacts.
    """
    powder = _AGENTS[agent]
    added = 1e3 * np.asarray(grams_per_l, dtype=np.float64) / powder.molar_mass  # mmol/L
    reacted = np.minimum(_CHLORINE.check(chlorine_mg_per_l) / _CL2, powder.takes_up * added)
    sulphited = reacted if powder.sulphite else np.zeros_like(reacted)
    # HOCl frees two protons beside bisulphite, one beside ascorbic acid; chloramine keeps one of the two as
    # ammonium.
    protons = 2 if powder.sulphite and not chloramine else 1
    return Left(
        sulphate_mg=np.asarray(_SULPHATE * sulphited),
        chloride_mg=np.asarray(_CHLORIDE * reacted),
        sodium_mg=np.asarray(22.990 * powder.sodium * added),
        potassium_mg=np.asarray(39.098 * powder.potassium * added),
        ammonium_n_mg=np.asarray(_NITROGEN * reacted * chloramine),
        sulphite_mg=np.asarray(_SULPHUR_DIOXIDE * (powder.sulphite * added - sulphited)),
        alkalinity_used_meq=np.asarray(protons * reacted),
    )
