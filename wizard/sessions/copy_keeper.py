"""Keeps the second copy of a session where the shop names a folder for it, and what there is to say of that."""

from __future__ import annotations

from pathlib import Path

from wizard.documents.report.shop_details import read_shop
from wizard.errors import DetailsError, UsageError
from wizard.foreign.file_reader import typed_path
from wizard.journal.second_copy import SecondCopy


class CopyKeeper:
    """The copy of one session; none where the shop's file of this home names no folder, or can't be read."""

    def __init__(self, home: Path, journal: Path) -> None:
        self._copy: SecondCopy | None = None
        self._words: list[str] = []
        try:
            folder = read_shop(home).second_copy.strip()
            self._copy = SecondCopy(typed_path(folder), journal) if folder else None
        except (DetailsError, UsageError) as problem:
            self._words.append(f"No second copy is kept. {problem}")

    def follow(self) -> None:
        """An event is on the disk: bring the copy up."""
        text = self._copy.follow() if self._copy is not None else ""
        self._words += [text] if text else []

    def sentences(self) -> tuple[str, ...]:
        """What there is to say since it was asked last, each once."""
        words, self._words = tuple(self._words), []
        return words
