"""What both rooms say stands in one place: no sentence is written in the line mode and in the full screen. Help texts
aside, which speak of keys that differ.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

WIZARD = Path(__file__).parent.parent.parent / "wizard"
FEWEST = 4
"""Words of a sentence; shorter ones, such as 'Enter goes on', are said by chance."""


HELP = {"ABOUT", "about"}
"""What help texts are called."""


def literals(path: Path) -> Iterator[str]:
    """The texts of a module, without its docstrings and its help."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    described: set[int] = set()
    for node in ast.walk(tree):
        helps = isinstance(node, ast.Assign) and any(
            t.id in HELP for t in node.targets if isinstance(t, ast.Name)
        )
        if helps or (isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)):
            described |= {id(inner) for inner in ast.walk(node)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in described:
            yield node.value


def sentences(room: str) -> dict[str, str]:
    """Each sentence of a room, and a file that says it."""
    found = {}
    for path in sorted((WIZARD / room).rglob("*.py")):
        for text in literals(path):
            for one in re.split(r"(?<=[.?!:;])\s+", " ".join(text.split())):
                said = one.strip(" .?!:;,'")
                if len(said.split()) >= FEWEST:
                    found[said] = path.relative_to(WIZARD).as_posix()
    return found


def test_no_sentence_is_written_in_both_rooms() -> None:
    """Where one is put right, the other would go on saying it the old way."""
    lines, screens = sentences("lines"), sentences("screens")
    assert len(lines) > 60 and len(screens) > 500
    assert {said: (lines[said], screens[said]) for said in lines.keys() & screens.keys()} == {}
