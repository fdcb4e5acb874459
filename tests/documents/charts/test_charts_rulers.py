"""The rulers of the papers: those of the screens, as text, for every reading that was judged."""

from __future__ import annotations

from tests.documents.charts.test_charts_steps import played
from wizard.documents.charts.judged_rulers import judged_rulers
from wizard.documents.charts.limit_ruler import limit_ruler
from wizard.documents.content.measurements import measured
from wizard.documents.papers.customer_handover import customer_handover
from wizard.documents.papers.sections.chart_sections import ruler_section
from wizard.documents.papers.technician_record import technician_record
from wizard.documents.text.limit_text import value
from wizard.documents.writers.markdown import MARKDOWN
from wizard.engine.state.job_state import State
from wizard.screens.widgets.readings import ruler_box as widget


def judged(view):
    """What was judged, by inspection and step: the items of each."""
    steps = {}
    for m in measured(view):
        if m.limit and m.before and m.before.verdict:
            steps.setdefault((m.inspection, m.step), []).append(m)
    return steps


def test_every_judged_step_has_its_ruler_in_the_record() -> None:
    """As many as there are, each with the value that decides in the words of the record."""
    view = played("dampers-worn-two")
    found = [p for p in judged_rulers(view) if not p.after]
    steps = judged(view)
    assert len(found) == len(steps) > 10
    for picture, items in zip(found, steps.values(), strict=True):
        values = [value(m.before, m.unit).replace("±", "+-") for m in items]
        assert any(v in picture.ascii_chart.words[-1] for v in values) and picture.ascii_chart.words[
            -1
        ].endswith(("pass", "watch", "fail"))


def test_it_is_what_the_screen_shows() -> None:
    """Line for line as on a terminal that knows ASCII alone, but for the source below, which the record has once."""
    view = played("dampers-worn-two")
    for items in judged(view).values():
        given = [m.before for m in items]
        shown = [line.plain.rstrip() for line in widget.ruler(items[0].limit, given, 64, True, items[0].unit)]
        chart = limit_ruler(items[0].limit, given, items[0].unit, 64, plain=True)
        printed = [line.rstrip() for line in chart.rows]
        assert shown[: len(printed)] == printed and len(printed) == 4


def test_a_failed_reading_stands_in_its_band() -> None:
    """The mark of the weak dampers lies left of the first edge, 30 N on this machine's limit; ASCII, and it fits."""
    view = played("dampers-worn-two")
    (pull,) = [p for p in judged_rulers(view) if not p.after and "Drag of one damper" in p.title]
    (bands, _edges, marks), (words,) = pull.ascii_chart.lines, pull.ascii_chart.words
    assert words.startswith("worst: damper") and words.endswith("x fail")
    assert marks.index("^") < bands.index("|")
    assert all(row.isascii() and len(row) <= 80 for row in pull.ascii_chart.rows)


def test_the_customer_sees_what_was_wrong_and_how_it_is_now() -> None:
    """Only steps that did not pass, before and after; the record has all of them."""
    view = played("dampers-worn-two")
    papers = (technician_record(view), customer_handover(view))
    texts = (MARKDOWN.write(paper).decode() for paper in papers)
    full, brief = (t.partition("## Readings on their limits")[2].partition("\n## ")[0] for t in texts)
    assert full.count("```text") > brief.count("```text") > 1
    assert "x fail" in brief and "After the repair." in brief and brief.isascii()


def test_with_nothing_judged_there_is_no_section() -> None:
    """A job that has hardly begun."""
    view = played("dampers-worn-two")
    assert ruler_section(judged_rulers(view.at(State()))) is None
