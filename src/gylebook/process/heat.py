"""Heat vessels, against what they lose to the room.

In:  power and its kind, areas, temperatures, heat capacity.
Out: losses of wall, lid and open surface [kW], net power [kW], minutes to a temperature.

Idea: losses come from one tabled kettle, turned into losses a square metre, so that they carry over to other
sizes; minutes are the integral of C dT/(P - Q(T)), and infinite where the losses win.  An open surface
loses four times what the wall does, and it is what stops a weak heater.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal, NamedTuple

import numpy as np

from gylebook.figures.draws import Array
from gylebook.matter.bounds import FAHRENHEIT, Range


class NetShare(NamedTuple):
    """Share of the gross power that reaches the liquid, and its spread. [0..1]"""

    level: float
    scatter: float


HeatKind = Literal["element", "induction", "hotplate", "gas", "sheltered gas"]

NET_SHARE: dict[HeatKind, NetShare] = {
    "element": NetShare(0.98, 0.01),  # submerged; of V²/R, so a mains sag of 10 % costs 19 %
    "induction": NetShare(0.85, 0.04),
    "hotplate": NetShare(0.70, 0.08),
    "gas": NetShare(0.40, 0.08),  # a measured kitchen burner gave 0.42
    "sheltered gas": NetShare(0.50, 0.08),  # shielded from wind; standard pan tests give 0.51 to 0.64
}

# A kettle of 60 L, 40 cm wide and 48 cm high, in still air of 20 °C; walls by Churchill and Chu with an
# emissivity of 0.25, open surface after Bower and Saylor (2009).  Such correlations agree within 18 to 26 %.
_WALL_M2, _TOP_M2 = np.pi * 0.40 * 0.48, np.pi * 0.40**2 / 4.0
_TABLED_C = np.array([50.0, 67.0, 76.0, 85.0, 95.0])
_BARE_W = np.array([113.0, 198.0, 248.0, 299.0, 359.0])
_INSULATED_W = np.array([24.0, 38.0, 46.0, 53.0, 61.0])  # 25 mm of foam
_LID_W = np.array([22.0, 42.0, 53.0, 65.0, 79.0])
_OPEN_W = np.array([195.0, 475.0, 728.0, 1096.0, 1697.0])

_HOT = Range("temp_c", "°C", 0.0, 105.0, "the table of kettle losses", (FAHRENHEIT,))
_ROOM = Range("room_c", "°C", -20.0, 45.0, "the table of kettle losses", (FAHRENHEIT,))
_GROSS = Range("gross_kw", "kW", 0.0, 1000.0, "a heat source")
_FROM = Range("from_c", "°C", 0.0, 105.0, "heating a liquid", (FAHRENHEIT,))
_TO = Range("to_c", "°C", 0.0, 105.0, "heating a liquid", (FAHRENHEIT,))

_ROOM_TABLED_C = 20.0
_KNOTS = np.log(np.array([1.0, *(_TABLED_C - _ROOM_TABLED_C), 125.0]))
_MANY, _FEW = 8, 4  # Gauss points; the few where less than half of the power is lost
_GAUSS = {count: np.polynomial.legendre.leggauss(count) for count in (_FEW, _MANY)}
_PER_K, _WARMEST_K = 32, 125  # of the tables that are looked up


def _table(watts: Array, area_m2: float) -> Array:
    """kW/m² by straight lines between logarithms, for every 1/32 K above the room.

    The tabled kettle's first and last slopes are carried on to both ends; there is none where the liquid is
    no warmer than the room by 1 K.
    """
    logs = np.log(0.001 * watts / area_m2)
    knots = _KNOTS[1:-1]
    first = (logs[1] - logs[0]) / (knots[1] - knots[0])
    last = (logs[-1] - logs[-2]) / (knots[-1] - knots[-2])
    below, above = logs[0] + first * (_KNOTS[0] - knots[0]), logs[-1] + last * (_KNOTS[-1] - knots[-1])
    kelvins = np.arange(_WARMEST_K * _PER_K + 2) / _PER_K
    flux: Array = np.exp(np.interp(np.log(np.maximum(kelvins, 1.0)), _KNOTS, [below, *logs, above]))
    return flux * np.minimum(kelvins, 1.0)


_BARE, _INSULATED = _table(_BARE_W, _WALL_M2), _table(_INSULATED_W, _WALL_M2)
_LID, _OPEN = _table(_LID_W, _TOP_M2), _table(_OPEN_W, _TOP_M2)


def _flux(table: Array, above_room: Array) -> Array:
    """kW/m², looked up: the curve bends so little in 1/32 K that a straight line is as good."""
    place = np.clip(above_room * float(_PER_K), 0.0, float(_WARMEST_K * _PER_K))
    below = place.astype(np.intp)
    flux: Array = np.take(table, below)
    return flux + (place - below) * np.take(np.diff(table), below)


def wall_loss(
    wall_m2: Array | float, temp_c: Array | float, room_c: Array | float = 20.0, *, insulated: bool = False
) -> Array:
    """Heat through the wall of a vessel in still air. [kW]

    `wall_m2` is the whole wall, π D H, hot to the rim as under steam; `temp_c` 0 to 105, `room_c` -20 to 45
    °C.  By the difference of the two: 0.33 kW/m² at 67 °C, 0.06 with 25 mm of insulation.  ± 25 % indoors, in
    wind 1.5 to 3 times as much.
    """
    above = _HOT.check(temp_c) - _ROOM.check(room_c)
    return wall_m2 * _flux(_INSULATED if insulated else _BARE, above)


def lid_loss(top_m2: Array | float, temp_c: Array | float, room_c: Array | float = 20.0) -> Array:
    """Heat through a lid. [kW]  Ranges and spread as in `wall_loss`; `top_m2` is π D²/4."""
    return top_m2 * _flux(_LID, _HOT.check(temp_c) - _ROOM.check(room_c))


def open_surface_loss(top_m2: Array | float, temp_c: Array | float) -> Array:
    """Heat from an open surface, nearly all as vapour, in a room of 20 °C. [kW]

    3.8 kW/m² at 67 °C, 16 at 100.  The vapour pressure sets it, so the room does not enter.  `temp_c` 0 to
    105 °C; ± 25 %, and below a rolling boil only.
    """
    return top_m2 * _flux(_OPEN, _HOT.check(temp_c) - _ROOM_TABLED_C)


def vessel_loss(
    wall_m2: Array | float,
    top_m2: Array | float,
    temp_c: Array | float,
    room_c: Array | float = 20.0,
    *,
    insulated: bool = False,
    lid: bool = True,
) -> Array:
    """All that a vessel loses to the room: its wall, and its lid or its open surface. [kW]"""
    if (
        lid and isinstance(wall_m2, float) and isinstance(top_m2, float)
    ):  # of one vessel: one look-up for both
        wall = _INSULATED if insulated else _BARE
        return _flux(wall_m2 * wall + top_m2 * _LID, _HOT.check(temp_c) - _ROOM.check(room_c))
    top = lid_loss(top_m2, temp_c, room_c) if lid else open_surface_loss(top_m2, temp_c)
    return wall_loss(wall_m2, temp_c, room_c, insulated=insulated) + top


def net_power(kind: HeatKind, gross_kw: Array | float) -> Array:
    """Power that reaches the liquid at the usual share of its kind (`NET_SHARE`). [kW]"""
    return _GROSS.check(gross_kw) * NET_SHARE[kind].level


def heating_minutes(
    heat_kj_per_k: Array | float,
    from_c: Array | float,
    to_c: Array | float,
    net_kw: Array | float,
    loss_kw: Callable[[Array], Array | float],
) -> Array:
    r"""Time to bring a vessel to a temperature. [min]

    .. math:: t = \int_{T_0}^{T_1} \frac{C\,dT}{P - Q(T)}

    Parameters
    ----------
    heat_kj_per_k
        Of liquid and vessel together :math:`C`. [kJ/K]
    from_c, to_c
        :math:`T_0` and :math:`T_1`, 0 to 105; none to spend where it is hot enough already. [°C]
    net_kw
        :math:`P`. [kW]
    loss_kw
        :math:`Q(T)`, not falling with T, for temperatures of shape (points, draws) or (points, 1), so that a
        factor of shape (draws,) may multiply it. [kW]

    Notes
    -----
    Infinite where the losses at :math:`T_1` take all the power.  Eight Gauss points: within 0.2 % as long as
    a twentieth of the power is left over at the end; where half of it is, four are within 0.002 %.
    """
    start, end = _FROM.check(from_c), _TO.check(to_c)
    span = np.maximum(end - start, 0.0)
    lost = loss_kw(start + span)
    reached = net_kw - lost > 0.0
    points, weights = _GAUSS[_FEW if np.all(lost < 0.5 * net_kw) else _MANY]
    power = np.where(reached, net_kw, np.inf)  # no division by what is not there
    # One row a temperature, one column a draw; single temperatures make one column, and little work.
    temps = start + 0.5 * (points[:, np.newaxis] + 1.0) * span
    inverse = 0.5 * weights @ (1.0 / (power - loss_kw(temps)))
    minutes = heat_kj_per_k * span * inverse.reshape(np.broadcast_shapes(power.shape, span.shape)) / 60.0
    return np.where(reached | (span == 0.0), minutes, np.inf)
