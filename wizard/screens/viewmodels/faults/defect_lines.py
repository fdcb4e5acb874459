"""What was found defective on the part itself, in words above what explains the complaint."""

from __future__ import annotations

from wizard.engine.guidance.found_defects import Defect, defects
from wizard.engine.state.job_view import JobView
from wizard.screens.text.wrapping import whole_blocks, wrapped

MOST = 3
"""Lines that what is defective may take."""


def defect_lines(view: JobView, width: int) -> list[str]:
    """'Found defective: a damper (one has come off its pin)', a part a row; none where none was found so."""
    rows = [wrapped(_words(defect), width) for defect in defects(view)]
    lines, left = whole_blocks(rows, MOST)
    return [*lines, f"Found defective as well: {left} more"] if left else lines


def _words(defect: Defect) -> str:
    how = f"{defect.words[:1].lower()}{defect.words[1:]}" if defect.words else defect.inspection
    return f"Found defective: {defect.says} ({how})"
