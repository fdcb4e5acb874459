"""A paper as paragraphs for lines: what is drawn in characters is left out, and that is said in its place."""

from __future__ import annotations

from wizard.documents.document_tree import Document
from wizard.documents.writers.screen_lines import Role, screen_lines

WIDE = 9999
"""Columns of a line before it is wrapped to the terminal."""

DRAWING = "(Here stands a drawing; it is left out.)"


def paper_rows(document: Document) -> list[str]:
    """The lines of a document, each whole."""
    rows: list[str] = []
    for line in screen_lines(document, WIDE, True):
        if line.role is not Role.CHART:
            rows.append(line.text)
        elif not rows or rows[-1] != DRAWING:
            rows.append(DRAWING)
    return rows
