"""Where a module's text can be changed by one thing, and what it becomes there.

Left alone: text, annotations, decorators, imports, base classes, type aliases, ``__all__``, and what a dataclass field
says of its own comparing and printing, and ``strict`` of a zip. Everything else of an expression or a statement has its
changes below.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass

from tests.mutation.operators import expressions

SHORT = 12
"""Characters from which a piece of text says what it is; a shorter one is shown in what stands around it."""

LONG = 160
"""Characters of a text that is shown whole."""

AROUND = 30
"""Characters of a longer one that are shown on either side of what differs."""


@dataclass(frozen=True, eq=False)
class Site:
    """One change: ``new`` in the place of ``old``, which stands in a field of ``parent``, maybe in a list there."""

    parent: ast.AST
    name: str
    index: int | None
    old: ast.AST
    new: ast.AST
    scope: str
    around: tuple[ast.AST, ...]

    def put(self, node: ast.AST) -> None:
        if self.index is None:
            setattr(self.parent, self.name, node)
        else:
            getattr(self.parent, self.name)[self.index] = node

    def apply(self) -> None:
        """Change the tree that the site was found in."""
        self.put(ast.fix_missing_locations(ast.copy_location(self.new, self.old)))

    def says(self) -> str:
        """What it is before and after, in as much of its surroundings as makes it plain."""
        shown: ast.AST = self.old
        for outer in self.around:
            if len(ast.unparse(shown)) >= SHORT or not isinstance(outer, ast.expr | ast.keyword):
                break
            shown = outer
        before = _line(shown)
        if shown is self.old:
            return _change(before, _line(self.new))
        self.put(self.new)
        after = _line(shown)
        self.put(self.old)
        return _change(before, after)


@dataclass(frozen=True)
class Mutant:
    """One changed module: its file, the change by its number in the file, its name, and its line."""

    path: str
    number: int
    name: str
    line: int


def mutants(path: str, source: str) -> list[Mutant]:
    """Every change of a file, in its order. A name outlives all edits but those of the text it is about."""
    made: list[Mutant] = []
    known: dict[str, int] = {}
    for number, site in enumerate(sites(ast.parse(source))):
        name = f"{path.removeprefix('wizard/')} {site.scope}: {site.says()}"
        known[name] = known.get(name, 0) + 1
        nth = f" #{known[name]}" if known[name] > 1 else ""
        place = site.old.target if isinstance(site.old, ast.comprehension) else site.old
        made.append(Mutant(path, number, name + nth, getattr(place, "lineno", 0)))
    return made


def changed(source: str, number: int) -> ast.Module:
    """The tree of a file with its change of this number."""
    tree = ast.parse(source)
    for place, site in enumerate(sites(tree)):
        if place == number:
            site.apply()
            return tree
    raise IndexError(f"the file has no change {number}")


def sites(tree: ast.Module) -> Iterator[Site]:
    """All changes of a module, in the order of its text."""
    return _inside(tree, "", ())


def _inside(node: ast.AST, scope: str, around: tuple[ast.AST, ...]) -> Iterator[Site]:
    for name, value in ast.iter_fields(node):
        if name in ("annotation", "returns", "decorator_list", "bases", "type_params"):
            continue
        several = isinstance(value, list)
        for index, child in enumerate(value if several else [value]):
            if not isinstance(child, ast.AST) or _left_alone(child, node):
                continue
            for new in (*_statements(child, value), *expressions(child, node)):
                yield Site(
                    node, name, index if several else None, child, new, scope or "module", (node, *around)
                )
            inner = f"{scope}.{child.name}".lstrip(".") if isinstance(child, _NAMED) else scope
            yield from _inside(child, inner, (node, *around))


_NAMED = (ast.FunctionDef, ast.AsyncFunctionDef, ast.ClassDef)


def _statements(node: ast.AST, block: object) -> list[ast.AST]:
    """A statement that is left out: a call, a change of something that is there already, a way out."""
    gone = isinstance(node, ast.Expr | ast.AugAssign | ast.Raise | ast.Continue | ast.Break | ast.Delete)
    gone = gone or (
        isinstance(node, ast.Assign)
        and any(isinstance(t, ast.Attribute | ast.Subscript) for t in node.targets)
    )
    return [ast.Pass()] if gone and isinstance(block, list) else []


def _left_alone(node: ast.AST, parent: ast.AST) -> bool:
    if isinstance(node, ast.Import | ast.ImportFrom | ast.JoinedStr):
        return True
    if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
        return True
    if isinstance(node, ast.keyword) and isinstance(parent, ast.Call):
        return (ast.unparse(parent.func), node.arg) in _ASIDE
    targets = node.targets if isinstance(node, ast.Assign) else []
    alias = (
        isinstance(node, ast.Assign)
        and isinstance(node.value, ast.Subscript)
        and isinstance(parent, ast.Module)
    )
    return alias or any(isinstance(t, ast.Name) and t.id == "__all__" for t in targets)


_ASIDE = {("field", "compare"), ("field", "repr"), ("zip", "strict")}
"""Arguments that say how a field is shown and compared, or assert what the code sees to."""


def _line(node: ast.AST) -> str:
    return " ".join(ast.unparse(node).split())


def _change(before: str, after: str) -> str:
    """Both texts; of long ones what differs, with a little of what stands around it."""
    if max(len(before), len(after)) > LONG:
        same = _alike(before, after)
        tail = _alike(before[same:][::-1], after[same:][::-1])
        start, ends = max(0, same - AROUND), max(0, tail - AROUND)
        before, after = (f"...{text[start : len(text) - ends]}..." for text in (before, after))
    return " -> ".join(t if len(t) <= 2 * LONG else f"{t[:LONG]} ... {t[-LONG:]}" for t in (before, after))


def _alike(one: str, other: str) -> int:
    """How many characters both begin with."""
    return next(
        (n for n, (a, b) in enumerate(zip(one, other, strict=False)) if a != b), min(len(one), len(other))
    )
