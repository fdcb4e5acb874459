"""What has an enumeration is compared with its members, never with bare words: a misspelt member is a type error, a
misspelt word is a branch that is never taken, and no type checker sees it.
"""

from __future__ import annotations

import ast
from collections.abc import Iterable, Iterator, Mapping
from functools import lru_cache
from pathlib import Path

import pytest

WIZARD = Path(__file__).parent.parent / "wizard"

NAMED = frozenset({"kind", "how", "why", "phase", "mark", "way", "verdict", "outcome"})
"""Attributes and variables that hold a member wherever they stand; they are compared with no text at all."""

_TOML = "a key, or a word, of a TOML table as it is written"
_PYDANTIC = "the type of an error of pydantic's"
ALLOWED: Mapping[str, tuple[frozenset[str], str]] = {
    "flow/form/form_faults.py": (frozenset({"missing", "string_pattern_mismatch"}), _PYDANTIC),
    "flow/form/recovery.py": (frozenset({"missing", "flow"}), _PYDANTIC),
    "flow/form/validation_text.py": (
        frozenset(
            {
                "missing",
                "literal_error",
                "string_pattern_mismatch",
                "value_error",
                "string_too_long",
                "too_short",
                "too_long",
                "finite_number",
            }
        ),
        _PYDANTIC,
    ),
    "flow/loading/static_check.py": (frozenset({"fault", "fact", "flow"}), _TOML),
    "flow/model/steps.py": (frozenset({"yes", "no"}), "ids of a flow's answers"),
    "flow/loading/adapting_rules.py": (frozenset({"applies"}), _TOML),
    "flow/parsing/adapted_places.py": (frozenset({"inspection", "answer"}), _TOML),
    "flow/parsing/adapting.py": (frozenset({"inspection", "step", "answer"}), _TOML),
    "flow/parsing/case_builder.py": (frozenset({"after"}), _TOML),
    "flow/parsing/case_variants.py": (frozenset({"after"}), _TOML),
    "flow/parsing/unusable_files.py": (frozenset({"inspection"}), _TOML),
    "flow/rules/condition_rules.py": (frozenset({"alone", "release"}), _TOML),
    "flow/rules/identifiers.py": (frozenset({"inspection"}), _TOML),
    "flow/rules/reaches.py": (frozenset({"no", "reach"}), f"{_TOML}; words of its sentences"),
    "flowcheck/weak/edit_touches.py": (
        frozenset({"unable", "answer", "remedy", "confirm", "applies"}),
        _TOML,
    ),
    "flowcheck/weak/flow_edits.py": (frozenset({"stop"}), _TOML),
    "flowcheck/cases/case_result.py": (frozenset({"after"}), _TOML),
    "screens/text/answer_numbering.py": (frozenset({"yes", "no"}), "ids of a flow's answers"),
    "screens/text/terminal_encoding.py": (frozenset({"C"}), "the name of a locale"),
    "screens/layout/job_keys.py": (frozenset({"map", "undo"}), "the names of keys"),
    "practice/technician.py": (frozenset({"close"}), "the id of a flow's inspection"),
}
"""File -> the words that it may be compared with, and what they are there: the raw edges, where no member is yet."""


@lru_cache(maxsize=1)
def words() -> frozenset[str]:
    """The value of every member of every StrEnum of the program; the empty one says nothing."""
    found = set()
    for path in WIZARD.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ClassDef) and "StrEnum" in map(ast.unparse, node.bases):
                found |= {
                    line.value.value
                    for line in node.body
                    if isinstance(line, ast.Assign) and isinstance(line.value, ast.Constant)
                }
    return frozenset(found - {""})


@lru_cache(maxsize=1)
def member_names() -> tuple[frozenset[str], frozenset[str]]:
    """The attributes, and the variables, that are declared as a member of an enumeration and nowhere as anything else:
    with NAMED, what is compared with no text, misspelt or not.
    """
    trees = [ast.parse(path.read_text(encoding="utf-8")) for path in WIZARD.rglob("*.py")]
    nodes = [node for tree in trees for node in ast.walk(tree)]
    classes = [node for node in nodes if isinstance(node, ast.ClassDef)]
    enums = {each.name for each in classes if "StrEnum" in map(ast.unparse, each.bases)}
    fields = (found for each in classes for line in each.body for found in declared(line))
    names = (found for node in nodes if not isinstance(node, ast.FunctionDef) for found in declared(node))
    return NAMED | members(fields, enums), NAMED | members(names, enums)


def members(found: Iterable[tuple[str, ast.expr]], enums: set[str]) -> frozenset[str]:
    """The names that are declared as one of these enumerations each time."""
    kinds = dict[str, set[bool]]()
    for name, kind in found:
        kinds.setdefault(name, set()).add(bool(plain(kind) & enums) and not plain(kind) - enums)
    return frozenset(name for name, each in kinds.items() if each == {True})


