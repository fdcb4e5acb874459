"""Which characters the terminal can show."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    pass


def encodable(text: str, encoding: str | None) -> bool:
    """True when a terminal of this encoding can show the text; an unknown encoding can't."""
    try:
        text.encode(encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return True


def terminal_encoding() -> str | None:
    """The encoding of the stream that the screens are written to; ASCII where the locale is C or POSIX.

    Python writes UTF-8 under those too (PEP 538 and 540), but whoever set them has a terminal that may not show it.
    """
    if bare_locale(os.environ):
        return "ascii"
    return getattr(sys.__stderr__, "encoding", None)


def bare_locale(environment: Mapping[str, str]) -> bool:
    """True when LC_ALL, LC_CTYPE or LANG, the first that is set, names C or POSIX."""
    ctype = environment.get("LC_CTYPE", "")
    # PEP 538: Python itself sets LC_CTYPE to this when it finds the C locale.
    ours = "" if ctype == "C.UTF-8" else ctype
    return (environment.get("LC_ALL") or ours or environment.get("LANG", "")) in ("C", "POSIX")
