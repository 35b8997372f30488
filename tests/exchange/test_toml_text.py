"""What is not TOML is refused with its line, and never with a traceback."""

from __future__ import annotations

import pytest

from gylebook.errors import Refused
from gylebook.exchange.toml_text import parse


def refusal(data, where="plan.toml"):
    with pytest.raises(Refused, match=where) as caught:
        parse(data, where=where)
    return str(caught.value)


def test_a_quantity_without_quotes_is_shown_with_the_way_to_write_it():
    parsed = parse('[aims]\nfermenters = 34 L\nodds = "90 %"\n', where="plan.toml")

    assert parsed.tables == {"aims": {"odds": "90 %"}}
    assert [str(fault) for fault in parsed.faults] == [
        "plan.toml line 2: “fermenters = 34 L” is not TOML; "
        'a quantity stands in quotes with its unit, such as volume = "34 L".'
    ]


def test_two_broken_lines_are_told_at_once():
    parsed = parse('a = 1 L\nb = "good"\nc = @\n', where="plan.toml")

    assert [fault.where for fault in parsed.faults] == ["plan.toml line 1", "plan.toml line 3"]


def test_a_broken_heading_ends_the_reading():
    assert "“[boil” is not TOML" in refusal('[boil\ntime = "60 min"\n')


def test_a_heading_that_stands_twice_is_told_with_its_line():
    assert "plan.toml line 3: “[boil]” is not TOML; Cannot declare" in refusal("[boil]\n[mash]\n[boil]\n")


def test_bytes_that_are_not_utf8_are_told_with_their_line():
    assert "plan.toml line 2: byte 0xe9 is not UTF-8" in refusal(b'[aims]\nname = "caf\xe9"\n')


def test_half_a_character_is_told_with_its_line():
    assert "plan.toml line 2: half a character" in refusal('a = "1"\nb = "\ud800"')


def test_a_file_of_more_than_a_megabyte_is_not_read():
    assert "1 000 001 bytes; such a file has at most 1 000 000 bytes" in refusal(b"#" * 1_000_001)


def test_brackets_without_end_are_refused():
    assert "brackets too deep to read" in refusal("a = " + "[" * 100_000)


def test_a_number_of_ten_thousand_digits_is_refused():
    assert "not TOML" in refusal("a = " + "1" * 10_000)


def test_windows_line_ends_and_byte_order_marks_are_taken():
    assert parse(b'\xef\xbb\xbfa = "1"\r\nb = "2"\r\n', where="x").tables == {"a": "1", "b": "2"}
    assert parse('\ufeffa = "1"\n', where="x").tables == {"a": "1"}


@pytest.mark.parametrize(
    "data", ["a = 2026-13-45", 'a = "\x00"', "= 1", "a = 1\na = 2", 'a = """', "a.b = 1\na = 2"]
)
def test_whatever_is_not_toml_is_refused_or_told_as_a_fault(data):
    told = []
    try:
        told = parse(data, where="plan.toml").faults
    except Refused as refused:
        told = refused.problems

    assert told
    assert all(problem.where.startswith("plan.toml") for problem in told)
