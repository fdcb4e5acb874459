"""A verdict as a sign and a word, so that colour only helps."""

from __future__ import annotations

from collections.abc import Mapping

from wizard.documents.charts.limit_ruler import verdict_word as verdict_word
from wizard.domain.vocabulary import InspectionResult, Verdict

STYLES: Mapping[str, str] = {
    "": "",
    InspectionResult.DONE: "",
    InspectionResult.PASS: "$success",
    InspectionResult.WATCH: "$warning",
    InspectionResult.FAIL: "$error",
}
"""A style a verdict; theme variables only."""


def style_of(verdict: Verdict | None) -> str:
    """The style of a verdict; none where nothing was judged."""
    return STYLES[verdict.value] if verdict is not None else ""
