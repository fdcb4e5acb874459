"""A file by its path, or by its number in a list of the newest: photos and recordings."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Protocol

from wizard.errors import SteadfootError, UsageError
from wizard.foreign.file_reader import size_words, typed_path
from wizard.foreign.harmless import harmless
from wizard.lines.terminal.line_asking import within
from wizard.lines.terminal.line_commands import SIGN
from wizard.lines.terminal.talk import Talk
from wizard.lines.terminal.typed_number import number_in, span

SHOWN = 9
"""Files that are listed; an older one is typed by its path."""


class ListedFile(Protocol):
    """A file: when it was last written (seconds since 1970), and its bytes."""

    @property
    def path(self) -> Path:
        """Where it lies."""
        ...

    @property
    def written(self) -> float:
        """When it was last written, s since 1970."""
        ...

    @property
    def size(self) -> int:
        """Its bytes."""
        ...


def chosen_file(
    talk: Talk, what: str, folder: Path | None, look: Callable[[Path], Sequence[ListedFile]]
) -> Path | None:
    """The path of a file; None for back. ``look`` lists those of a folder, the newest first; a folder that is typed is
    listed anew.
    """
    listed = _list(talk, what, folder, look, quiet=True) if folder is not None else ()
    about = (
        f"Type the number of {what}, or the path of its file or of the folder that it is in. {SIGN}back goes back; "
        f"{SIGN}stop stops work."
    )
    while True:
        numbers = f"Number, {span(len(listed))}, or a path" if listed else "Path"
        text = within(talk, f"{numbers}, or {SIGN}back", about, True, paths=True)
        if text is None:
            return None
        text = text.strip('"')
        if number := number_in(text, len(listed)):
            return listed[number - 1].path
        if not text:
            talk.say(about)
            continue
        try:
            path = typed_path(text)
        except UsageError as problem:
            talk.say(str(problem))
            continue
        if not path.is_dir():
            return path
        listed = _list(talk, what, path, look)


def _list(
    talk: Talk, what: str, folder: Path, look: Callable[[Path], Sequence[ListedFile]], quiet: bool = False
) -> tuple[ListedFile, ...]:
    try:
        found = tuple(look(folder))[:SHOWN]
    except SteadfootError as problem:
        if not quiet:
            talk.say(str(problem))
        return ()
    if found:
        talk.say(f"In {folder}, the newest first:")
    elif not quiet:
        talk.say(f"{folder}: nothing of that kind lies there.")
    for n, one in enumerate(found, start=1):
        when = datetime.fromtimestamp(one.written, UTC).astimezone()
        talk.say(f"{harmless(one.path.name)}, {when:%Y-%m-%d %H:%M}, {size_words(one.size)}", f"{n}: ")
    return found
