"""Run the command lines that the manual shows, and hold what is printed against what is shown.

In:  the pages, with blocks marked `console`: lines that begin with `$`, then their output.
Out: the shown lines that the program no longer prints; `python tests/docs_console.py` puts the present
     lines in their places.

Idea: `...` stands for lines left out, so each shown line must come, in order, among the printed ones.
Words must agree to the letter.  Numbers may differ by one in the last place shown or by 3 %: another
processor may round otherwise, and the draws after readings are chosen by weights that feel it.
"""

from __future__ import annotations

import contextlib
import io
import os
import re
import shlex
import shutil
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from gylebook.faces.cli import run

ROOT = Path(__file__).parents[1]
PAGES = (ROOT / "README.md", *sorted((ROOT / "docs").glob("*.md")))
BLOCK = re.compile(r"```console\n(.*?)```", re.DOTALL)
NUMBER = re.compile(r"\d[\d,]*(?:\.\d+)?")
SED = re.compile(r"s/(.*?)/(.*?)/")
SLACK = 0.03


@dataclass(frozen=True)
class Shown:
    """A line of output as a page shows it, and the line printed in its place, None where there is none."""

    line: str
    printed: str | None

    @property
    def holds(self) -> bool:
        """Whether both say the same."""
        return self.printed is not None and _alike(self.line, self.printed)


def walk(page: Path, folder: Path) -> Iterator[Shown]:
    """Run a page's command lines in a folder, in order, and pair its lines with what is printed."""
    shutil.copytree(ROOT / "examples", folder / "examples")
    (folder / "demo-book").mkdir()  # as `make demo` leaves it
    printed: list[str] = []
    for block in BLOCK.findall(page.read_text(encoding="utf-8")):
        for line in block.splitlines():
            if line.startswith("$ "):
                printed = _output(line[2:], folder)
            elif line.strip() not in ("", "..."):
                found = next((k for k, other in enumerate(printed) if _blind(other) == _blind(line)), None)
                yield Shown(line, None if found is None else printed[found])
                printed = printed if found is None else printed[found + 1 :]


def _output(command: str, folder: Path) -> list[str]:
    """What a command line prints; of a shell, only `sed 's/a/b/' FILE > FILE` is known."""
    words = shlex.split(command)
    if words[0] == "sed":
        _, expression, source, _, target = words
        change = SED.fullmatch(expression)
        if change is None:
            raise ValueError(f"only one plain s/a/b/ is known here, not {expression}")
        text = (folder / source).read_text(encoding="utf-8")
        if change[1] not in text:
            raise ValueError(f"{source} has no {change[1]} any more")
        (folder / target).write_text(text.replace(change[1], change[2], 1), encoding="utf-8")
        return []
    if words[0] != "gylebook":
        raise ValueError(f"the manual shows a command that cannot be checked: {command}")
    out = io.StringIO()
    with contextlib.chdir(folder), contextlib.redirect_stdout(out), contextlib.redirect_stderr(out):
        run(words[1:])
    return out.getvalue().splitlines()


def _blind(line: str) -> str:
    """A line without its numbers and without the spaces that align it."""
    return " ".join(re.sub(r"─+", "─", NUMBER.sub("#", line)).split())


def _alike(shown: str, printed: str) -> bool:
    pairs = zip(NUMBER.findall(shown), NUMBER.findall(printed), strict=True)
    return all(_near(one, other) for one, other in pairs)


def _near(shown: str, printed: str) -> bool:
    one, other = (float(text.replace(",", "")) for text in (shown, printed))
    last_place = 10.0 ** -len(shown.partition(".")[2])
    return abs(one - other) <= max(1.001 * last_place, SLACK * abs(other))


if __name__ == "__main__":
    os.environ["COLUMNS"] = "80"
    for page in PAGES:
        text = page.read_text(encoding="utf-8")
        with tempfile.TemporaryDirectory() as folder:
            for shown in walk(page, Path(folder)):
                if shown.printed is None:
                    print(f"{page.name}: no longer printed: {shown.line}")
                else:
                    text = text.replace(shown.line, shown.printed.rstrip(), 1)
        page.write_text(text, encoding="utf-8")
