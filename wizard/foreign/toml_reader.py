"""TOML from elsewhere: the only place that parses it.

The parser is tomli: the standard library's, compiled. Either takes time and memory by the square of a key's parts
(100 kB in one dotted key: two minutes and 15 GB), and tomli refuses only from a thousand parts on, which a file may
hold many times over. So the keys are counted before it sees the text, in one pass.
"""

from __future__ import annotations

import re
import sys
from typing import Any

import tomli

from wizard.foreign.limits import SOURCE_LIMITS, Limits, Source, Unreadable
from wizard.foreign.tree_limits import within

# Texts and comments, each as far as the parser would read it; one that never ends goes to the end of the text.
# Possessive: no text is gone through twice.
_QUIET = re.compile(
    r'"""(?:[^"\\]|\\.|"(?!""))*+(?:"{3,5}+|\Z|\\\Z)'
    r"|'''(?:[^']|'(?!''))*+(?:'{3,5}+|\Z)"
    r'|"(?:[^"\\\n]|\\.)*+"?+'
    r"|'[^'\n]*+'?+"
    r"|#[^\n]*+",
    re.DOTALL,
)
_COMMENT = "#"
_DIGITS = re.compile(r"\d[\d_]*+")
_DOTTED = re.compile(r"[\w-]++(?:[ \t]*+\.[ \t]*+[\w-]++)*+")
_MAKE_VALUES = ("=", ",", "[[", ".")


def parse_toml(text: str, source: Source) -> dict[str, Any]:
    """The values of a TOML text within the limits of its source. ValueError (tomli's, or Unreadable) if it has none."""
    limits = SOURCE_LIMITS[source]
    if len(text) > limits.size:
        raise Unreadable("it is too long")
    _looked_over(text, limits)
    try:
        values = tomli.loads(text)
    except RecursionError:
        raise Unreadable(f"nested more than {limits.depth} deep") from None
    except tomli.TOMLDecodeError:
        raise
    except ValueError:  # Of Python, for a number longer than it reads.
        raise Unreadable(_endless_number(text)) from None
    within(values, limits)
    return values


def read_toml(data: bytes, source: Source) -> dict[str, Any]:
    """The same of the bytes of a file, a byte order mark dropped. ValueError if they aren't TOML in UTF-8."""
    return parse_toml(data.decode("utf-8-sig"), source)


def _endless_number(text: str) -> str:
    """What is said of a whole number that is too long to be read, with its place as the parser would say it."""
    found = max(_DIGITS.finditer(text), key=lambda one: len(one[0]), default=None)
    at = found.start() if found else 0
    line, column = text.count("\n", 0, at) + 1, at - (text.rfind("\n", 0, at) + 1) + 1
    return f"a number of more than {sys.get_int_max_str_digits()} digits (at line {line}, column {column})"


def _looked_over(text: str, limits: Limits) -> None:
    """Unreadable if a key has more parts than it may, or there are more values: counted without strings and comments.

    Nothing is counted in a text that can't have so many.
    """
    if text.count(".") < limits.key_parts and len(text) < 2 * limits.values:
        return
    bare = _QUIET.sub(lambda found: "" if found[0][0] == _COMMENT else "s", text)
    if any(found[0].count(".") >= limits.key_parts for found in _DOTTED.finditer(bare)):
        raise Unreadable(f"a key of more than {limits.key_parts} parts in it")
    if sum(map(bare.count, _MAKE_VALUES)) > 2 * limits.values:
        raise Unreadable(f"more than {limits.values} values in it")
