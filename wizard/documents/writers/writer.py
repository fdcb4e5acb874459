"""What every writer of files offers, and which one writes a file of a given name."""

from __future__ import annotations

from pathlib import PurePath
from typing import Protocol

from wizard.documents.document_tree import Document, SealLine
from wizard.documents.writers.markdown import MARKDOWN


class Writer(Protocol):
    """Makes a file's bytes of a document. The last line of a sealed document is its seal line, and nothing else
    is.
    """

    @property
    def suffix(self) -> str:
        """The suffix of its files, with the dot."""

    def write(self, document: Document) -> bytes:
        """The whole file."""

    def seal_line(self, seal: SealLine) -> bytes:
        """The last line of a file with this seal, its line break included."""


def writer_for(name: str) -> Writer:
    """The writer of a file of this name. ValueError naming ``name`` if there is none."""
    suffix = PurePath(name).suffix
    if suffix != MARKDOWN.suffix:
        raise ValueError(f"name: nothing writes files that end in {suffix!r}")
    return MARKDOWN
