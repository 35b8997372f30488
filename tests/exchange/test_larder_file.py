"""A larder file is read, or refused with every fault."""

from __future__ import annotations

import pytest

from example_wishes import EXAMPLE
from gylebook.errors import Refused
from gylebook.exchange.larder_file import larder_schema, read_larder

TEXT = (EXAMPLE / "larder.toml").read_text(encoding="utf-8")


def test_what_lies_open_and_whole_packs_are_at_hand_together():
    text = '[[packs]]\nof = "hop"\nsize = "100 g"\nprice = "5"\nat_hand = "30 g"\npacks_at_hand = "2"'

    (pack,) = read_larder(text, where="larder").packs

    assert pack.at_hand == pytest.approx(0.23)
    assert (pack.size_kg, pack.price, pack.most) == (0.1, 5.0, None)


def test_the_example_is_read_with_its_currency():
    larder = read_larder(TEXT, where="larder")

    assert larder.currency == "EUR"
    assert {pack.of for pack in larder.packs} >= {"pale ale malt", "Perle", "American ale, clean"}


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('[[packs]]\nof = "malt"\nprice = "5"\nat_hand = "1 kg"', "a mass of what is counted"),
        ('[[packs]]\nof = "malt"\nsize = "5 kg"', "price"),
        ('[[packs]]\nof = "malt"\nsize = "5 L"\nprice = "5"', "size"),
        ("", "packs"),
    ],
)
def test_what_cannot_be_meant_is_refused(text, told):
    with pytest.raises(Refused, match=told):
        read_larder(text, where="larder")


def test_the_schema_describes_every_key():
    assert all("description" in part for part in larder_schema()["properties"].values())
