"""Ask how a pH meter was used, where the reading does not tell by itself.

In:  what was read, the temperature of it, and the way of reading as stated.
Out: nothing, or which of them is wrong, what was understood and what would be accepted.

Idea: a mash is more acid hot than cold, and the electrode shows that in one of two ways, so a hot reading
without its way means nothing.  One rule serves a file of readings and a reading that is typed.
"""

from __future__ import annotations

from typing import Literal

from gylebook.brewery.instruments import Quantity
from gylebook.brewery.water import MeterWay

COOLED_BELOW_C = 35.0
"""Up to here a sample counts as cooled. [°C]  Common practice: 20 to 25 °C."""

HOT_WAYS = "“hot, corrected” where the meter takes the temperature into account, “hot, uncorrected” where not"
Asked = tuple[Literal["meter", "temperature"], str, str]


def asked_of_meter(quantity: Quantity, temperature_c: float | None, meter: MeterWay | None) -> Asked | None:
    """What has to be asked back of a reading, if anything."""
    if quantity != "ph":
        return None if meter is None else ("meter", f"“{meter}” of a {quantity}", "only a pH is read so.")
    if temperature_c is not None and temperature_c > COOLED_BELOW_C and meter in (None, "cooled"):
        understood = f"a pH read at {temperature_c:g} °C" + (" of a cooled sample" if meter else "")
        accepted = f"which way was the meter used? Say {HOT_WAYS}; of a cooled sample give its temperature."
        return "meter", understood, accepted
    if temperature_c is None and meter is None:
        accepted = f"give the temperature of the sample, or say “cooled”, or {HOT_WAYS} of a hot one."
        return "meter", "a pH, but not of a sample how warm", accepted
    if temperature_c is None and meter != "cooled":
        return "temperature", f"“{meter}”, but not how hot", "give the temperature of the sample."
    return None
