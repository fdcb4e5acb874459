"""A unit as people write it behind figures, or leave it out."""

from __future__ import annotations


def unwritten(symbol: str) -> bool:
    """True for what is counted, or has no unit: nobody writes one behind its figures."""
    return symbol in ("1", "count")


def typed_text(typed: str, symbol: str) -> str:
    """What somebody typed, with the unit that was meant behind it where they wrote none."""
    own = any(c.isalpha() or c in "\"'%°″′" for c in typed)  # noqa: RUF001
    return typed if own or unwritten(symbol) else f"{typed} {symbol}"
