"""Whatever bytes or values stand in a flow, the check ends with problems that have a place, never with a
traceback.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from typing import Any

import pytest
import tomli_w
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.helpers.flows.examples import examples
from tests.helpers.flows.flow_folders import good
from wizard.errors import FlowError
from wizard.flow.loading.flow_loader import load_files
from wizard.flow.loading.shipped_flows import shipped
from wizard.flow.loading.static_check import Examined, examine
from wizard.flow.parsing.flow_files import read_folder

NAMES = sorted(
    n
    for n in good()
    if not n.startswith("library/") or n in ("library/machine.toml", "library/procedures/isolation/dead.toml")
)
TOML = [name for name in NAMES if name.endswith(".toml")]
FEW = settings(max_examples=examples(60), deadline=None, suppress_health_check=list(HealthCheck))

WRONG = st.one_of(
    st.booleans(),
    st.integers(-(10**30), 10**30),
    st.just(10**400),
    st.floats(),
    st.text(max_size=8),
    st.sampled_from(
        ["", "end", "any", "stop:live", "dampers.pull", "covered", "x" * 700, "\x00", "\u202e", "a\nb"]
    ),
    st.dates(),
    st.times(),
    st.lists(st.one_of(st.integers(), st.text(max_size=3)), max_size=3),
    st.dictionaries(st.text(max_size=4), st.one_of(st.integers(), st.text(max_size=3)), max_size=2),
    st.just([{}]),
    st.just([[[]]]),
)


def placed(found: Examined, files: dict[str, bytes]) -> None:
    """Every problem is one line of text at a place within its file."""
    for problem in found.problems:
        assert "\n" not in str(problem)
        assert problem.text and problem.rule
        lines = files.get(problem.file, b"").decode("utf-8-sig", "replace").split("\n")
        assert 1 <= problem.line <= len(lines)
        assert 1 <= problem.column <= len(lines[problem.line - 1]) + 2


def paths(value: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """Every path in a document."""
    if path:
        yield path
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from paths(inner, (*path, key))
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            yield from paths(inner, (*path, index))


def changed(name: str, path: tuple[str | int, ...], value: Any) -> bytes:
    """The file with the value at a path replaced."""
    document = tomllib.loads(good()[name].decode())
    inner: Any = document
    for part in path[:-1]:
        inner = inner[part]
    inner[path[-1]] = value
    return tomli_w.dumps(document).encode("utf-8", "replace")


@pytest.mark.parametrize("name", NAMES)
def test_a_file_cut_off_anywhere_is_explained(name: str) -> None:
    """A file that ends too early, at any of many places (more by night), gives problems with places."""
    data = good()[name]
    for end in range(0, len(data), max(1, len(data) // examples(40))):
        files = good(**{name: data[:end]})
        placed(examine(files), files)


@FEW
@given(name=st.sampled_from(NAMES), data=st.binary(max_size=200), where=st.floats(0, 1))
def test_bytes_of_any_kind_are_explained(name: str, data: bytes, where: float) -> None:
    """Random bytes put into a file anywhere give problems with places."""
    whole = good()[name]
    at = int(where * len(whole))
    files = good(**{name: whole[:at] + data + whole[at:]})
    placed(examine(files), files)


@FEW
@given(data=st.data())
def test_a_wrong_value_at_any_key_is_explained(data: st.DataObject) -> None:
    """A value of any type in the place of any other gives problems with places, or is a sound value too."""
    name = data.draw(st.sampled_from(TOML))
    path = data.draw(st.sampled_from(list(paths(tomllib.loads(good()[name].decode())))))
    files = good(**{name: changed(name, path, data.draw(WRONG))})
    found = examine(files)
    placed(found, files)
    if not found.sound and any(
        not p.file.startswith("cases/") for p in found.problems if p.severity == "error"
    ):
        with pytest.raises(FlowError):
            load_files(files)


@pytest.mark.parametrize("name", TOML)
def test_every_key_taken_out_is_noticed_or_may_be(name: str) -> None:
    """Without any one of its keys a file gives problems with places, or is sound still."""
    document = tomllib.loads(good()[name].decode())
    every = [p for p in paths(document) if isinstance(p[-1], str)]
    for path in every[:: max(3, len(every) // examples(25))]:
        again: Any = tomllib.loads(good()[name].decode())
        inner = again
        for part in path[:-1]:
            inner = inner[part]
        del inner[path[-1]]
        files = good(**{name: tomli_w.dumps(again).encode()})
        placed(examine(files), files)


@pytest.mark.parametrize("name", TOML)
def test_every_key_misspelt_is_noticed(name: str) -> None:
    """With every key of a file misspelt, each is an error at its place: all of them at once."""
    lines = good()[name].decode().split("\n")
    wrong = [n for n, line in enumerate(lines) if line.partition(" = ")[0].isidentifier() and " = " in line]
    for number in wrong:
        lines[number] = lines[number].replace(" = ", "x = ", 1)
    found = examine(good(**{name: "\n".join(lines).encode()})).problems
    keys = {(p.line, p.column) for p in found if p.file == name and p.rule == "key"}
    assert keys == {(number + 1, 1) for number in wrong}
    for problem in found:
        if problem.rule == "key" and problem.file == name:
            assert f'"{lines[problem.line - 1].partition(" = ")[0]}" is not a key here' in problem.text


@pytest.mark.parametrize(
    "text",
    [
        "a = " + "[" * 5000,
        "a = " + "{b=" * 3000,
        "a = " + "[" * 400 + "]" * 400,
        "a = " + "9" * 6000,
        "a.b.c.d.e = 1\n" * 3,
        "[" + "a." * 3000 + "b]",
        'a = "\\ud800"',
        "a = 2020-13-45",
        "\x00",
        "",
        "[flow",
        "[[flow]]",
        "flow = 3",
        "[[inspection]]\n[[inspection.step]]",
    ],
    ids=range(14),
)
def test_hostile_texts_are_explained(text: str) -> None:
    """Deep nesting, huge numbers, lone surrogates and the like give problems with places."""
    for name in ("flow.toml", "limits.toml", "inspections/dampers.toml", "cases/worn.toml"):
        files = good(**{name: text.encode("utf-8", "surrogatepass")})
        found = examine(files)
        placed(found, files)
        assert found.problems


@pytest.mark.parametrize("key", ["[", "[x", "[key]", "[any]", "[choose]"])
def test_a_key_that_looks_like_a_tag_is_named_like_any_other(key) -> None:
    """At the top, in a step, in a table of names: where it stands, and what may stand there."""
    content = dict(read_folder(shipped()["washer-shake"]))
    name = "inspections/suspension/dampers.toml"
    dampers = content[name]
    for text in (
        f'"{key}" = 1\n'.encode() + dampers,
        dampers.replace(b'kind = "choose"\n', f'kind = "choose"\n"{key}" = 1\n'.encode(), 1),
        dampers.replace(b"so = { ", f'so = {{ "{key}" = ["x"], '.encode(), 1),
    ):
        found = [p for p in examine({**content, name: text}).problems if key in p.text]
        assert found and all(p.file == name and p.line for p in found)
