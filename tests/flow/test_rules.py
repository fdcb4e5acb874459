"""The rules' tools: ways through an inspection, machines, and the lines a text takes."""

from __future__ import annotations

import textwrap
from itertools import pairwise, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.helpers.flows.flow_folders import GOOD
from wizard.calculators import CALCULATORS, SAME
from wizard.domain.vocabulary import Severity
from wizard.flow.loading.flow_loader import load
from wizard.flow.model import (
    END,
    Answer,
    ChooseStep,
    Destination,
    Flow,
    Inspection,
    TellStep,
    Unable,
    fits,
)
from wizard.flow.problems import Problem, errors, nearest, tidy
from wizard.flow.rules.machine_fact_rules import machines
from wizard.flow.rules.step_graph import _found, _unbounded, edges, say
from wizard.flow.rules.text_fit import columns, lines
from wizard.measure.quantities.units import dimension, find


@pytest.fixture(scope="module")
def flow() -> Flow:
    return load(GOOD)


def inspection(ways: dict[str, list[str]], most: tuple[tuple[str, str], ...] = ()) -> Inspection:
    """An inspection whose steps lead where ``ways`` says; ``most`` are the bounded ones, which end after that."""
    steps = tuple(
        ChooseStep(
            id=start,
            do="Look.",
            reach="look",
            answers=tuple(
                Answer(
                    id=f"a{n}",
                    next=Destination.parse(end),
                    most=2 if (start, end) in most else 0,
                    then=END if (start, end) in most else None,
                )
                for n, end in enumerate(ends)
            ),
        )
        for start, ends in ways.items()
    )
    return Inspection("i", "I", 1, steps)


def test_a_loop_that_is_bounded_is_none() -> None:
    """With most on the way back there is nothing to report; without it the loop is named."""
    ways = {"a": ["b"], "b": ["a", "end"]}
    assert say(_unbounded(inspection(ways))) == "a (a0) > b (a0) > a"
    assert _unbounded(inspection(ways, (("b", "a"),))) == ()


STEPS = st.integers(1, 6).flatmap(
    lambda n: st.lists(
        st.lists(st.sampled_from([*(f"s{k}" for k in range(n)), "end"]), min_size=1, max_size=3),
        min_size=n,
        max_size=n,
    )
)


@settings(max_examples=100, deadline=None)
@given(STEPS)
def test_loops_and_what_is_reached_agree_with_walking_every_path(shape: list[list[str]]) -> None:
    """Against an oracle that walks all paths of up to n steps."""
    ways = {f"s{k}": ends for k, ends in enumerate(shape)}
    one = inspection(ways)
    paths = [["s0"]]
    for _ in shape:
        paths += [[*p, end] for p in paths if p[-1] in ways for end in ways[p[-1]]]
        paths = [list(p) for p in {tuple(p) for p in paths}]
    assert set(_found(one)) == {p[-1] for p in paths if p[-1] in ways}
    cyclic = {s for s in ways if _back(ways, s)}
    loop = _unbounded(one)
    assert bool(loop) == bool(cyclic)
    if loop:
        assert loop[-1].end.step == loop[0].start
        assert all(before.end.step == after.start for before, after in pairwise(loop))


def _back(ways: dict[str, list[str]], start: str) -> bool:
    """True if a step can be come back to, by closure."""
    seen: set[str] = set()
    new = set(ways[start])
    while new - seen:
        seen |= new
        new = {end for s in seen if s in ways for end in ways[s]}
    return start in seen


def test_every_way_of_a_step_is_an_edge() -> None:
    """next, then, stop and unable are all edges; what comes back by most is bounded."""
    answers = (
        Answer(id="again", next=Destination.to_step("a"), most=2, then=Destination.to_stop("not-ready")),
        Answer(id="on"),
        Answer(id="bad", stop="gas"),
    )
    unable = Unable(stop="not-ready")
    steps = (
        ChooseStep(id="a", do="Look.", reach="look", answers=answers, unable=unable),
        TellStep(id="b", do="Look.", reach="look"),
    )
    one = Inspection("i", "I", 1, steps)
    assert [(str(e.end), e.bounded) for e in edges(one.steps[0])] == [
        ("a", True),
        ("stop:not-ready", False),
        ("b", False),
        ("stop:gas", False),
        ("stop:not-ready", False),
    ]


def test_machines_are_every_combination_that_can_be(flow: Flow) -> None:
    """Against an enumeration of all values: a front loader has dampers, a top loader none; a stop is no machine."""
    found = list(machines(flow, ["dampers", "stacked"]))
    assert found == [
        {"kind": "front-loader", "dampers": "2", "stacked": "no"},
        {"kind": "front-loader", "dampers": "3", "stacked": "no"},
        {"kind": "top-loader", "stacked": "no"},
    ]
    assert list(machines(flow, [])) == [{}]
    every = [
        dict(zip(("kind", "dampers"), v, strict=True))
        for v in product(("front-loader", "top-loader"), ("2", "3"))
    ]
    front = [m for m in every if fits({"kind": ("front-loader",)}, m)]
    assert [m for m in machines(flow, ["dampers"]) if "dampers" in m] == front


@settings(max_examples=100, deadline=None)
@given(st.text("abc d", max_size=200), st.integers(5, 40))
def test_lines_are_those_of_a_standard_wrapper(text: str, width: int) -> None:
    """The count is that of textwrap, exactly where no word is longer than a line."""
    text = " ".join(text.split())
    wrapped = max(1, len(textwrap.wrap(text, width)))
    longer = sum(len(word) > width for word in text.split())
    assert abs(lines(text, width) - wrapped) <= longer


def test_wide_letters_take_two_columns() -> None:
    """Unicode's East Asian Width: full-width letters take two columns, combining marks none (UAX 11)."""
    assert columns("ab") == 2
    assert columns("\u6d17") == 2
    assert columns("e\u0301") == 1
    assert lines("\u6d17" * 20, 20) == 2


def test_line_breaks_in_a_text_count() -> None:
    """Each line of a text begins a line on the screen."""
    assert lines("One.\nTwo.\nThree.", 74) == 3


def test_problems_are_one_line_sorted_and_once() -> None:
    """A problem is file:line:column and text; warnings say so; the order is that of places."""
    late = Problem("b.toml", 2, 1, "later", "key")
    early = Problem("a.toml", 12, 3, "earlier", "key", Severity.WARNING)
    assert tidy([late, early, late]) == (early, late)
    assert str(early) == "a.toml:12:3 warning: earlier"
    assert errors((early, late)) == (late,)


def test_the_nearest_name_is_offered_only_if_near() -> None:
    """A near name is offered, a far one isn't."""
    assert nearest("damper-drg", ["damper-drag", "feet"]) == ' Did you mean "damper-drag"?'
    assert nearest("xyz", ["damper-drag", "feet"]) == ""


@pytest.mark.parametrize("name", CALCULATORS)
def test_calculators_are_declared_in_units_that_exist(name: str) -> None:
    """A calculator's result has a unit of its dimension, or the dimension of its inputs."""
    calculator = CALCULATORS[name]
    assert calculator.id == name
    assert calculator.says
    if calculator.dimension == SAME:
        assert any(i.dimension == SAME for i in calculator.inputs.values())
    else:
        assert dimension(calculator.unit) == calculator.dimension
    for setting in calculator.settings.values():
        assert find(setting.unit)
        assert setting.low < setting.high
