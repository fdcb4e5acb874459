"""The quick answer, whether a file has the form of its declarations, is pydantic's: for every file that is shipped,
and with each value in turn replaced by ones that are wrong or at an edge, or taken out, or with a key more.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from copy import deepcopy
from datetime import date
from typing import Any

import pytest

from wizard.domain.flow_vocabulary import FileKind
from wizard.flow.form.declared_form import has_form
from wizard.flow.form.form_models import model_of_kind
from wizard.flow.form.recovery import failures
from wizard.flow.loading.shipped_flows import shipped
from wizard.flow.parsing.flow_files import kind_of, read_folder

Path = tuple[str | int, ...]
ODD: tuple[Any, ...] = (
    True, False, 0, 1, -1, 2, 3, 5, 24, 100, 101, 10**13, 10**400, 0.0, 0.5, 1.0, -0.5, 1e13, float("nan"),
    float("inf"),
    "", " ", "a", "A", "a\n", "a-b", "a--b", "end", "N", "mm", "stop:live", "dampers.pull", "pull", "covered", "danger",
    "x" * 100, "x" * 101, "x" * 900, "\x00", "\u202e", "a\nb", "é", "yes", "measure", "tell", date(2026, 3, 2),
    [], [1], ["a"], ["a"] * 60, [[]], [{}], {}, {"a": 1}, {"a": "b"}, {"kind": "tell"}, {"1": []},
)  # fmt: skip
"""Values of every type of TOML, among them such as a text, a number, an id, a unit, or a word may be and may not."""


def documents() -> Iterator[tuple[str, FileKind, dict[str, Any]]]:
    """Every TOML file of every flow that is shipped, the library's with each."""
    for folder in shipped().values():
        for name, data in read_folder(folder).items():
            kind = kind_of(name)
            if name.endswith(".toml") and kind is not None:
                yield f"{folder.name}/{name}", kind, tomllib.loads(data.decode("utf-8"))


def smallest_of_each_table() -> list[tuple[str, FileKind, dict[str, Any]]]:
    """Of each kind of file the three that are the smallest, so that all their values can be replaced."""
    found: dict[FileKind, list[tuple[str, FileKind, dict[str, Any]]]] = {}
    for each in documents():
        found.setdefault(each[1], []).append(each)
    return [one for some in found.values() for one in sorted(some, key=lambda each: len(str(each[2])))[:3]]


def paths(value: Any, path: Path = ()) -> Iterator[Path]:
    """Where anything stands in a document, of a long list the first few entries."""
    inside: Iterator[Any] = iter(())
    if isinstance(value, dict):
        inside = iter(value)
    elif isinstance(value, list):
        inside = iter(range(min(len(value), 4)))
    for key in inside:
        yield (*path, key)
        yield from paths(value[key], (*path, key))


def changed(document: dict[str, Any], path: Path) -> Iterator[dict[str, Any]]:
    """The document with what stands at ``path`` replaced by each odd value, taken out, and with a key beside it."""
    *upper, last = path

    def copied() -> tuple[dict[str, Any], Any]:
        made = deepcopy(document)
        inside: Any = made
        for part in upper:
            inside = inside[part]
        return made, inside

    made, inside = copied()
    for odd in ODD:
        inside[last] = odd
        yield made
    made, inside = copied()
    del inside[last]
    yield made
    made, inside = copied()
    if isinstance(inside, dict):
        for key in ("kind", "id", "quite", "unit", "reach"):
            yield {**made} if key in inside else _with(made, inside, key)


def _with(made: dict[str, Any], inside: dict[str, Any], key: str) -> dict[str, Any]:
    inside[key] = "a"
    return made


def test_every_shipped_file_has_its_form() -> None:
    """Else the check of a sound flow would be as slow as before."""
    found = [name for name, kind, values in documents() if not has_form(kind, values)]
    assert not found


@pytest.mark.parametrize(
    ("name", "kind", "document"), smallest_of_each_table(), ids=lambda each: str(each)[:60]
)
def test_what_is_said_to_have_its_form_has_it_for_pydantic_too(
    name: str, kind: FileKind, document: dict[str, Any]
) -> None:
    """And the other way round, so that nothing sound goes the long way."""
    model = model_of_kind(kind)
    differing, sound, tried = [], 0, 0
    for path in list(paths(document))[:24]:
        for number, made in enumerate(changed(document, path)):
            quick, close = has_form(kind, made), not failures(model, made)
            tried, sound = tried + 1, sound + quick
            if quick is not close:
                differing.append((path, number, quick))
    assert not differing, f"{name}: {differing[:5]} of {len(differing)}"
    assert 0 < sound < tried
