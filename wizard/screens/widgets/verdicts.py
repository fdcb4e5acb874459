"""A verdict as a sign and a word, so that colour only helps."""

from __future__ import annotations

STYLES = {"": "", "done": "", "pass": "$success", "watch": "$warning", "fail": "$error"}
"""A style a verdict; theme variables only."""

_SIGNS = {"pass": "✓", "watch": "!", "fail": "✗"}
_PLAIN = {"pass": "+", "watch": "!", "fail": "x"}


def verdict_word(verdict: str, plain: bool = False) -> str:
    """'✓ pass', '! watch', '✗ fail' (ASCII: '+ pass', '! watch', 'x fail'); empty where nothing was judged."""
    sign = (_PLAIN if plain else _SIGNS).get(verdict)
    return f"{sign} {verdict}" if sign else ""
