"""Mermaid text: each way once, no text of a flow read as syntax; parts, reaches, bounds and coverage in sight."""

from __future__ import annotations

import html
import re
import shutil
import subprocess
from pathlib import Path

import pytest

from tests.helpers.flows.flow_folders import GOOD
from tests.helpers.hostile_texts import TEXTS, hostile
from wizard.domain.references import StepRef
from wizard.flow.diagrams import links, mermaid
from wizard.flow.diagrams.mermaid import Ids, escape
from wizard.flow.diagrams.step_links import LinkKey, parts
from wizard.flow.loading.flow_loader import load
from wizard.flow.model import Flow

ARROW = re.compile(r'^    (\w+) (-->|-\.->)\|"([^"]*)"\| (\w+)$')
NODE = re.compile(r'^\s+(\w+)(?:\["[^"]*"\]|\(\["[^"]*"\]\)|\{\{"[^"]*"\}\})(?::::\w+)?$')

A, B = (LinkKey(StepRef("quick", "bolts"), answer) for answer in ("yes", "no"))
"""Two ways of the small good flow."""


@pytest.fixture(scope="module")
def good() -> Flow:
    """The small whole flow."""
    return load(GOOD)


def arrows(text: str) -> list[tuple[str, str, str, str]]:
    """Start, arrow, label and end of every way drawn."""
    return [m.groups() for line in text.splitlines() if (m := ARROW.match(line))]  # type: ignore[misc]


def read(label: str) -> str:
    """The label as a page shows it: Mermaid writes an entity as #35; where HTML writes &#35;."""
    return html.unescape(re.sub(r"#(\d+);", r"&#\1;", label.replace("<br/>", "\n")))


def test_every_way_is_drawn_once(good: Flow) -> None:
    """Start, answer and end of each link stand in one line, and nothing else does."""
    ids = Ids(good)
    wanted = [
        (ids.step(i.id, link.step), link.answer, ids.target(link))
        for i in good.inspections.values()
        for link in links(i)
    ]
    drawn = [(a, re.split(r",|\n", read(label))[0], b) for a, _arrow, label, b in arrows(mermaid(good))]
    assert drawn == wanted and len(wanted) > 200


def test_every_node_is_declared_once(good: Flow) -> None:
    """Each step, end and stop is one node, and every arrow joins two of them."""
    text = mermaid(good)
    nodes = [m[1] for line in text.splitlines() if (m := NODE.match(line))]
    steps = sum(len(i.steps) for i in good.inspections.values())
    assert len(nodes) == len(set(nodes)) == steps + len(good.inspections) + len(good.stops)
    assert {end for a, _arrow, _label, b in arrows(text) for end in (a, b)} <= set(nodes)


@pytest.mark.parametrize("text", TEXTS)
def test_escaped_text_reads_as_it_was_written(text: str) -> None:
    """No quote, bracket, pipe, hash or list mark is left, and a page shows the same words."""
    said = escape(text)
    assert not set(said) & set('"|[](){}<>`\\\n') and not re.match(r"\d+[.)]|[-*+]", said)
    assert "&" not in said and read(said) == " ".join(text.split())


def test_hostile_texts_change_no_line(good: Flow) -> None:
    """Every line of a drawing full of hostile texts is a node, a way, or one of a few fixed forms."""
    text = mermaid(hostile(good))
    fixed = re.compile(
        r'^\s*(flowchart TB|classDef [\w ,:-]+|subgraph \w+\["[^"]*"\]|end|\w+ ---\|"next"\| \w+)$'
    )
    odd = [
        line for line in text.splitlines() if not (ARROW.match(line) or NODE.match(line) or fixed.match(line))
    ]
    assert odd == []
    begun = sum(line.strip().startswith("subgraph ") for line in text.splitlines())
    assert begun == sum(line.strip() == "end" for line in text.splitlines())
    drawn = {read(label).split("\n")[0] for _a, _arrow, label, _b in arrows(text)}
    assert {" ".join(t.split()) for t in TEXTS if "," not in t} <= drawn


def test_parts_procedures_reaches_and_bounds_are_in_sight(good: Flow) -> None:
    """A subgraph a part of the job; what is asked one by one has a class; reaches and bounds stand in the labels."""
    text = mermaid(good)
    for number, heading in enumerate(parts(good)):
        assert f'subgraph g{number}["{escape(heading.upper())}"]' in text
    assert "<br/>reach terminals" in text and ":::procedure" in text
    assert 'subgraph stopped["STOPPED"]' in text and "so gas stopped" in text
    labels = {read(label) for _a, _arrow, label, _b in arrows(text)}
    assert any("at most " in label for label in labels) and any(", used up" in label for label in labels)
    assert "done\nso tape yes" in labels


def test_the_order_is_drawn(good: Flow) -> None:
    """Each inspection of the flow's order is joined to the next, the last proof to the handover."""
    assert mermaid(good).count('---|"next"|') == len(good.find) - 1 + len(good.prove)


def test_what_no_case_covers_is_dotted(good: Flow) -> None:
    """Ways that cases go are solid, all others dotted; a step that none comes to has a class of its own."""
    (first, *_) = good.inspections.values()
    keys = {link.key for link in links(first)}
    text = mermaid(good, keys)
    name = Ids(good).inspections[first.id]
    solid = {a for a, arrow, _label, _b in arrows(text) if arrow == "-->"}
    assert solid and all(a.startswith(f"{name}s") for a in solid)
    assert sum(arrow == "-->" for _a, arrow, _label, _b in arrows(text)) == len(keys)
    uncovered = {m[1] for m in re.finditer(r"(i\d+)s\d+\[.*:::uncovered", text)}
    assert uncovered == set(Ids(good).inspections.values()) - {name}


def test_the_drawing_is_the_same_every_time(good: Flow) -> None:
    """Nothing depends on the order of a set."""
    assert mermaid(good, {A, B}) == mermaid(good, {B, A})


@pytest.mark.nightly
def test_the_library_itself_reads_it(good: Flow, tmp_path: Path) -> None:
    """The parser of Mermaid (from npm, with jsdom for a page) accepts each drawing and counts the same ways."""
    npm, node = shutil.which("npm"), shutil.which("node")
    if npm is None or node is None:
        pytest.skip("node and npm are not here")
    got = subprocess.run(
        [npm, "install", "--silent", "mermaid@11", "jsdom@26"], cwd=tmp_path, capture_output=True, text=True
    )
    if got.returncode:
        pytest.skip(f"npm can't fetch Mermaid: {got.stderr.splitlines()[-1:]}")
    (tmp_path / "read.mjs").write_text(_READ, encoding="utf-8")
    for flow in (good, hostile(good)):
        (tmp_path / "flow.mmd").write_text(mermaid(flow), encoding="utf-8")
        done = subprocess.run([node, "read.mjs", "flow.mmd"], cwd=tmp_path, capture_output=True, text=True)
        assert done.returncode == 0, done.stderr[-800:]
        ways = sum(len(links(i)) for i in flow.inspections.values())
        assert int(done.stdout) == ways + len(flow.find) - 1 + len(flow.prove)


_READ = """
import { JSDOM } from 'jsdom'; import fs from 'fs';
const page = new JSDOM('<!DOCTYPE html><body></body>');
globalThis.window = page.window; globalThis.document = page.window.document;
const mermaid = (await import('mermaid')).default;
mermaid.initialize({ maxEdges: 100000, maxTextSize: 10000000 });
const read = await mermaid.mermaidAPI.getDiagramFromText(fs.readFileSync(process.argv[2], 'utf8'));
console.log(read.db.getEdges().length);
"""
