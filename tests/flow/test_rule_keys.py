"""The rules read tables as they are written; each key that they ask for is one that some table declares.

A key that is misspelt there would find nothing, and its rule would pass every flow.
"""

from __future__ import annotations

import ast
import pkgutil
from collections.abc import Iterator
from dataclasses import is_dataclass
from functools import lru_cache
from importlib import import_module
from pathlib import Path

import wizard.flow.model as model
from wizard.flow.declaring.declaration_fields import keys_of

ROOT = Path(__file__).parents[2] / "wizard"
READERS = ("flow/rules", "flow/loading", "flow/parsing", "flowcheck")
TABLES = frozenset({"table", "tables", "spot", "document"})
"""What a table of a file is called where rules read it."""
ASKING = frozenset({"get", "below", "within"})


@lru_cache(maxsize=1)
def declared() -> frozenset[str]:
    """Every key that a table of a file may have; of an array of tables it is their kind."""
    found = {"kind"}
    for info in pkgutil.iter_modules(model.__path__):
        for thing in vars(import_module(f"wizard.flow.model.{info.name}")).values():
            if isinstance(thing, type) and is_dataclass(thing):
                found |= {key.key for key in keys_of(thing)}
    return frozenset(found)


def of_table(node: ast.expr) -> bool:
    """True for a table, or what lies within one."""
    if isinstance(node, ast.Subscript):
        return of_table(node.value)
    if isinstance(node, ast.Call):
        return isinstance(node.func, ast.Attribute) and of_table(node.func)
    name = node.attr if isinstance(node, ast.Attribute) else getattr(node, "id", "")
    return name in TABLES or (
        isinstance(node, ast.Attribute) and node.attr in ASKING and of_table(node.value)
    )


def asked(tree: ast.AST) -> Iterator[tuple[int, str]]:
    """The keys that are asked of tables, with their lines."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Subscript) and of_table(node.value):
            key: ast.expr | None = node.slice
        elif (
            isinstance(node, ast.Call)
            and isinstance(node.func, ast.Attribute)
            and node.func.attr in ASKING
            and (of_table(node.func.value) or node.func.attr != "get")
        ):
            key = node.args[0] if node.args else None
        else:
            continue
        if isinstance(key, ast.Constant) and isinstance(key.value, str):
            yield node.lineno, key.value


def test_every_key_that_a_rule_asks_for_is_declared() -> None:
    places = [
        (f"{path.relative_to(ROOT)}:{line}", key)
        for folder in READERS
        for path in sorted((ROOT / folder).rglob("*.py"))
        for line, key in asked(ast.parse(path.read_text(encoding="utf-8")))
    ]
    assert len(places) > 80
    assert [(place, key) for place, key in places if key not in declared()] == []


def test_a_misspelt_key_is_seen() -> None:
    """In a look-up, in what lies below, and in a table within a table."""
    read = 'spot.table.get("latc", ())\nfor one in spot.below("bnd"):\n    one.table["typical"]["mild"]\n'
    keys = {key for _line, key in asked(ast.parse(read))}
    assert keys == {"latc", "bnd", "typical", "mild"} and keys - declared() == {"latc", "bnd", "mild"}
