"""Whatever is typed into the files, the command line answers or refuses; it never falls over."""

from __future__ import annotations

import json
import re
import tempfile
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from command_line import EXAMPLE, FEW, cli

FILES = {
    name: (EXAMPLE / name).read_text(encoding="utf-8")
    for name in ("plan.toml", "brewery.toml", "readings.toml")
}
ODD = """
0 L, 1 mL, 1999 L, -1 kg, 1e308 L, 1e-300 kg, nan L, inf °C, 0 %, 100 %, 99.9 %, 1.000, 1.001, 1.150, 35 °P,
0 °P, -20 °C, 100 °C, 0 min, 600 min, 0 W, 0.01 kW, 500 kW, 9000 m, 0 cm, , tun, full volume, poured rinse,
fly rinse, extract only, dry, stand, gas, counterflow, none, stays, whole, keg, \\u0000, 🍺
"""
VALUES = [f'"{value.strip()}"' for value in ODD.split(",")]
VALUES += ["0", "-1", "1e400", "true", "[]", "{}", "1979-05-27"]
NUMBER = re.compile(r"\d+(\.\d+)?")
FACTORS = (0.0, 0.01, 0.1, 0.5, 0.8, 1.2, 2.0, 5.0, 30.0)


@st.composite
def mutated(draw: st.DrawFn) -> dict[str, str]:
    """The example's files with a few lines dropped, doubled, moved or given an odd value."""
    texts = dict(FILES)
    for _ in range(draw(st.integers(1, 4))):
        name = draw(st.sampled_from(sorted(texts)))
        lines = texts[name].splitlines()
        at = draw(st.integers(0, len(lines) - 1))
        deed = draw(st.sampled_from([*["scale"] * 12, "value", "value", "drop", "double", "swap", "text"]))
        if deed == "drop":
            del lines[at]
        elif deed == "double":
            lines.insert(at, lines[at])
        elif deed == "swap":
            other = draw(st.integers(0, len(lines) - 1))
            lines[at], lines[other] = lines[other], lines[at]
        elif deed == "text":
            lines[at] = draw(st.text(max_size=30))
        elif deed == "scale":
            by = draw(st.sampled_from(FACTORS))
            number = NUMBER.search(lines[at])
            if number:
                before, after = lines[at][: number.start()], lines[at][number.end() :]
                lines[at] = f"{before}{float(number[0]) * by:.4g}{after}"
        elif " = " in lines[at]:
            key = lines[at].split(" = ")[0]
            lines[at] = f"{key} = {draw(st.sampled_from(VALUES))}"
        texts[name] = "\n".join(lines) + "\n"
    return texts


COMMANDS = st.sampled_from(
    [
        ("forecast", "--json"),
        ("forecast",),
        ("limits", "--json"),
        ("solve",),
        ("order",),
        ("remedies", "--json"),
    ]
)


@settings(max_examples=60, deadline=None)
@given(texts=mutated(), command=COMMANDS, read=st.booleans())
@example(
    texts={**FILES, "plan.toml": FILES["plan.toml"].replace('"5 L"', '"0 L"')},
    command=("limits",),
    read=False,
)
def test_mutated_files_are_answered_or_refused(texts, command, read):
    answered_or_refused(texts, command, read)


@pytest.mark.long
@settings(max_examples=3000, deadline=None)
@given(texts=mutated(), command=COMMANDS, read=st.booleans())
def test_thousands_of_mutated_files_are_answered_or_refused(texts, command, read):
    answered_or_refused(texts, command, read)


def answered_or_refused(texts, command, read):
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for file, text in texts.items():
            (folder / file).write_text(text, encoding="utf-8", errors="surrogatepass")
        more = ["-r", folder / "readings.toml"] if read and command[0] in ("forecast", "remedies") else []
        answer = cli(command[0], folder / "plan.toml", *FEW, *command[1:], *more)
    assert answer.code in (0, 1, 2)
    assert "Traceback" not in answer.err
    assert bool(answer.err) == (answer.code == 2)
    if answer.code == 2:
        assert not answer.out
    elif "--json" in command:
        json.loads(answer.out)
