"""What is changed in a module, one thing at a time, and that a trial tells a wrong rule from the right one."""

from __future__ import annotations

import ast
from dataclasses import replace
from pathlib import Path

import pytest

from tests.mutation import kept
from tests.mutation.groups import equivalents, groups
from tests.mutation.pool import Pool
from tests.mutation.sites import changed, mutants


def becomes(source: str) -> set[str]:
    """All that a line may become."""
    return {ast.unparse(changed(source, m.number)) for m in mutants("some.py", source)}


@pytest.mark.parametrize(
    ("source", "expected"),
    [
        ("x = a < b", {"x = a <= b", "x = a >= b"}),
        ("x = a == b", {"x = a != b"}),
        ("x = a in b", {"x = a not in b"}),
        ("x = a is None", {"x = a is not None"}),
        ("x = a and b", {"x = a or b", "x = not a and b", "x = a and (not b)"}),
        ("x = not a", {"x = a"}),
        ("x = ~a | b", {"x = ~a & b", "x = a | b"}),
        ("x = a + 1", {"x = a - 1", "x = a + 2"}),
        ("x = 15 * 60.0", {"x = 15 / 60.0", "x = 16 * 60.0", "x = 15 * 61.0"}),
        ("x = True", {"x = False"}),
        ("x = 'text'", set()),
        ("x = any(a)", {"x = all(a)"}),
        ("x = max(a, b)", {"x = min(a, b)"}),
        ("x = {'a': b, 'c': d}", {"x = {'c': d}", "x = {'a': b}"}),
        ("x = frozenset(('a', 'b'))", {"x = frozenset(('b',))", "x = frozenset(('a',))"}),
        ("x = [a, b]", {"x = [b]", "x = [a]"}),
        ("x = a if b else c", {"x = a if not b else c"}),
        ("x = tuple(a for a in b if a)", {"x = tuple((a for a in b if not a))", "x = tuple((a for a in b))"}),
        ("x += a", {"x -= a", "pass"}),
        ("x.a = b", {"pass"}),
        ("f(a)", {"pass"}),
        ("raise a", {"pass"}),
        ("def f():\n    return a", {"def f():\n    return None"}),
    ],
)
def test_each_line_becomes_all_that_it_may(source, expected):
    assert becomes(source) == expected


@pytest.mark.parametrize(
    "source",
    [
        "import a",
        "x: int | None",
        "def f(a: int | None) -> int | str:\n    pass",
        "@dataclass(frozen=True)\nclass A(B[1]):\n    pass",
        "__all__ = ['a']",
        "A = tuple[int | None, str]",
        "'''Text.'''",
        "x = f'{a + 1}'",
        "x = field(compare=False, repr=False)",
        "x = zip(a, b, strict=True)",
    ],
)
def test_what_says_nothing_to_a_test_is_left_alone(source):
    assert mutants("some.py", source) == []


def test_a_name_tells_where_and_what_and_is_one_mutants_alone():
    source = "class A:\n    def f(self, a):\n        return others < ones or others < ones\n"
    names = [m.name for m in mutants("wizard/some.py", source)]
    same = "some.py A.f: others < ones -> others <= ones"
    assert {same, f"{same} #2"} <= set(names)
    assert len(names) == len(set(names))
    assert names == [m.name for m in mutants("wizard/some.py", f"# A line more.\n{source}")]


def test_a_change_that_is_not_there_is_an_error():
    with pytest.raises(IndexError, match="no change 9"):
        changed("x = 1", 9)


@pytest.mark.parametrize("name", groups())
def test_every_module_and_its_tests_are_there(name):
    """A file that was renamed would otherwise go untested."""
    for path, files in groups()[name].modules.items():
        assert Path(path).is_file() and all(Path(file.split()[0].split("::")[0]).is_file() for file in files)


def test_what_is_listed_as_equivalent_is_a_mutant_still_and_says_why():
    """A line that was rewritten since takes its entry with it."""
    known = {mutant.name for group in groups().values() for mutant in group.mutants()}
    listed = equivalents()
    assert set(listed) <= known
    assert all(why.endswith(".") and len(why) > 20 for why in listed.values())


def test_what_was_found_is_kept_while_the_module_is_the_same(tmp_path, monkeypatch):
    """A run that was broken off goes on; a module that changed is tried anew; the last result of a mutant counts."""
    monkeypatch.setattr(kept, "FOLDER", tmp_path / "kept")
    one = kept.Result("a.py f: a < b -> a <= b", kept.digest("a < b"), False, "", 0.5)
    first = kept.Kept("group", fresh=False)
    first.add(one)
    first.add(replace(one, killed=True, by="test_a.py::test_edge"))
    again = kept.Kept("group", fresh=False)
    found = again.holds(one.name, kept.digest("a < b"))
    assert found is not None and found.killed and found.by == "test_a.py::test_edge"
    assert again.holds(one.name, kept.digest("a <  b")) is None and again.holds("other", one.digest) is None
    assert kept.Kept("group", fresh=True).holds(one.name, one.digest) is None


@pytest.mark.nightly
def test_a_trial_tells_sixteen_minutes_from_fifteen():
    """The rule as it is passes; with a minute more the tests of lapses fail."""
    path, files = "wizard/engine/safety/flow_rules.py", ("tests/engine/handlers/test_lapse_limits.py",)
    wrong = next(m for m in mutants(path, Path(path).read_text(encoding="utf-8")) if "16 * 60.0" in m.name)
    pool = Pool(1)
    right = pool.one(path, None, files, 60.0, 120.0)
    assert right.passed and right.tests > 5
    outcome = pool.one(path, wrong.number, files, 60.0, 120.0)
    assert not outcome.passed and "test_lapse_limits" in outcome.first


@pytest.mark.nightly
def test_a_trial_that_does_not_end_is_ended():
    path, files = "wizard/safety/drift.py", ("tests/safety/test_safety_model.py",)
    endless = next(
        m for m in mutants(path, Path(path).read_text(encoding="utf-8")) if "bits ^= bit -> pass" in m.name
    )
    assert not Pool(1).one(path, endless.number, files, 2.0, 60.0).passed
