"""Placeholder."""
from gylebook.faces import words
from gylebook.faces.words import METRIC, Units
def pressure(bar: float, units: Units = METRIC) -> str:
    """“2.7 bar”, or “39 psi”."""
    return f"{words.fixed(bar, 1)} bar" if units.volume == "L" else f"{words.fixed(bar * 14.504, 0)} psi"
