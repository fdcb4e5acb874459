"""Plain text out: wrapped to the terminal, harmless, in ASCII where the stream knows no more. No cursor is moved."""

from __future__ import annotations

import shutil
import textwrap
from collections.abc import Callable, Iterable
from typing import TextIO

from wizard.foreign.harmless import harmless, inert
from wizard.screens.text.terminal_encoding import bare_locale, encodable

USUAL = 80
"""Columns where the stream is no terminal."""

NARROWEST = 20

_ASCII = {
    "\u00b1": "+-",
    "\u2026": "...",
    "\u00b7": "-",
    "\u00b0": "deg ",
    "\u00d7": "x",
    "\u00b5": "u",
    "\u2013": "-",
    "\u2014": "-",
    "\u2265": ">=",
    "\u2264": "<=",
    "\u221a": "root ",
    "\u00b2": "2",
    "\u2018": "'",
    "\u2019": "'",
    "\u201c": '"',
    "\u201d": '"',
}
"""What stands in place of a sign that the stream can't write; for any other a question mark does."""


def columns_of(stream: TextIO) -> int:
    """The columns of the terminal that a stream is; 80 where it is none."""
    if not stream.isatty():
        return USUAL
    return max(NARROWEST, shutil.get_terminal_size((USUAL, 24)).columns)


class LineOutput:
    """Writes to a stream. ``columns`` is asked at each line, for a window may change."""

    def __init__(
        self, stream: TextIO, environment: dict[str, str], columns: Callable[[], int] | None = None
    ) -> None:
        self._stream = stream
        self._columns = columns or (lambda: columns_of(stream))
        self._encoding = "ascii" if bare_locale(environment) else getattr(stream, "encoding", None) or "ascii"
        self._open = self._blank = False

    def say(self, text: str, lead: str = "") -> None:
        """Write a paragraph, wrapped between words, running on under the text behind ``lead``."""
        self._end()
        for line in text.splitlines() or [""]:
            self._paragraph(self._fit(inert(lead)), self._fit(harmless(line)))
            lead = " " * len(lead)
        self._blank = False
        self._stream.flush()

    def rows(self, texts: Iterable[str], lead: str = "") -> None:
        """Write each text as a paragraph of its own."""
        for text in texts:
            self.say(text, lead)

    def gap(self) -> None:
        """Write an empty line, unless one stands there."""
        self._end()
        if not self._blank:
            self._stream.write("\n")
        self._blank = True

    def ask(self, prompt: str) -> None:
        """Write what is typed behind; it stays on its line."""
        self._end()
        rows = self._wrapped("", self._fit(harmless(f"{prompt}:")), self._columns())
        self._stream.write("\n".join(rows) + " ")
        self._stream.flush()
        self._open, self._blank = True, False

    @property
    def asking(self) -> bool:
        """True while the last that was written is a prompt."""
        return self._open

    def answered(self, echoed: bool) -> None:
        """A line was typed behind the prompt. ``echoed``: the terminal ended the line by itself."""
        self._open = self._open and not echoed

    def _end(self) -> None:
        if self._open:
            self._stream.write("\n")
        self._open = False

    def _paragraph(self, lead: str, text: str) -> None:
        for row in self._wrapped(lead, text, self._columns()):
            self._stream.write(row + "\n")

    def _wrapped(self, lead: str, text: str, width: int) -> list[str]:
        rows = textwrap.wrap(
            text,
            max(NARROWEST, width),
            initial_indent=lead,
            subsequent_indent=" " * len(lead),
            break_on_hyphens=False,
            break_long_words=False,
        )
        return rows or [lead.rstrip()]

    def _fit(self, text: str) -> str:
        if encodable(text, self._encoding):
            return text
        return "".join(c if encodable(c, self._encoding) else _ASCII.get(c, "?") for c in text)
