"""Read the files of a flow for checking: their text, values, places and problems of form, all of them at once."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import PurePosixPath
from typing import Any

from wizard.domain.flow_vocabulary import FileKind
from wizard.domain.vocabulary import Severity
from wizard.flow.form.form_validation import validate
from wizard.flow.model import Drawing
from wizard.flow.parsing import drawing_parser, flow_files
from wizard.flow.parsing.adapted_places import Where, placed
from wizard.flow.parsing.case_variants import CaseSet, expand
from wizard.flow.parsing.toml_positions import Path, Positions, locate
from wizard.flow.problems import Problem, nearest

_AT = re.compile(r"\s*\(at (?:line (\d+), column (\d+)|end of document)\)(?=$|\. )")
_PLAINLY = (
    ("Cannot overwrite a value", "this key is already set above. Take one of them out"),
    ("Cannot declare", "this table is already there above. An entry of a list stands in [[ ]]"),
    (
        "Invalid value",
        "here a value should stand: a text in quotes, a number, true, false, [list] or { table }",
    ),
    ("Illegal character '\\n'", "a text is not closed on its line. Put its closing quote back"),
    ("Illegal character", "a character stands here that no text may hold. Take it out"),
    ("Unterminated string", "a text in three quotes begins and is never closed. Put three quotes at its end"),
    ("Expected \"'", "a text begins with a single quote and is never closed. Put its closing quote back"),
    ("Unescaped '\\'", "a backslash in a text is written twice, or the text stands in single quotes"),
    (
        "Expected newline or end of document",
        "more stands here than one value a line. A decimal has a point; a text has quotes",
    ),
    ("Expected '=' after a key", "here an equals sign and a value should follow the key"),
    ("Expected ']'", "the bracket that closes this head is missing"),
    ("Expected ']]'", "the brackets that close this head are missing"),
    ("Invalid statement", "here a key with its value, or a [head], should stand"),
    ("Unclosed array", "this [list] is not closed: a comma or ] is missing"),
    ("Unclosed inline table", "this { table } is not closed on its line: a comma or } is missing"),
)
_ID = re.compile(r"""^[ \t]*id[ \t]*=[ \t]*["']([^"'\n]+)["']""", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class FlowSources:
    """What was read of one flow folder.

    ``kinds`` has what each TOML file is, ``whole`` its values as written, ``sound`` only what has no problem of form.
    ``drawn`` has each drawing's file and text. ``doubtful`` holds the names of files where something was left out of
    ``sound``; ``lost`` every id written in a file that isn't TOML at all, and ``gone`` the files that hold nothing
    that can be read: what they should declare is never said to be missing. ``absent`` are ids of inspections that
    are there and can't be used (``wizard.flow.parsing.unusable_files``). ``moved`` says where what a flow adapts of the
    library is written. ``expanded`` has the cases of each file that were asked for.
    """

    whole: dict[str, dict[str, Any]] = field(default_factory=dict)
    sound: dict[str, dict[str, Any]] = field(default_factory=dict)
    kinds: dict[str, FileKind] = field(default_factory=dict)
    positions: dict[str, Positions] = field(default_factory=dict)
    drawings: dict[str, Drawing] = field(default_factory=dict)
    drawn: dict[str, tuple[str, str]] = field(default_factory=dict)
    doubtful: set[str] = field(default_factory=set)
    lost: set[str] = field(default_factory=set)
    gone: set[str] = field(default_factory=set)
    absent: set[str] = field(default_factory=set)
    wanted: dict[str, set[str]] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    moved: dict[Where, Where] = field(default_factory=dict)
    expanded: dict[str, CaseSet] = field(default_factory=dict, init=False, repr=False, compare=False)

    def cases(self, file: str) -> CaseSet:
        """Return the cases of a file of cases, written out once."""
        if file not in self.expanded:
            self.expanded[file] = expand(self.sound[file])
        return self.expanded[file]

    def place(self, file: str, path: Path, *, key: bool = False) -> tuple[str, int, int]:
        """Return file, line and column of what stands at ``path``, of its key if ``key``: where it is written."""
        file, path = placed(self.moved, file, path)
        known = self.positions.get(file, Positions())
        line, column = known.of_key(path) if key else known.of(path)
        return file, line, column

    @property
    def partial(self) -> bool:
        """True where something was lost or left out: what is missing from the whole may have been there."""
        return bool(self.doubtful or self.lost or self.gone or self.absent)

    def problem(
        self,
        file: str,
        path: Path,
        text: str,
        rule: str,
        severity: Severity = Severity.ERROR,
        *,
        key: bool = False,
    ) -> Problem:
        """Return a problem at the place of ``path`` in ``file`` (of its key if ``key``)."""
        return Problem(*self.place(file, path, key=key), text, rule, severity)


def read(content: Mapping[str, bytes]) -> FlowSources:
    """Return all that can be read of the files of a flow, with every problem of form."""
    source = FlowSources()
    for name, data in sorted(content.items()):
        kind = flow_files.kind_of(name)
        if name in flow_files.OF_EDITORS:
            continue
        if kind is None:
            source.problems.append(Problem(name, 1, 1, _stray(name), "file", Severity.WARNING))
            continue
        text = _text(source, name, data)
        if text is None:
            continue
        if kind is FileKind.DRAWING:
            _drawing(source, name, text)
        else:
            _toml(source, name, text, kind)
    for name in (*flow_files.SINGLE, flow_files.MACHINE):
        if name not in content:
            text = f"{name} is missing. A flow has {', '.join(flow_files.SINGLE)} and the folder inspections"
            if name == flow_files.MACHINE:
                text = f"{name} is missing: the library belongs to every flow"
            source.problems.append(Problem(name, 1, 1, text, "file"))
            source.gone.add(name)
    return source


def read_one(name: str, data: bytes, kind: FileKind) -> FlowSources:
    """Return what can be read of one TOML file of this kind, whatever its name."""
    source = FlowSources()
    text = _text(source, name, data)
    if text is not None:
        _toml(source, name, text, kind)
    return source


def _stray(name: str) -> str:
    """Say that a file isn't read, and where it may have been meant to go."""
    folders = [f"{folder}/*{ending}" for folder, ending in flow_files.FOLDERS.items()]
    path = PurePosixPath(name)
    names = (
        flow_files.SINGLE if len(path.parts) == 1 else tuple(f"{f}/{path.name}" for f in flow_files.FOLDERS)
    )
    return f"this file is not read: a flow has {', '.join((*flow_files.SINGLE, *folders))}.{nearest(name, names)}"


