"""Find the line of a TOML text on which a key stands.

In:  a TOML text that `tomllib` accepts.
Out: `lines_of`, the line of every table, key and inline key by its path; `Place`, which says it in words.

Idea: `tomllib` forgets where things stood, so the structure is walked once more, only when something has
to be refused.  A path holds keys and, for arrays, indices from 0; words count from 1.  What the
values mean is not looked at, and a text that is not TOML is never handed to this module.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from functools import cached_property

Path = tuple[str | int, ...]

_BLANK = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_INLINE_BLANK = re.compile(r"[ \t]*")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_LITERAL = re.compile(r"'([^'\n]*)'")
_BASIC = re.compile(r'"((?:[^"\\\n]|\\.)*)"')
_LONG_LITERAL = re.compile(r"'''.*?'''+", re.DOTALL)
_LONG_BASIC = re.compile(r'"""(?:[^\\]|\\.)*?"""+', re.DOTALL)
_SCALAR = re.compile(r"[^,\]}#\n]*")
_ESCAPE = re.compile(r"\\(?:u([0-9A-Fa-f]{4})|U([0-9A-Fa-f]{8})|(.))")
_ESCAPED = {"b": "\b", "t": "\t", "n": "\n", "f": "\f", "r": "\r"}


@dataclass(frozen=True)
class Place:
    """A file that is being read: its name and its text."""

    where: str
    text: str = field(repr=False)

    def at(self, path: Path) -> str:
        """A place in words, such as `plan.toml line 14, grist[2].share`."""
        line = self._line(path)
        said = f"{self.where} line {line}" if line else self.where
        return f"{said}, {in_words(path)}" if path else said

    def _line(self, path: Path) -> int | None:
        """The line of the key itself, else of the nearest table around it."""
        for length in range(len(path), 0, -1):
            if (line := self._lines.get(path[:length])) is not None:
                return line
        return None

    @cached_property
    def _lines(self) -> dict[Path, int]:
        return lines_of(self.text)


def in_words(path: Path) -> str:
    """`("grist", 1, "share")` as `grist[2].share`: people count from 1."""
    said = ""
    for part in path:
        said += f"[{part + 1}]" if isinstance(part, int) else f".{part}" if said else part
    return said


def lines_of(text: str) -> dict[Path, int]:
    """Line, from 1, of every table, array element and key; the first one where a path stands twice."""
    return _Walk(text).walk()


class _Walk:
    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.lines: dict[Path, int] = {}
        self.counts: dict[Path, int] = {}  # tables seen so far in each array of tables
        self.counted_to, self.line = 0, 1

    def walk(self) -> dict[Path, int]:
        table: Path = ()
        self._skip(_BLANK)
        while self.at < len(self.text):
            if self.text.startswith("[", self.at):
                table = self._header()
            else:
                self._pair(table)
            self._skip(_BLANK)
        return self.lines

    def _header(self) -> Path:
        array = self.text.startswith("[[", self.at)
        line = self._line_here()
        self.at += 2 if array else 1
        keys = self._keys()
        self.at += 2 if array else 1
        path: Path = ()
        for key in keys[:-1]:
            self._note((*path, key), line)
            path = self._newest((*path, key))
        path = (*path, keys[-1])
        self._note(path, line)
        if array:
            self.counts[path] = self.counts.get(path, -1) + 1
            path = self._newest(path)
            self._note(path, line)
        return path

    def _newest(self, path: Path) -> Path:
        return (*path, self.counts[path]) if path in self.counts else path

    def _pair(self, table: Path) -> None:
        line = self._line_here()
        path = table
        for key in self._keys():
            path = (*path, key)
            self._note(path, line)
        self.at += 1  # the equals sign
        self._skip(_INLINE_BLANK)
        self._value(path)

    def _keys(self) -> list[str]:
        keys = []
        while True:
            self._skip(_INLINE_BLANK)
            keys.append(self._key())
            self._skip(_INLINE_BLANK)
            if not self.text.startswith(".", self.at):
                return keys
            self.at += 1

    def _key(self) -> str:
        if literal := _LITERAL.match(self.text, self.at):
            self.at = literal.end()
            return literal[1]
        if basic := _BASIC.match(self.text, self.at):
            self.at = basic.end()
            return _ESCAPE.sub(_unescape, basic[1])
        return self._skip(_BARE_KEY)

    def _value(self, path: Path) -> None:
        text = self.text
        if text.startswith("[", self.at):
            self._elements(path)
        elif text.startswith("{", self.at):
            self._inline_table(path)
        else:
            for kind in (_LONG_BASIC, _LONG_LITERAL, _BASIC, _LITERAL):
                if kind.match(text, self.at):
                    self._skip(kind)
                    return
            self._skip(_SCALAR)

    def _elements(self, path: Path) -> None:
        self.at += 1
        index = 0
        self._skip(_BLANK)
        while not self.text.startswith("]", self.at):
            self._note((*path, index), self._line_here())
            self._value((*path, index))
            self._skip_comma()
            index += 1
        self.at += 1

    def _inline_table(self, path: Path) -> None:
        self.at += 1
        self._skip(_BLANK)
        while not self.text.startswith("}", self.at):
            self._pair(path)
            self._skip_comma()
        self.at += 1

    def _skip_comma(self) -> None:
        self._skip(_BLANK)
        if self.text.startswith(",", self.at):
            self.at += 1
            self._skip(_BLANK)

    def _skip(self, what: re.Pattern[str]) -> str:
        match = what.match(self.text, self.at)
        if match is None:
            raise ValueError(f"not TOML at character {self.at}")
        self.at = match.end()
        return match[0]

    def _note(self, path: Path, line: int) -> None:
        self.lines.setdefault(path, line)

    def _line_here(self) -> int:
        self.line += self.text.count("\n", self.counted_to, self.at)
        self.counted_to = self.at
        return self.line


def _unescape(match: re.Match[str]) -> str:
    digits = match[1] or match[2]
    return chr(int(digits, 16)) if digits else _ESCAPED.get(match[3], match[3])
