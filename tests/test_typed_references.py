"""What refers to something is typed inside the program; as text it stands at the edges alone, where one function writes
it and one reads it. Code elsewhere that builds such a text, or parts one, is found here.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator, Mapping
from pathlib import Path

import pytest

from wizard.domain.flow_vocabulary import ThingKind

WIZARD = Path(__file__).parent.parent / "wizard"

SEPARATORS = frozenset({".", ":", "="})
"""What stands between the parts of a reference that is written as text."""

PARTING = frozenset({"partition", "rpartition", "split", "rsplit"})
STEPS = frozenset({"step", "at"})
"""What the second id of a step is called: behind a separator any text with it is a reference."""

WORDS = frozenset({"repair", "recheck", "answer", *ThingKind})
"""What may stand before a colon and the id of what is called so."""

_EDGE = "reads what a file holds"
_OTHER = "another text, which refers to no part of a flow"
ALLOWED: Mapping[str, str] = {
    "domain/references.py": "the references themselves",
    "flow/model/case_form.py": f"{_EDGE}: the columns of a table of cases",
    "flow/model/measuring.py": f"{_EDGE}: a step, or a fact",
    "flow/parsing/drawing_parser.py": f"{_EDGE}: a drawing",
    "flowcheck/cases/stop_cases.py": "a fact with a value, which is written and never read",
    "flowcheck/weak/edit_touches.py": "a fact with a value, which is written and never read",
    "flowcheck/weak/edited_keys.py": f"{_OTHER}: the keys of a table of TOML",
    "flowcheck/weak/flow_edits.py": f"{_OTHER}: the name of an edit, which is written and never read",
    "foreign/portable_name.py": f"{_OTHER}: the name of a file",
    "flow/authoring/reference.py": f"{_OTHER}: the keys of a table of TOML",
    "journal/sealed_block.py": f"{_OTHER}: the keys of a table of TOML",
    "screens/launch/screen_registry.py": f"{_OTHER}: the name of a module and of a class in it",
    "screens/layout/key_list.py": f"{_OTHER}: a key, and what it takes",
    "lines/terminal/line_asking.py": f"{_OTHER}: the number of a part, and how many of it",
    "screens/dialogs/help_panel.py": f"{_OTHER}: a key, and what it takes",
    "measure/quantities/rounding.py": f"{_OTHER}: a number",
    "measure/vibration/recording_text.py": f"{_OTHER}: a number",
    "screens/viewmodels/reading/swing_heights.py": f"{_OTHER}: a number",
    "learning/estimate.py": f"{_EDGE}: a number of a flow, in a proposal and on the command line",
    "cli/new_command.py": f"{_OTHER}: an option of the command line",
    "cli/error_exit.py": f"{_OTHER}: an option of the command line",
}
"""File -> why it may."""


def name_of(node: ast.expr) -> str:
    """What a name or an attribute is called; empty for anything else."""
    return node.attr if isinstance(node, ast.Attribute) else node.id if isinstance(node, ast.Name) else ""


def separates(node: ast.expr) -> bool:
    """True for the text of a separator."""
    return isinstance(node, ast.Constant) and node.value in SEPARATORS


def builds(text: ast.JoinedStr) -> bool:
    """True for a text that is two names with a separator between, or one behind a word and a colon, and no more; or
    that has the ids of an inspection and its step in it so.
    """
    parts = text.values
    whole = len(parts) == 3
    for left, between, right in zip(parts, parts[1:], parts[2:], strict=False):
        if (
            isinstance(left, ast.FormattedValue)
            and separates(between)
            and isinstance(right, ast.FormattedValue)
        ):
            names = name_of(left.value), name_of(right.value)
            if all(names) and (whole or names[1] in STEPS):
                return True
    first = parts[0] if len(parts) == 2 else None
    return first is not None and prefix(first)


def prefix(node: ast.expr) -> bool:
    """True for the text of a word that a reference begins with, and its colon."""
    return isinstance(node, ast.Constant) and node.value in {f"{word}:" for word in WORDS}


def parts(node: ast.AST) -> bool:
    """True where a text is parted at a separator, looked through for one, or put together by one."""
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
        first = node.args[0] if node.args else None
        if node.func.attr in PARTING and first is not None and separates(first):
            return True
        if node.func.attr == "join" and separates(node.func.value):
            return True
        return node.func.attr in ("removeprefix", "startswith") and first is not None and prefix(first)
    if isinstance(node, ast.Compare) and isinstance(node.ops[0], ast.In | ast.NotIn):
        return separates(node.left)
    if isinstance(node, ast.BinOp) and isinstance(node.left, ast.BinOp):
        return isinstance(node.op, ast.Add) and separates(node.left.right)
    return False


def untyped(source: str) -> Iterator[tuple[int, str]]:
    """Every place of a module that builds or parts the text of a reference."""
    for node in ast.walk(ast.parse(source)):
        if (isinstance(node, ast.JoinedStr) and builds(node)) or parts(node):
            yield node.lineno, ast.unparse(node)


def test_references_are_built_and_parted_nowhere_but_at_the_edges() -> None:
    """In no module of the program but those that are named above."""
    wrong = []
    for path in sorted(WIZARD.rglob("*.py")):
        name = path.relative_to(WIZARD).as_posix()
        if name not in ALLOWED:
            found = untyped(path.read_text(encoding="utf-8"))
            wrong += [f"{name}:{line}: {said}" for line, said in found]
    assert wrong == []


@pytest.mark.parametrize(
    "snippet",
    [
        'left = f"{run.inspection}.{run.at}"',
        'left = f"{inspection}.{step}"',
        'left = f"at {inspection}.{step} now"',
        'left = f"{i.id}.{s.id}"',
        'left = f"{fact}:{value}"',
        'left = f"repair:{fault}"',
        'inspection, _, step = where.partition(".")',
        'name = where.rpartition(":")[0]',
        'name, value = text.split("=")',
        'left = text.rsplit(".", 1)[0]',
        'left = ".".join((inspection, step))',
        'left = inspection + "." + step',
        'left = "." in name',
        'left = name.removeprefix("recheck:")',
        'left = name.startswith("stop:")',
    ],
)
def test_what_builds_or_parts_one_is_found(snippet: str) -> None:
    """Whatever it is called, alone or within a sentence."""
    assert list(untyped(snippet))


@pytest.mark.parametrize(
    "snippet",
    [
        'left = f"{ref}: {said}"',
        'left = f"{fitted}.{asked} {reason}"',
        'left = f"not there.{nearest(name, names)}"',
        'left = text.partition(" ")[0]',
        'left = ", ".join(names)',
        "left = text.split()",
        'left = name.startswith("cases/")',
    ],
)
def test_what_does_neither_is_not(snippet: str) -> None:
    """Sentences, lists, paths and words."""
    assert not list(untyped(snippet))


def test_every_allowance_is_needed() -> None:
    """Each says why, and of a file that still does so."""
    for name, why in ALLOWED.items():
        assert why and list(untyped((WIZARD / name).read_text(encoding="utf-8"))), name
