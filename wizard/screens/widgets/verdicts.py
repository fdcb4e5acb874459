"""A verdict as a sign and a word, so that colour only helps."""

from __future__ import annotations

from wizard.review.pictures.ruler import verdict_word as verdict_word

STYLES = {"": "", "done": "", "pass": "$success", "watch": "$warning", "fail": "$error"}
"""A style a verdict; theme variables only."""
