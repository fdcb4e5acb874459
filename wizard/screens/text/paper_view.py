"""A document on the screen: its lines with the styles of the theme."""

from __future__ import annotations

from textual.content import Content

from wizard.documents.document_tree import Document
from wizard.documents.writers.screen_lines import Role, screen_lines
from wizard.screens.text.charset import plain

STYLES = {Role.HEADING: "bold $primary", Role.ALERT: "bold reverse $warning", Role.BODY: "", Role.CHART: ""}
"""A style for each part that a line plays; theme variables only."""


def paper_view(document: Document, width: int) -> list[Content]:
    """The document's lines, at most ``width`` wide."""
    return [Content.styled(line.text, STYLES[line.role]) for line in screen_lines(document, width, plain())]
