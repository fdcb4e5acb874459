"""A flow in lines of text: every way once, within its width, in ASCII where it must be."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from tests.flow.folders import GOOD
from tests.flow.hostile import hostile
from wizard.flow.draw import drawn, links
from wizard.flow.draw.words import clip, pad, to_plain, wrap
from wizard.flow.load import load
from wizard.flow.model import Flow
from wizard.flow.shipped import shipped
from wizard.flow.width import columns

WAY = re.compile(r"^│   [├└]─ (?:[✓✗] )?(.+?) ─+(?:[↓→↺■●]) (?:stop )?(\S+?)(?:,| ·|$)")
STEP = re.compile(r"^├─ (\S+) \[")


@pytest.fixture(scope="module")
def drain() -> Flow:
    """The second shipped flow."""
    return load(shipped()["washer-no-drain"])


@pytest.fixture(scope="module")
def good() -> Flow:
    """The small whole flow."""
    return load(GOOD)


def ways(lines: list[str]) -> list[tuple[str, str, str]]:
    """Step, answer and target of every way that the lines show."""
    found, step = [], ""
    for line in lines:
        if head := STEP.match(line):
            step = head[1]
        if way := WAY.match(line):
            found.append((step, way[1], way[2]))
    return found


def test_every_way_of_an_inspection_is_one_line(drain: Flow, good: Flow) -> None:
    """Wide enough, the tree holds each link once with where it goes, and nothing else."""
    for flow in (drain, good):
        for inspection in flow.inspections.values():
            wanted = [
                (
                    link.step,
                    link.answer + (", used up" if link.kind == "then" else ""),
                    link.stop or link.goes,
                )
                for link in links(inspection)
            ]
            assert ways(drawn(flow, inspection.id, width=120)) == wanted


@pytest.mark.parametrize("width", [40, 61, 80, 120])
@pytest.mark.parametrize("plain", [False, True])
def test_no_line_is_too_wide(drain: Flow, good: Flow, width: int, plain: bool) -> None:
    """Whatever a flow says, its lines fit."""
    for flow in (drain, hostile(good)):
        for name in (None, *flow.inspections):
            for covered in (None, set()):
                assert all(columns(line) <= width for line in drawn(flow, name, width, plain, covered))


def test_plain_is_ascii_and_says_the_same(drain: Flow) -> None:
    """In ASCII there are as many lines, and every way has a sign for where it lies."""
    for name in (None, *drain.inspections):
        fancy, plain = drawn(drain, name), drawn(drain, name, plain=True)
        assert len(plain) == len(fancy) and all(line.isascii() for line in plain)
        assert [len(line) for line in plain] == [len(line) for line in fancy]
    assert "|   +- not-yet ----------@ still, at most 3 times" in drawn(
        drain, "gate-isolate-front", plain=True
    )


def test_plain_of_letters_that_ascii_lacks() -> None:
    """Accents go, signs are spelt, and what is left is a question mark."""
    assert to_plain("Tür 40 °C, 5 µF, „ok“ 雪") == 'Tur 40 degC, 5 uF, ?ok" ?'


def test_signs_of_the_tree(drain: Flow) -> None:
    """Loops say their bound, stops their name, the end of a gate the state, and effects stand at their answers."""
    lines = drawn(drain, "gate-isolate-front")
    assert "│   ├─ not-yet ──────────↺ still, at most 3 times" in lines
    assert "│   ├─ not-yet, used up ─■ stop too-hot" in lines
    assert "● end: the machine counts as isolated" in lines
    assert any(line.endswith("↓ start · owes plug-out") for line in lines)
    assert drawn(drain, "pump")[1:3] == [
        "  worked while proved-dead, 12 min",
        "  opens panel: The panel over the pump is off.",
    ]
    assert "energised" in drawn(drain, "pump-run")[1]


def test_a_way_ahead_is_told_from_the_next_step(drain: Flow) -> None:
    """An arrow down for the step below, one to the right for a step further on."""
    lines = drawn(drain, "hoses-pressure")
    assert any("├─ dry" in line and "● end" in line for line in lines)
    assert any("bead ─" in line and "↓ tighten" in line for line in lines)
    changed = replace(drain.inspections["hose"].steps[0].answers[0], next="pour")
    steps = (
        replace(drain.inspections["hose"].steps[0], answers=(changed,)),
        *drain.inspections["hose"].steps[1:],
    )
    flow = replace(drain, inspections={"hose": replace(drain.inspections["hose"], steps=steps)})
    assert any("→ pour" in line for line in drawn(flow, "hose"))


def test_the_overview_has_every_inspection_once_in_order(drain: Flow) -> None:
    """Those of the order one after the other, each with its states, and each kind of gate before what needs it."""
    lines = drawn(drain)
    rows = [line.split()[5] for line in lines if re.match(r"^[●·]  [●·]", line)]
    assert rows == [*drain.find, *drain.prove, drain.leave, drain.handover]
    gates = [line for line in lines if "gate to" in line]
    assert [re.search(r"gate to (\S+):", g)[1] for g in gates] == [
        "isolated",
        "proved-dead",
        "wet",
        "proving",
    ]  # type: ignore[index]
    at = {name: number for number, line in enumerate(lines) for name in line.split()}
    assert at["filter"] > lines.index(gates[0]) and at["drain-test"] > lines.index(gates[3])


def test_the_overview_says_what_opens_and_closes(drain: Flow) -> None:
    """Panels and other debts stand under the inspections that open and close them."""
    lines = [line.strip() for line in drawn(drain, width=120)]
    assert "opens top-cover" in lines
    assert "opens service-cover" in lines, "in a gate to proved dead"
    assert "owes plug-out, taps-off, hose-out" in lines and "opens filter-open" in lines
    assert "closes wires-off, panel, top-cover, service-cover, filter-open" in lines
    assert "pays hose-out, moved" in lines


def test_coverage_is_counted_and_marked(drain: Flow) -> None:
    """Of each inspection how many ways cases go; in the tree a sign at every way."""
    keys = {link.key for link in links(drain.inspections["look"])}
    row = next(line for line in drawn(drain, covered=keys) if " look " in line)
    total = len([k for k in keys if not k.endswith(":unable")])
    assert row.endswith(f"{total}/{total}")
    tree = drawn(drain, "look", covered={"look.before:gas"})
    assert sum("✓" in line for line in tree) == 2 and any("✓ gas ─" in line for line in tree)


def test_what_is_on_the_job_map_only_is_listed_too(drain: Flow) -> None:
    """An inspection that no order names has a part of its own."""
    lines = drawn(replace(drain, find=drain.find[:-1]))
    assert " pressure " in lines[lines.index("On the job map only") + 1]


def test_bad_arguments() -> None:
    """Too narrow a width names the argument; an unknown inspection is a KeyError."""
    flow = load(GOOD)
    with pytest.raises(ValueError, match="width: 39 columns"):
        drawn(flow, width=39)
    with pytest.raises(KeyError, match="nowhere"):
        drawn(flow, "nowhere")


@pytest.mark.parametrize(
    ("text", "width", "cut"), [("abc", 3, "abc"), ("abcd", 3, "ab…"), ("雪雪", 3, "雪…"), ("a", 0, "")]
)
def test_clip(text: str, width: int, cut: str) -> None:
    """Wide letters count twice, and what is cut says so."""
    assert clip(text, width) == cut
    assert columns(pad(text, width)) == width


def test_wrap_breaks_between_words_and_cuts_what_no_line_holds() -> None:
    """Lead-ins count, wide letters too."""
    assert wrap("one two three", 9, "> ", "  ") == ["> one two", "  three"]
    assert wrap("x" * 12, 6) == ["xxxxx…"]
    assert wrap("", 6, "- ") == ["- "]
    assert wrap("雪雪 雪雪", 6) == ["雪雪", "雪雪"]
