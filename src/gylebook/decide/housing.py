"""Find a fermenter for every portion.

In:  what each portion needs to the brim, which fermenter it would like, and the fermenters there are.
Out: a fermenter for each portion that gets one.

Idea: the largest chooses first and takes the smallest that holds it, which houses all wherever all can be
housed.  A fermenter that the plan names is kept where that puts nobody out.
"""

from __future__ import annotations

from collections.abc import Mapping

from gylebook.brewery.gear import Fermenter


def housed(
    needed_l: Mapping[str, float], wished: Mapping[str, str], fermenters: Mapping[str, Fermenter]
) -> dict[str, str]:
    """Fermenter of each portion, by key.  One too small gets the largest left; the smallest may get none."""
    kept: dict[str, str] = {}
    for key in _largest_first(needed_l):
        own = fermenters.get(wished[key])
        if own is not None and own.key not in kept.values() and own.capacity_l >= needed_l[key]:
            kept[key] = own.key
    with_own = _filled_up(needed_l, kept, fermenters)
    anew = _filled_up(needed_l, {}, fermenters)
    return min((with_own, anew), key=lambda found: _lacking_l(needed_l, found, fermenters))


def _largest_first(needed_l: Mapping[str, float]) -> list[str]:
    return sorted(needed_l, key=lambda key: -needed_l[key])


def _filled_up(
    needed_l: Mapping[str, float], kept: Mapping[str, str], fermenters: Mapping[str, Fermenter]
) -> dict[str, str]:
    out = dict(kept)
    for key in _largest_first(needed_l):
        free = [one for one in fermenters.values() if one.key not in out.values()]
        if key in out or not free:
            continue
        large_enough = [one for one in free if one.capacity_l >= needed_l[key]]
        taken = min(large_enough, key=_size) if large_enough else max(free, key=_size)
        out[key] = taken.key
    return out


def _size(fermenter: Fermenter) -> float:
    return fermenter.capacity_l


def _lacking_l(
    needed_l: Mapping[str, float], found: Mapping[str, str], fermenters: Mapping[str, Fermenter]
) -> float:
    """Litres to the brim that the portions go short of."""
    got = {key: fermenters[taken].capacity_l for key, taken in found.items()}
    return sum(max(needed - got.get(key, 0.0), 0.0) for key, needed in needed_l.items())
