"""Load a flow: quickly when its digest is known to be sound, else with every check there is.

Neither pydantic nor tree-sitter is imported until a check is needed.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path, PurePosixPath
from typing import TYPE_CHECKING

from wizard.domain.counting import plural
from wizard.domain.flow_vocabulary import FileKind
from wizard.errors import FlowError
from wizard.flow.model import Flow
from wizard.flow.parsing import drawing_parser, flow_files
from wizard.flow.parsing.flow_assembly import build_flow
from wizard.flow.problems import errors

if TYPE_CHECKING:
    from wizard.flow.loading.static_check import Examined

Known = Callable[[str], bool]
"""Told a digest, says whether a flow with it has passed the check of this version of the program.

One with a method ``remember`` is told the digest of each flow that passes.
"""


def unknown(_digest: str) -> bool:
    """Know no digest: every flow is checked."""
    return False


def load(folder: Path, known: Known = unknown) -> Flow:
    """Return the flow in ``folder``. FlowError with every problem if it has errors; warnings don't stop it."""
    return load_files(flow_files.read_folder(folder), known)


def load_files(content: Mapping[str, bytes], known: Known = unknown) -> Flow:
    """Return the flow of these files (name with forward slashes -> bytes), as kept with a session."""
    if known(flow_files.digest(content)):
        flow = _quick(content)
        if flow is not None:
            return flow
    flow = _checked(content)
    remember = getattr(known, "remember", None)
    if remember is not None:
        remember(flow.digest)
    return flow


LATER = frozenset({"reach", "caution", "establish", "missing", "recheck", "share", "screen"})
"""Rules of how a flow should be that may be stricter now than when a session began: it can be read without them."""


def load_kept(content: Mapping[str, bytes], known: Known = unknown) -> Flow:
    """Return the flow that a session was begun with, to read that session again; never to work on with it.

    What a later version asks of a flow (``LATER``) isn't held against it. FlowError with every problem if there is
    another, or it can't be built.
    """
    try:
        return load_files(content, known)
    except FlowError:
        found = _examine({name: data for name, data in content.items() if flow_files.belongs(name)})
        flow = None if any(p.rule not in LATER for p in errors(found.problems)) else _quick(content)
        if flow is None:
            raise
        return flow


def _checked(content: Mapping[str, bytes]) -> Flow:
    """Return the flow once every check of what a session runs on has passed."""
    found = _examine({name: data for name, data in content.items() if flow_files.belongs(name)})
    wrong = errors(found.problems)
    if wrong or found.flow is None:
        count = plural(len(wrong), "problem")
        raise FlowError(f"This flow has {count}:", tuple(map(str, wrong)))
    return found.flow


def _examine(content: Mapping[str, bytes]) -> Examined:
    """Import the check late (pydantic and tree-sitter cost 0.2 s) and run it."""
    from wizard.flow.loading.static_check import examine

    return examine(content)


def _quick(content: Mapping[str, bytes]) -> Flow | None:
    """Return the flow without checking it; None if it can't be built, so that the check may say why."""
    try:
        texts = {name: flow_files.decode(data) for name, data in content.items() if flow_files.belongs(name)}
        documents = {name: flow_files.parse(text) for name, text in texts.items() if name.endswith(".toml")}
        drawings = {
            stem: drawing_parser.parse(stem, texts[name])
            for name in texts
            if flow_files.kind_of(name) is FileKind.DRAWING
            for stem in (PurePosixPath(name).stem,)
        }
        return build_flow(documents, drawings, flow_files.digest(content))
    except (KeyError, TypeError, ValueError, AttributeError):
        return None
