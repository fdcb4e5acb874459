"""A flow in lines of text: every way once, within its width, in ASCII where it must be."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from tests.helpers.flows.flow_folders import GOOD
from tests.helpers.hostile_texts import hostile
from wizard.domain.references import StepRef
from wizard.flow.diagrams import drawn, links
from wizard.flow.diagrams.step_links import LinkKey, LinkKind
from wizard.flow.diagrams.text_fitting import clip, pad, to_plain, wrap
from wizard.flow.loading.flow_loader import load
from wizard.flow.model import Answer, ChooseStep, Destination, Flow, Inspection, TellStep
from wizard.flow.text_width import columns

WAY = re.compile(r"^│   [├└]─ (?:[✓✗] )?(.+?) ─+(?:[↓→↺■●]) (?:stop )?(\S+?)(?:,| ·|$)")
STEP = re.compile(r"^├─ (\S+) \[")


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


def test_every_way_of_an_inspection_is_one_line(good: Flow) -> None:
    """Wide enough, the tree holds each link once with where it goes, and nothing else."""
    for inspection in good.inspections.values():
        wanted = [
            (
                link.step,
                link.answer + (", used up" if link.kind is LinkKind.THEN else ""),
                link.stop or str(link.goes),
            )
            for link in links(inspection)
        ]
        assert ways(drawn(good, inspection.id, width=120)) == wanted


@pytest.mark.parametrize(
    ("width", "plain"),
    [
        (40, False),
        (80, True),
        *(pytest.param(w, p, marks=pytest.mark.nightly) for w in (61, 120) for p in (False, True)),
    ],
)
def test_no_line_is_too_wide(good: Flow, width: int, plain: bool) -> None:
    """Whatever a flow says, its lines fit."""
    for flow in (good, hostile(good)):
        for name in (None, *flow.inspections):
            for covered in (None, set()):
                assert all(columns(line) <= width for line in drawn(flow, name, width, plain, covered))


def test_plain_is_ascii_and_says_the_same(good: Flow) -> None:
    """In ASCII there are as many lines, and every way has a sign for where it lies."""
    for name in (None, *good.inspections):
        fancy, plain = drawn(good, name), drawn(good, name, plain=True)
        assert len(plain) == len(fancy) and all(line.isascii() for line in plain)
        assert [len(line) for line in plain] == [len(line) for line in fancy]


def test_plain_of_letters_that_ascii_lacks() -> None:
    """Accents go, signs are spelt, and what is left is a question mark."""
    assert to_plain("Tür 40 °C, 5 µF, „ok“ 雪") == 'Tur 40 degC, 5 uF, ?ok" ?'


LOOP = Inspection(
    "look",
    "Look",
    3,
    (
        ChooseStep(
            id="still",
            do="Is it still?",
            reach="look",
            needs={"supply": frozenset(("held", "cut"))},
            may={"motion": frozenset(("still", "turning"))},
            answers=(
                Answer(id="no", next=Destination.to_step("still"), most=3, then=Destination.to_stop("gas")),
                Answer(id="yes", so={"motion": frozenset(("still",))}),
                Answer(id="skip", next=Destination.to_step("last")),
            ),
        ),
        TellStep(id="next", do="Go on.", reach="look"),
        TellStep(id="last", do="End.", reach="talk"),
    ),
)


def test_signs_of_the_tree(good: Flow) -> None:
    """Loops say their bound, stops their name; what is needed, what may come of it and what is so stand there."""
    lines = drawn(replace(good, inspections={"look": LOOP}), "look")
    assert "│   ├─ no ──────────↺ still, at most 3 times" in lines
    assert "│   ├─ no, used up ─■ stop gas" in lines
    assert "│   ├─ yes ─────────↓ next · so motion still" in lines
    assert "│   ├─ skip ────────→ last" in lines
    assert lines[3:7] == [
        "├─ still [choose] Is it still?",
        "│    reach look",
        "│    needs supply cut or held",
        "│    may motion still or turning",
    ]


def test_the_overview_has_every_inspection_once_in_order(good: Flow) -> None:
    """Those of the order one after the other, then what is asked where something must be so, as it is asked."""
    rows = [line.split()[1] for line in drawn(good) if line[:2] in ("● ", "▶ ") and " min" in line]
    asked = [name for name in good.procedures if name != "quick"]
    assert rows == [*good.find, *good.prove, good.leave, good.handover, *asked]


def test_the_overview_says_where_hands_go_and_what_is_established(good: Flow) -> None:
    """Below each inspection its reaches; below a procedure the conditions that it establishes."""
    lines = [line.strip() for line in drawn(good, width=120)]
    at = next(n for n, line in enumerate(lines) if line.startswith("▶ ready"))
    assert lines[at + 1 : at + 3] == ["reach touch", "establishes tape"]
    assert (
        lines[next(n for n, line in enumerate(lines) if line.startswith("● motor")) + 1] == "reach terminals"
    )


def test_coverage_is_counted_and_marked(good: Flow) -> None:
    """Of each inspection how many ways cases go; in the tree a sign at every way."""
    keys = {link.key for link in links(good.inspections["quick"])}
    row = next(line for line in drawn(good, covered=keys) if " quick " in line)
    total = len([k for k in keys if k.kind is not LinkKind.UNABLE])
    assert row.endswith(f"{total}/{total}")
    tree = drawn(good, "quick", covered={LinkKey(StepRef("quick", "bolts"), "yes")})
    assert sum("✓" in line for line in tree) == 2 and any("✓ yes ─" in line for line in tree)


def test_what_is_on_the_job_map_only_is_listed_too(good: Flow) -> None:
    """An inspection that no order names has a part of its own."""
    lines = drawn(replace(good, find=good.find[:-1]))
    assert " motor " in lines[lines.index("On the job map only") + 1]


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
