"""Classes, folders and names stay small enough to find one's way: what has one job has few methods and a name of its
own.
"""

from __future__ import annotations

import ast
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

WIZARD = Path(__file__).parent.parent / "wizard"
FLOWS = WIZARD.parent / "flows"
PICTURES = WIZARD.parent / "screenshots"

MOST_METHODS, MOST_FILES = 15, 20

LARGER = {
    "safety/model.py: Model": "It is the belief of the whole machine; its methods are what may happen to one."
}
"""The classes that may have more methods, each with the reason."""


def classes() -> Iterator[tuple[str, ast.ClassDef]]:
    """Every class, with the file that it stands in."""
    for path in sorted(WIZARD.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ClassDef):
                yield path.relative_to(WIZARD).as_posix(), node


def test_no_class_has_more_methods_than_one_job_needs() -> None:
    """A class that grows is two: what it holds, and what it does."""
    counts = {
        f"{path}: {node.name}": sum(isinstance(n, ast.FunctionDef | ast.AsyncFunctionDef) for n in node.body)
        for path, node in classes()
    }
    assert {name for name, count in counts.items() if count > MOST_METHODS} <= set(LARGER)


def test_no_folder_holds_more_files_than_are_seen_at_a_glance() -> None:
    """A folder that grows gets rooms by subject."""
    code = (*WIZARD.rglob("*.py"), *Path(__file__).parent.rglob("*.py"))
    tables = (*FLOWS.rglob("*.toml"), *FLOWS.rglob("*.txt"), *Path(__file__).parent.rglob("*.toml"))
    pictures = (path for path in PICTURES.rglob("*") if path.is_file())
    held = Counter(path.parent for path in (*code, *tables, *pictures) if path.name != "__init__.py")
    assert not [folder.as_posix() for folder, count in held.items() if count > MOST_FILES]


def test_no_two_files_and_no_two_classes_share_a_name() -> None:
    """Whoever looks for one finds one."""
    files = Counter(p.name for p in WIZARD.rglob("*.py") if p.name not in ("__init__.py", "__main__.py"))
    names = Counter(node.name for _path, node in classes())
    assert not [name for name, count in files.items() if count > 1]
    assert not [name for name, count in names.items() if count > 1]


def imports() -> dict[str, set[str]]:
    """The folders that each folder's modules import from, late imports counted, its own left out."""
    paths = {
        ".".join((*path.relative_to(WIZARD.parent).with_suffix("").parts,)).removesuffix(".__init__"): path
        for path in WIZARD.rglob("*.py")
    }

    def room(module: str) -> str:
        return module if paths[module].name == "__init__.py" else module.rpartition(".")[0]

    found: dict[str, set[str]] = {room(module): set() for module in paths}
    for module, path in paths.items():
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            if isinstance(node, ast.ImportFrom) and node.module:
                names = [node.module, *(f"{node.module}.{alias.name}" for alias in node.names)]
            found[room(module)] |= {room(n) for n in names if n in paths} - {room(module)}
    return found


def circle(graph: dict[str, set[str]]) -> list[str]:
    """What is left of a graph once all that leads nowhere was taken away, again and again: its circles."""
    left = {room: set(to) for room, to in graph.items()}
    while ends := [room for room, to in left.items() if not to & left.keys()]:
        for room in ends:
            del left[room]
    return sorted(left)


def test_no_two_folders_import_each_other_by_any_way() -> None:
    """A newcomer reads them in one order, from what stands on nothing."""
    assert circle({"a": {"b"}, "b": {"c"}, "c": {"b"}, "d": set()}) == ["a", "b", "c"]
    assert circle(imports()) == []
