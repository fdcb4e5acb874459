"""What people say of a stop of work."""

from __future__ import annotations

from wizard.documents.text.formatting import sentence
from wizard.flow.model import Stop


def what_it_takes(stop: Stop) -> str:
    """'What it takes: An electrician says that it is repaired.': said before it is so, never that it is."""
    return f"What it takes: {sentence(stop.release)}" if stop.release else ""
