"""What the pages for readers and developers name is there: paths, tests, modules, classes, commands."""

from __future__ import annotations

import ast
import builtins
import re
from collections.abc import Iterator
from functools import lru_cache
from importlib.util import find_spec
from pathlib import Path

import click
import pytest

from wizard.cli.main import steadfoot

ROOT = Path(__file__).parent.parent
PAGES = (
    "README.md",
    "DEVELOPERS.md",
    "wizard/GLOSSARY.md",
    "wizard/flow/authoring/WRITING.md",
    "tests/bench/FIGURES.md",
)
TOPS = {"wizard", "flows", "tests", "screenshots", ".ci"}
MADE = {"flows/schema/*.schema.json"}
"""What a command writes there and git doesn't keep."""

_FENCE = re.compile(r"^```(\w*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
_TICKED = re.compile(r"`([^`\n]+)`")
_PATH = re.compile(r"[\w.<>*-]+(/[\w.<>*-]*)+(::\w+)?")
_MODULE = re.compile(r"wizard(\.\w+)+")
_CLASS = re.compile(r"([A-Z][a-z]\w*)(?:\.(\w+))?")
_RUN = re.compile(r"python -m ([\w.]+)")


def paragraphs(page: str) -> list[str]:
    """The paragraphs, entries and rows of a page, a line each; code blocks left out."""
    return re.sub(r"\n(?![\n|]|- )", " ", _FENCE.sub("", text_of(page))).splitlines()


def ticked(page: str) -> list[str]:
    """What stands in backticks on a page, code blocks left out."""
    return [name for line in paragraphs(page) for name in _TICKED.findall(line)]


def text_of(page: str) -> str:
    """A page's text."""
    return (ROOT / page).read_text(encoding="utf-8")


def shell(page: str) -> str:
    """The lines of a page's shell blocks."""
    return "\n".join(body for kind, body in _FENCE.findall(text_of(page)) if kind in ("sh", "powershell"))


def words(page: str) -> Iterator[str]:
    """Every word of what is ticked or stands in a shell block."""
    for text in (*ticked(page), *shell(page).splitlines()):
        yield from text.split()


@lru_cache(maxsize=1)
def classes() -> dict[str, set[str]]:
    """Every class of the program, and the names in it; those of one name are taken together."""
    found: dict[str, set[str]] = {}
    for path in (ROOT / "wizard").rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ClassDef):
                names = {n.name for n in node.body if isinstance(n, ast.FunctionDef)}
                names |= {
                    n.target.id
                    for n in node.body
                    if isinstance(n, ast.AnnAssign) and isinstance(n.target, ast.Name)
                }
                names |= {
                    t.id
                    for n in node.body
                    if isinstance(n, ast.Assign)
                    for t in n.targets
                    if isinstance(t, ast.Name)
                }
                found.setdefault(node.name, set()).update(names)
    return found


def functions(path: Path) -> set[str]:
    """The functions of a file."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return {n.name for n in ast.walk(tree) if isinstance(n, ast.FunctionDef | ast.AsyncFunctionDef)}


def there(path: str) -> bool:
    """True when the path is there; ``<name>`` and ``*`` stand for any one."""
    return bool(list(ROOT.glob(re.sub(r"<[^>]*>", "*", path).rstrip("/"))))


@pytest.mark.parametrize("page", PAGES)
def test_backticks_are_closed(page: str) -> None:
    """Else what follows would not be read as it is meant."""
    assert [line for line in paragraphs(page) if line.count("`") % 2] == []


@pytest.mark.parametrize("page", PAGES)
def test_every_path_and_test_is_there(page: str) -> None:
    """Whole from the top folder on; a test named behind a file is a function of it."""
    missing = []
    for word in words(page):
        if not _PATH.fullmatch(word) or word in MADE:
            continue
        path, _, test = word.partition("::")
        if path.partition("/")[0] in TOPS and not (
            there(path) and (not test or test in functions(ROOT / path))
        ):
            missing.append(word)
        if path.endswith(".py") and path.partition("/")[0] not in TOPS:
            missing.append(f"{word} is no path from the top folder")
    assert missing == []


@pytest.mark.parametrize("page", PAGES)
def test_every_file_named_alone_is_there(page: str) -> None:
    """A Python file without its folder is one of the program or of its tests."""
    names = {path.name for top in ("wizard", "tests", "screenshots") for path in (ROOT / top).rglob("*.py")}
    assert {w for w in ticked(page) if re.fullmatch(r"\w+\.py", w)} <= names


@pytest.mark.parametrize("page", PAGES)
def test_every_module_is_there(page: str) -> None:
    """``wizard.a.b``, or a name in such a module; and what ``python -m`` runs has a main part."""
    missing = []
    for word in ticked(page):
        if _MODULE.fullmatch(word):
            module = ROOT / (word.replace(".", "/") + ".py")
            parent = ROOT / (word.rpartition(".")[0].replace(".", "/") + ".py")
            named = parent.is_file() and word.rpartition(".")[2] in parent.read_text(encoding="utf-8")
            if not (module.is_file() or (module.with_suffix("") / "__init__.py").is_file() or named):
                missing.append(word)
    for name in _RUN.findall("\n".join((*ticked(page), shell(page)))):
        spec = find_spec(name)
        if spec is None or not (spec.submodule_search_locations or runs(spec.origin)):
            missing.append(f"python -m {name}")
    assert missing == []


def runs(origin: str | None) -> bool:
    """True for a module of ours with a main part, and for any of somebody else's."""
    path = Path(origin or "")
    return ROOT not in path.parents or '__name__ == "__main__"' in path.read_text(encoding="utf-8")


@pytest.mark.parametrize("page", PAGES)
def test_every_class_is_there(page: str) -> None:
    """``Class`` or ``Class.name`` in backticks."""
    missing = []
    for word in ticked(page):
        if (found := _CLASS.fullmatch(word)) and re.search(r"[a-z]", word):
            name, part = found.groups()
            if not hasattr(builtins, name) and (
                name not in classes() or (part and part not in classes()[name])
            ):
                missing.append(word)
    assert missing == []


@pytest.mark.parametrize("page", PAGES)
def test_every_command_is_there(page: str) -> None:
    """``steadfoot ...``: each word up to the first argument is a command of its group."""
    lines = [line for line in (*ticked(page), *shell(page).splitlines()) if "steadfoot" in line]
    for line in lines:
        group: click.Command = steadfoot
        for word in re.split(r"steadfoot(?=\s|$)", line)[-1].split():
            if not isinstance(group, click.Group) or not re.fullmatch(r"[a-z]+", word):
                break
            found = group.get_command(click.Context(group), word)
            assert found is not None, f"{line}: {word}"
            group = found


def test_every_hazard_names_a_test() -> None:
    """No row of the table rests on words alone."""
    text = text_of("DEVELOPERS.md")
    table = text[text.index("| to do |") :].partition("\n\n")[0].splitlines()[2:]
    assert len(table) >= 10
    assert [
        row for row in table if not re.search(r"`tests/[\w/]+\.py::test_\w+`", row.rsplit("|", 2)[1])
    ] == []


def test_the_pages_lie_where_the_top_folder_allows() -> None:
    """Beside the two pages of the top folder, each page lies with the code that it is about."""
    assert sorted(path.name for path in ROOT.glob("*.md")) == ["DEVELOPERS.md", "README.md"]
