"""Lines of a TOML text are found again."""

from __future__ import annotations

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gylebook.exchange.lines import Place, in_words, lines_of

TEXT = '''name = "x # not a comment"
# [nothing]
[aims]
odds = "90 %"

[[grist]]
grain = "one"
[[grist]]
grain = """two
[[grist]]
"""
share = "30 %"

[portions."the long one"]
yeast = { kind = 'a, b', package.kind = "keg" }
list = [ # each on its line
  1,
  { deep = [2,
    3] },
]
dotted.key = 2026-01-01T00:00:00Z
[portions."the long one".later]
"es\\u0063aped" = 1
'''


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("name",), 1),
        (("aims",), 3),
        (("aims", "odds"), 4),
        (("grist", 0), 6),
        (("grist", 0, "grain"), 7),
        (("grist", 1), 8),
        (("grist", 1, "grain"), 9),
        (("grist", 1, "share"), 12),
        (("portions", "the long one"), 14),
        (("portions", "the long one", "yeast", "kind"), 15),
        (("portions", "the long one", "yeast", "package", "kind"), 15),
        (("portions", "the long one", "list", 0), 17),
        (("portions", "the long one", "list", 1, "deep", 1), 19),
        (("portions", "the long one", "dotted", "key"), 21),
        (("portions", "the long one", "later"), 22),
        (("portions", "the long one", "later", "escaped"), 23),
    ],
)
def test_a_key_is_found_on_the_line_a_reader_sees_it_on(path, line):
    assert lines_of(TEXT)[path] == line


def test_a_missing_key_is_told_by_the_line_of_its_table():
    assert Place("plan.toml", TEXT).at(("grist", 1, "colour")) == "plan.toml line 8, grist[2].colour"


def test_a_place_that_the_file_does_not_have_is_told_without_a_line():
    assert Place("plan.toml", TEXT).at(("boil",)) == "plan.toml, boil"


def test_people_count_from_one():
    assert in_words(("grist", 0, "share")) == "grist[1].share"


KEYS = st.sampled_from(["grain", "share", "the-time", '"two words"', "'literal'", "a.b"])
VALUES = st.sampled_from(
    [
        '"text"',
        "'li#teral'",
        "12",
        "true",
        "[1, 2]",
        "{ x = 1, y = [ 'z' ] }",
        '"""\nlong ]\n"""',
        "07:32:00",
        '""',
    ]
)


@st.composite
def toml_texts(draw):
    """A TOML text and how many keys it was made of."""
    lines = ["top = 1"]
    for table in draw(st.lists(st.sampled_from(["[[grist]]", "[[hops]]"]), max_size=5)):
        lines.append(table + draw(st.sampled_from(["", "  # remark"])))
        for key in draw(st.lists(KEYS, unique=True, max_size=4)):
            lines.append(f"{key} = {draw(VALUES)}")
    return "\n".join(lines)


def every_path(value, path=()):
    """Every path of parsed TOML."""
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, inner in items:
        yield (*path, key)
        yield from every_path(inner, (*path, key))


@given(toml_texts())
def test_every_key_that_toml_holds_has_a_line_with_its_last_word_on_it(text):
    tables = tomllib.loads(text)

    lines = lines_of(text)

    written = text.split("\n")
    for path in every_path(tables):
        if isinstance(path[-1], str):
            assert path[-1] in written[lines[path] - 1]
    assert set(lines) == set(every_path(tables))
