"""Where each key and each entry of a TOML text stands, and where its syntax breaks.

tree-sitter counts columns in bytes; here lines and columns count from 1 and columns are characters. It is imported,
and a text parsed by it, when a place is first asked for: a sound flow has none to tell.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache, cached_property
from typing import TYPE_CHECKING

from wizard.foreign.limits import Source
from wizard.foreign.toml_reader import parse_toml

if TYPE_CHECKING:
    from tree_sitter import Node, Parser

Path = tuple[str | int, ...]
Place = tuple[int, int]
_DEEPEST = 60
_KEYS = ("bare_key", "quoted_key", "dotted_key")
_KEY_AND_VALUE = 2


@cache
def _parser() -> Parser:
    """Return the parser; made once, since loading the grammar takes a while."""
    import tree_sitter_toml
    from tree_sitter import Language, Parser

    return Parser(Language(tree_sitter_toml.language()))


class Positions:
    """The places of one text's values and keys, and the places where it isn't TOML."""

    def __init__(self, data: bytes = b"") -> None:
        self._data = data

    @cached_property
    def _root(self) -> Node | None:
        return _parser().parse(self._data).root_node if self._data else None

    @cached_property
    def _walked(self) -> _Walker:
        walker = _Walker(self._data.split(b"\n"))
        if self._root is not None:
            walker.document(self._root)
        return walker

    @property
    def places(self) -> dict[Path, Place]:
        """Line and column of each value, by its path."""
        return self._walked.places

    @property
    def keys(self) -> dict[Path, Place]:
        """Line and column of each key, by its path."""
        return self._walked.keys

    @cached_property
    def broken(self) -> tuple[Place, ...]:
        """Where the text isn't TOML."""
        if self._root is None or not self._root.has_error:
            return ()
        return tuple(self._walked.place(node) for node in _broken(self._root))

    def of(self, path: Path) -> Place:
        """Return the line and column of the value at ``path``, or of its nearest ancestor that has a place."""
        while path and path not in self.places:
            path = path[:-1]
        return self.places.get(path, (1, 1))

    def of_key(self, path: Path) -> Place:
        """Return the line and column of the key at ``path``, or of its value if it has none of its own."""
        return self.keys.get(path) or self.of(path)


def locate(text: str) -> Positions:
    """Return the places in ``text`` (no byte order mark). Never fails: broken text has fewer places."""
    return Positions(text.encode("utf-8", "surrogatepass"))


def _broken(root: Node) -> Iterator[Node]:
    """Yield the error and missing nodes, the outermost only."""
    stack = [root]
    while stack:
        node = stack.pop()
        if node.is_error or node.is_missing:
            yield node
        elif node.has_error:
            stack.extend(reversed(node.children))


class _Walker:
    """Collects places while it goes through a text once."""

    def __init__(self, lines: list[bytes]) -> None:
        self.lines = lines
        self.places: dict[Path, Place] = {}
        self.keys: dict[Path, Place] = {}
        self.counts: dict[Path, int] = {}

    def place(self, node: Node) -> Place:
        """Return where a node begins, its column in characters."""
        row, column = node.start_point
        before = self.lines[row][:column] if row < len(self.lines) else b""
        return row + 1, len(before.decode("utf-8", "replace")) + 1

    def document(self, root: Node) -> None:
        """Go through the pairs and tables at the top."""
        for node in root.named_children:
            if node.type == "pair":
                self.pair(node, (), 0)
            elif node.type in ("table", "table_array_element"):
                self.table(node)

    def table(self, node: Node) -> None:
        """Go through one table or one element of an array of tables."""
        head = next((n for n in node.named_children if n.type in _KEYS), None)
        if head is None:
            return
        path = self.current(_names(head))
        if node.type == "table_array_element":
            count = self.counts[path] = self.counts.get(path, -1) + 1
            self.places.setdefault(path, self.place(node))
            path = (*path, count)
        self.places.setdefault(path, self.place(node))
        for child in node.named_children:
            if child.type == "pair":
                self.pair(child, path, 0)

    def current(self, names: list[str]) -> Path:
        """Return the path of a header: below an array of tables its latest element is meant."""
        path: Path = ()
        for last, name in zip([False] * (len(names) - 1) + [True], names, strict=True):
            path = (*path, name)
            if not last and path in self.counts:
                path = (*path, self.counts[path])
        return path

    def pair(self, node: Node, path: Path, depth: int) -> None:
        """Note the place of a key, and of what its value holds."""
        parts = [n for n in node.named_children if n.type != "comment"]
        if len(parts) < _KEY_AND_VALUE or parts[0].type not in _KEYS:
            return
        at = self.place(parts[0])
        for name in _names(parts[0]):
            path = (*path, name)
            self.keys.setdefault(path, at)
            self.places.setdefault(path, at)
        self.places[path] = self.place(parts[-1])
        self.value(parts[-1], path, depth + 1)

    def value(self, node: Node, path: Path, depth: int) -> None:
        """Note the places within an inline table or an array."""
        if depth > _DEEPEST:
            return
        if node.type == "inline_table":
            for child in node.named_children:
                if child.type == "pair":
                    self.pair(child, path, depth)
        elif node.type == "array":
            entries = (n for n in node.named_children if n.type != "comment")
            for index, child in enumerate(entries):
                self.places.setdefault((*path, index), self.place(child))
                self.value(child, (*path, index), depth + 1)


def _names(key: Node) -> list[str]:
    """Return the parts of a key, its quotes and escapes undone. Dotted keys nest to the left."""
    found: list[str] = []
    stack = [key]
    while stack:
        node = stack.pop()
        if node.type == "dotted_key":
            stack.extend(reversed(node.named_children))
        elif node.type in _KEYS:
            found.append(_plain(node))
    return found


def _plain(node: Node) -> str:
    """Return one part of a key as the parser has it."""
    text = (node.text or b"").decode("utf-8", "replace")
    if node.type == "bare_key":
        return text
    try:
        return next(iter(parse_toml(f"{text} = 0", Source.FLOW_FILE)))
    except ValueError:
        return text