def _text(source: FlowSources, name: str, data: bytes) -> str | None:
    """Return the text of a file; None, with a problem, if it isn't UTF-8."""
    try:
        return flow_files.decode(data)
    except UnicodeDecodeError as error:
        before = error.object[: error.start].decode("utf-8").split("\n")
        line, column = len(before), len(before[-1]) + 1
        text = "this is not UTF-8. Save the file as UTF-8"
        source.problems.append(Problem(name, line, column, text, "encoding"))
        _lose(source, name, data.decode("utf-8", "replace"))
        return None


def _lose(source: FlowSources, name: str, text: str) -> None:
    """Note what a file that can't be read would have declared: the ids in it, and what its name says."""
    source.gone.add(name)
    source.lost.update(_ID.findall(text))
    if flow_files.kind_of(name) is FileKind.DRAWING:
        source.lost.add(PurePosixPath(name).stem)


def _drawing(source: FlowSources, name: str, text: str) -> None:
    """Read one drawing; its name is its own, whether the library's or the flow's."""
    stem = PurePosixPath(name).stem
    if stem in source.drawn:
        text = f'the drawing "{stem}" is there already: {source.drawn[stem][0]}. Give each a name of its own'
        source.problems.append(Problem(name, 1, 1, text, "id"))
        return
    source.drawn[stem] = name, text
    try:
        source.drawings[stem] = drawing_parser.parse(stem, text)
    except drawing_parser.DrawingError as error:
        source.problems.append(Problem(name, error.line, 1, str(error), "drawing"))
        _lose(source, name, "")


def _toml(source: FlowSources, name: str, text: str, kind: FileKind) -> None:
    """Read one TOML text into ``source`` and check its form against the schema of its kind."""
    source.positions[name] = known = locate(text)
    source.kinds[name] = kind
    try:
        values = flow_files.parse(text)
    except ValueError as error:
        source.problems.extend(_syntax(name, text, str(error), known))
        _lose(source, name, text)
        return
    if not values:
        source.gone.add(name)
    checked = validate(kind, values)
    source.whole[name] = values
    source.sound[name] = checked.sound
    if checked.doubtful:
        source.doubtful.add(name)
    for fault in checked.faults:
        source.problems.append(source.problem(name, fault.path, fault.text, fault.rule, key=fault.key))


def _syntax(name: str, text: str, message: str, known: Positions) -> list[Problem]:
    """Return the problems of a text that isn't TOML: where the parser gave up, and breaks further down."""
    found = _AT.search(message)
    lines = text.count("\n") + 1
    told = (int(found[1]), int(found[2])) if found and found[1] else None
    line, column = told or next(iter(known.broken), (lines, 1))
    message = _AT.sub("", message)
    plainly = next((words for start, words in _PLAINLY if message.startswith(start)), message)
    first = Problem(name, line, column, f"this is not TOML: {plainly}", "toml")
    more = [
        Problem(name, at, column, "this is not TOML from here on", "toml")
        for at, column in known.broken
        if at > line
    ]
    return [first, *more]
