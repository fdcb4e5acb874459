"""A paper on the screen has the styles of the theme."""

from wizard.documents.document_tree import Alert, Document, Paragraph, Section, phrase
from wizard.screens.text.paper_view import paper_view


def test_headings_are_bold_and_warnings_reversed():
    """So that both are seen without colour."""
    section = Section("What was found", (Paragraph((phrase("Words."),)),))
    lines = paper_view(Document("", (Alert(True, (phrase("WARNING."),)), section)), 60)
    styles = {line.plain: str(line.spans[0].style) for line in lines if line.spans}
    assert "reverse" in styles["WARNING."] and "bold" in styles["What was found"] and "Words." not in styles