def declared(node: ast.AST) -> Iterator[tuple[str, ast.expr]]:
    """What a node declares, with its annotation."""
    if isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
        yield node.target.id, node.annotation
    elif isinstance(node, ast.arg) and node.annotation is not None:
        yield node.arg, node.annotation
    elif isinstance(node, ast.FunctionDef) and node.returns is not None:
        yield node.name, node.returns


def plain(kind: ast.expr) -> set[str]:
    """The types that an annotation allows, None left out: of Annotated the first."""
    if isinstance(kind, ast.BinOp):
        return plain(kind.left) | plain(kind.right)
    if isinstance(kind, ast.Subscript) and ast.unparse(kind.value) == "Annotated":
        return plain(kind.slice.elts[0] if isinstance(kind.slice, ast.Tuple) else kind.slice)
    return set() if ast.unparse(kind) == "None" else {ast.unparse(kind)}


def texts(node: ast.expr) -> Iterator[str]:
    """The texts that an operand is, or that it holds as a tuple, list or set."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value
    elif isinstance(node, ast.Tuple | ast.List | ast.Set):
        for item in node.elts:
            yield from texts(item)


def holds_a_member(node: ast.expr) -> bool:
    """True for what is called as something that is always a member."""
    attributes, variables = member_names()
    if isinstance(node, ast.Attribute):
        return node.attr in attributes
    return isinstance(node, ast.Name) and node.id in variables


def bare(source: str) -> list[tuple[int, str]]:
    """Every line and word of a module where a bare word stands in place of a member."""
    found = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Compare):
            sides = (node.left, *node.comparators)
            if all(isinstance(op, ast.Eq | ast.NotEq | ast.In | ast.NotIn) for op in node.ops):
                every = any(map(holds_a_member, sides))
                said = (word for side in sides for word in texts(side))
                found += [(node.lineno, word) for word in said if word and (every or word in words())]
        elif isinstance(node, ast.Dict):
            keys = [word for key in node.keys if key is not None for word in texts(key) if word]
            if len(keys) > 1 and len(keys) >= len(node.keys) - 1 and words() >= set(keys):
                found += [(node.lineno, word) for word in keys]
        elif isinstance(node, ast.MatchValue) and list(texts(node.value)):
            found += [(node.value.lineno, word) for word in texts(node.value) if word]
    return found


def test_no_bare_word_stands_in_place_of_a_member() -> None:
    """In no ==, !=, in, not in or case of the program, and not as the keys of a table, but at its raw edges."""
    wrong = []
    for path in sorted(WIZARD.rglob("*.py")):
        name = path.relative_to(WIZARD).as_posix()
        allowed = ALLOWED.get(name, (frozenset(), ""))[0]
        found = bare(path.read_text(encoding="utf-8"))
        wrong += [f"{name}:{line}: {word!r}" for line, word in found if word not in allowed]
    assert wrong == []


@pytest.mark.parametrize(
    "snippet",
    [
        'left = coming.kind == "inspekt"',
        'left = state.job == "workign"',
        'left = part.lead in ("evidense", "order")',
        'left = coming.kind in ("inspect", "decide")',
        'left = "before" != phase',
        'left = stay.reason not in {"lapse"}',
        'left = "watch" in seen',
        'left = (a, b) == ("x", "fail")',
        'match verdict:\n    case "fale":\n        left = 1',
        'match verdict:\n    case "a" | "fail":\n        left = 1',
        'match event:\n    case Answered(how="unabel"):\n        left = 1',
        'left = {"": "under way", "proved": "done", "stopped": "given up"}[outcome]',
    ],
)
def test_a_bare_word_is_found(snippet: str) -> None:
    """Spelt right or wrong, on either side, alone or among others."""
    assert bare(snippet)


@pytest.mark.parametrize(
    "snippet",
    [
        "left = coming.kind is NextKind.INSPECT",
        "left = coming.kind in (NextKind.INSPECT, NextKind.DECIDE)",
        'left = name == ""',
        'left = name == "no member is called so"',
        "match verdict:\n    case Verdict.FAIL:\n        left = 1",
        'left = {"fail": 1}',
        'left = {"fail": 1, "and what else there is": 2}',
    ],
)
def test_a_member_is_none(snippet: str) -> None:
    """Nor is any other text."""
    assert bare(snippet) == []


def test_every_allowance_is_needed() -> None:
    """Each says why, and of a file that still compares with these very words."""
    for name, (allowed, why) in ALLOWED.items():
        found = {word for _line, word in bare((WIZARD / name).read_text(encoding="utf-8"))}
        assert why and allowed <= found, (name, sorted(allowed - found))
