"""The rulers of the papers: those of the screens, as text, for every reading that was judged."""

from __future__ import annotations

import sys
from pathlib import Path

from wizard.engine.state import State
from wizard.review.handover import summary
from wizard.review.measured import measured
from wizard.review.pictures import rulers
from wizard.review.pictures.ruler import ruler
from wizard.review.record import record
from wizard.review.words import value
from wizard.screens.widgets import ruler as widget

sys.path.insert(0, str(Path(__file__).parent))

from test_pictures_steps import played


def judged(flow, state):
    """What was judged, by inspection and step: the items of each."""
    steps = {}
    for m in measured(flow, state):
        if m.limit and m.before and m.before.verdict:
            steps.setdefault((m.inspection, m.step), []).append(m)
    return steps


def test_every_judged_step_has_its_ruler_in_the_record() -> None:
    """As many as there are, each with the value that decides in the words of the record."""
    flow, state = played("dampers-worn-two")
    found = [p for p in rulers.rulers(flow, state) if p.phase == "before"]
    steps = judged(flow, state)
    assert len(found) == len(steps) > 10
    for picture, items in zip(found, steps.values(), strict=True):
        values = [value(m.before, m.unit).replace("±", "+-") for m in items]
        assert any(v in picture.lines[-1] for v in values) and picture.lines[-1].endswith(
            ("pass", "watch", "fail")
        )


def test_it_is_what_the_screen_shows() -> None:
    """Line for line as on a terminal that knows ASCII alone, but for the source below, which the record has once."""
    flow, state = played("dampers-worn-two")
    for items in judged(flow, state).values():
        given = [m.before for m in items]
        shown = [line.plain.rstrip() for line in widget.ruler(items[0].limit, given, 64, True, items[0].unit)]
        printed = [line.rstrip() for line in ruler(items[0].limit, given, items[0].unit, 64, plain=True)]
        assert shown[: len(printed)] == printed and len(printed) == 4


def test_a_failed_reading_stands_in_its_band() -> None:
    """The mark of the weak dampers lies left of the first edge, 30 N on this machine's limit; ASCII, and it fits."""
    flow, state = played("dampers-worn-two")
    (pull,) = [
        p for p in rulers.rulers(flow, state) if p.phase == "before" and "Drag of one damper" in p.title
    ]
    bands, _edges, marks, words = pull.lines
    assert words.startswith("worst: damper") and words.endswith("x fail")
    assert marks.index("^") < bands.index("|")
    assert all(row.isascii() and len(row) <= 80 for row in pull.lines)


def test_the_customer_sees_what_was_wrong_and_how_it_is_now() -> None:
    """Only steps that did not pass, before and after; the record has all of them."""
    flow, state = played("dampers-worn-two")
    full = record(flow, state).partition("## Readings on their limits")[2].partition("\n## ")[0]
    brief = summary(flow, state, "0" * 64).partition("## Readings on their limits")[2].partition("\n## ")[0]
    assert full.count("```text") > brief.count("```text") > 1
    assert "x fail" in brief and "After the repair." in brief and brief.isascii()


def test_with_nothing_judged_there_is_no_section() -> None:
    """A job that has hardly begun."""
    flow, _state = played("dampers-worn-two")
    assert rulers.in_markdown(flow, State()) == []
