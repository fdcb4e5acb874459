"""Public names are made of words that the glossary has, and one sense has one word."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
GLOSSARY = (ROOT / "wizard" / "GLOSSARY.md").read_text(encoding="utf-8")
HELD = ("domain", "flow/model", "safety", "engine", "diagnosis", "journal")
"""The packages whose modules and classes are of the glossary's words."""
HELD_WHOLE = ("domain", "flow/model", "safety", "engine/messages")
"""Those whose functions and methods are, too."""

_ENDINGS = (("", ""), ("s", ""), ("es", ""), ("ed", ""), ("ed", "e"), ("d", ""), ("ing", ""), ("ing", "e"))
_IRREGULAR = {
    "began": "begin",
    "left": "leave",
    "made": "make",
    "handed": "hand",
    "shown": "show",
    "taken": "take",
}
_IRREGULAR |= {
    "undone": "undo",
    "done": "do",
    "skipped": "skip",
    "stopped": "stop",
    "fitted": "fit",
    "asker": "ask",
}
_IRREGULAR |= {
    "applies": "apply",
    "kept": "keep",
    "ref": "reference",
    "entered": "enter",
    "grown": "grow",
    "drawn": "draw",
    "refs": "reference",
}


def rows(heading: str) -> list[list[str]]:
    """The rows of the table under a heading."""
    part = GLOSSARY.partition(f"## {heading}\n")[2].partition("\n## ")[0]
    lines = [line for line in part.splitlines() if line.startswith("| ")]
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in lines[1:]]


@lru_cache(maxsize=1)
def entries() -> tuple[list[str], ...]:
    """Every entry: word, sense, place."""
    heads = re.findall(r"^## (.+)$", GLOSSARY, re.MULTILINE)
    return tuple(row for head in heads if head not in ("Plain words", "We don't say") for row in rows(head))


@lru_cache(maxsize=1)
def known() -> frozenset[str]:
    """The words of the glossary, one by one: of 'dead end' both."""
    return frozenset(word for entry in entries() for word in re.findall(r"[a-z]+", entry[0].lower()))


@lru_cache(maxsize=1)
def ordinary() -> frozenset[str]:
    """Plain English that needs no entry: the page has the list."""
    part = GLOSSARY.partition("## Plain words\n")[2].partition("\n## ")[0]
    return frozenset(part.partition(": ")[2].replace(".", "").split())


def stems(word: str) -> Iterator[str]:
    """A word, and what it may be a form of."""
    yield _IRREGULAR.get(word, word)
    for ending, instead in _ENDINGS:
        if ending and word.endswith(ending) and len(word) > len(ending) + 1:
            stem = word.removesuffix(ending) + instead
            yield stem
            if len(stem) > 2 and stem[-1] == stem[-2]:
                yield stem[:-1]


def parts(name: str) -> list[str]:
    """The words of a name, small."""
    return [word.lower() for word in re.findall(r"[A-Z]?[a-z]+|[A-Z]+(?![a-z])", name)]


def public(path: Path) -> Iterator[tuple[str, ast.AST]]:
    """The module's name, and that of each public class, function and method in it."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    if not path.stem.startswith("_"):
        yield path.stem, tree
    for node in ast.walk(tree):
        if isinstance(node, ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef) and node.name[0] != "_":
            yield node.name, node


def files(folder: str = "") -> list[Path]:
    """The modules of a folder of the program."""
    return sorted((ROOT / "wizard" / folder).rglob("*.py"))


@pytest.mark.parametrize("folder", sorted({*HELD, *HELD_WHOLE}))
def test_every_public_name_is_of_known_words(folder: str) -> None:
    """A name with a word that the glossary lacks gets an entry there, or another name."""
    fine, whole = known() | ordinary(), folder in HELD_WHOLE
    strange = {
        f"{path.stem}: {name}: {word}"
        for path in files(folder)
        for name, node in public(path)
        if whole or isinstance(node, ast.ClassDef | ast.Module)
        for word in parts(name)
        if not fine & set(stems(word))
    }
    assert strange == set()


def test_no_plain_word_is_there_for_nothing() -> None:
    """The list of plain words holds none twice, and none that no name uses."""
    part = GLOSSARY.partition("## Plain words\n")[2].partition("\n## ")[0]
    listed = part.partition(": ")[2].replace(".", "").split()
    used = {
        stem
        for folder in {*HELD, *HELD_WHOLE}
        for path in files(folder)
        for name, _node in public(path)
        for word in parts(name)
        for stem in stems(word)
    }
    assert sorted({word for word in listed if listed.count(word) > 1}) == []
    assert sorted(set(listed) - used) == []


def test_no_word_has_two_entries() -> None:
    """One sense a word, and one entry a sense."""
    words = [word for entry in entries() for word in entry[0].split(", ")]
    assert sorted({w for w in words if words.count(w) > 1}) == []
    assert not set(words) & {w for row in rows("We don't say") for w in row[0].split(", ")}


def test_no_entry_tells_a_second_sense() -> None:
    """What a word is 'also', or is 'of' something else after a colon, is another sense: that gets a word of its own."""
    second = re.compile(r"\balso\b|[.;] [Oo]f (?:a|an|the|what) [^.;]*: (?!true|it)", re.IGNORECASE)
    assert [(word, sense) for word, sense, _place in entries() if second.search(sense)] == []


def test_every_entry_is_short_and_says_where() -> None:
    """One or two sentences, and a place that is there."""
    assert len(entries()) > 60
    for word, sense, place in entries():
        assert 1 <= len(re.findall(r"\.(?:\s|$)", sense)) <= 2, word
        assert (ROOT / place.strip("`")).exists(), place


def unsaid(held: str) -> frozenset[str]:
    """The words that aren't said: in names, or in docstrings too."""
    return frozenset(w for row in rows("We don't say") if held in row[2] for w in row[0].split(", "))


SHOWN = {
    "wizard/screens/viewmodels/faults/fault_rows.py: bar",
    "wizard/screens/widgets/frame/keybar.py: KeyBar",
    "wizard/screens/widgets/frame/keybar.py: keybar",
    "wizard/screens/job/arrival_screens.py: told",
}
"""What is called so on a screen: the bar of a chart, that of the keys, what was told at the door."""


def test_what_we_dont_say_is_in_no_name() -> None:
    """Of modules, classes, functions and methods, in the whole program."""
    wrong = {
        f"{path.relative_to(ROOT)}: {name}"
        for path in files()
        for name, _node in public(path)
        if {s for word in parts(name) for s in (word, word.removesuffix("s"))} & unsaid("names")
    }
    assert wrong - SHOWN == set()


def test_what_we_dont_say_is_in_no_docstring() -> None:
    """Where people read what the code does. The screens' own words are those of their users."""
    never = re.compile(rf"\b({'|'.join(sorted(unsaid('docstrings')))})s?\b", re.IGNORECASE)
    wrong = []
    for path in files():
        if path.relative_to(ROOT / "wizard").parts[0] == "screens":
            continue
        for name, node in public(path):
            said = ast.get_docstring(node) or ""  # type: ignore[arg-type]
            wrong += [f"{path.relative_to(ROOT)}: {name}: {word}" for word in never.findall(said)]
    assert wrong == []
