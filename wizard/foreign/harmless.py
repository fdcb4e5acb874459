r"""Text made harmless: nothing in it is obeyed by a terminal, turns the order of letters round, or breaks a line.

What would be is written as its code (``\x1b``), so that it is seen. Letters of every script stay as they are.
"""

from __future__ import annotations

import re

_HARM = (
    "\x00-\x1f\x7f-\x9f"  # C0, DEL, C1
    "\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069"  # bidi controls
    "\u200b\u2060-\u2065\u206a-\u206f\ufeff\ufff9-\ufffb\U000e0000-\U000e007f"  # not seen, not joining letters
    "\u2028\u2029\ud800-\udfff"  # line ends; halves of a letter, which no stream can write
)
_HARMFUL = re.compile(f"[{_HARM}]")
_BUT_NEWLINE = re.compile(f"(?!\n)[{_HARM}]")


def harmless(text: str) -> str:
    """A name or another text of one line, with what is not harmless in it written as its code; newlines too."""
    return _HARMFUL.sub(_code, text) if _HARMFUL.search(text) else text


def harmless_lines(text: str) -> str:
    """The same for a text of several lines: its newlines stay."""
    return _BUT_NEWLINE.sub(_code, text) if _BUT_NEWLINE.search(text) else text


def harmless_json(text: str) -> str:
    """JSON as ``json.dumps`` writes it, with the same characters as JSON's own escapes: the values stay the same."""
    return _BUT_NEWLINE.sub(_escape, text) if _BUT_NEWLINE.search(text) else text


def inert(text: str, instead: str = "") -> str:
    """The text with the same characters left out, or something in their place: where no column may move."""
    return _HARMFUL.sub(instead, text) if _HARMFUL.search(text) else text


def _code(found: re.Match[str]) -> str:
    return found[0].encode("unicode_escape").decode("ascii")


def _escape(found: re.Match[str]) -> str:
    units = found[0].encode("utf-16-be", "surrogatepass")
    return "".join(f"\\u{units[at] << 8 | units[at + 1]:04x}" for at in range(0, len(units), 2))
