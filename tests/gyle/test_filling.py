"""Every litre of a portion is in one place when it is packed, and none is below zero."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gylebook.brewery.packages import BottleKind, Keg, Lot
from gylebook.errors import Refused
from gylebook.gyle.filling import KEG_FILLED, fill

BEER = BottleKind(key="beer", name="beer bottle", size_l=0.5, limit_bar=4.5, head_space=0.04)

lots = st.lists(
    st.builds(
        Lot,
        kind=st.just(BEER),
        size_l=st.floats(0.05, 3.0),
        count=st.one_of(st.none(), st.integers(1, 60)),
    ),
    max_size=4,
)
kegs = st.lists(st.builds(Keg, holds_l=st.floats(1.0, 60.0)), max_size=4)


@given(st.floats(0.0, 120.0), lots, kegs)
def test_no_packing_makes_a_volume_negative_or_loses_a_litre(litres, some, more):
    try:
        found = fill(litres, some, more)
    except Refused:
        return
    every = [found.left_l, found.lost_l, *(lot.litres for lot in found.lots), *(k.litres for k in found.kegs)]

    assert min(every) >= 0.0
    assert sum(every) == pytest.approx(litres, abs=1e-6)
    assert all(keg.litres <= KEG_FILLED * keg.keg.holds_l + 1e-9 for keg in found.kegs)
    assert all(0.0 < keg.head_space < 9.1 for keg in found.kegs)


def test_counted_bottles_come_first_then_the_rest_then_kegs():
    found = fill(20.0, [Lot(kind=BEER, size_l=0.5, count=None), Lot(kind=BEER, size_l=0.33, count=24)], [])

    assert [lot.count for lot in found.lots] == [23, 24]
    assert found.left_l == pytest.approx(20.0 - 0.3 - 23 * 0.5 - 24 * 0.33)
    assert found.bottles == 47


@pytest.mark.parametrize(
    ("litres", "some", "said"),
    [
        (5.0, [Lot(kind=BEER, size_l=0.5, count=24)], "fills 9 of them"),
        (5.0, [Lot(kind=BEER, size_l=0.5, count=None)] * 2, "only one kind"),
        (5.0, [], "name bottles or a keg"),
        (0.0, [Lot(kind=BEER, size_l=0.5, count=None)], "have beer"),
    ],
)
def test_what_cannot_be_filled_is_refused_in_words(litres, some, said):
    with pytest.raises(Refused, match=said):
        fill(litres, some, [])
