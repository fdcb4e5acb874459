"""The pictures of a session: taken from the shipped flow's own cases, and the same in the papers as on the screen."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import pytest

from wizard.documents.charts.session_chart import RenderOptions
from wizard.documents.charts.step_charts import step_chart, step_charts
from wizard.documents.papers.customer_handover import customer_handover
from wizard.documents.papers.sections.chart_sections import step_chart_section
from wizard.documents.papers.technician_record import technician_record
from wizard.documents.writers.markdown import MARKDOWN
from wizard.domain.references import StepRef
from wizard.domain.vocabulary import CaseAnswerKind
from wizard.flow.loading.case_loader import case_paths, load_file
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.model.case_form import CaseAnswer
from wizard.flowcheck.cases.case_player import _Player
from wizard.flowcheck.cases.case_script import Script


@lru_cache(maxsize=8)
def played(case_id: str, seen: tuple[str, str] = ("", "")):
    """A job at the end of one of the flow's cases, once with another answer ``seen`` at a step."""
    folder = folder_of("washer-shake")
    flow = load(folder, lambda _digest: True)
    path = next(p for p in case_paths(folder) if f'id = "{case_id}"' in p.read_text(encoding="utf-8"))
    case = next(c for c in load_file(path, flow) if c.id == case_id)
    if seen[0]:
        answer = CaseAnswer(CaseAnswerKind.ANSWER, ids=seen[1:])
        case = replace(case, answers={**case.answers, StepRef.parse(seen[0]): answer})
    player = _Player(flow, case, Script(case))
    assert player.run() == ""
    return player.driver.session.view


def at(case_id: str, inspection: str, step: str, options: RenderOptions | None = None) -> tuple[str, ...]:
    """The picture of a step, in the first run of its inspection."""
    view = played(case_id)
    run = next(r for r in view.state.runs if r.inspection == inspection)
    return step_chart(view, run, view.flow.inspections[inspection].step(step), options).rows


def test_the_play_of_a_cracked_spider_is_drawn_as_it_was_read() -> None:
    """The readings of the case: 0.2 to 3.0 mm, most at 6 o'clock."""
    assert at("spider-fl", "spider", "angles")[-1] == "0.20 mm to 3.00 mm, range 2.80 mm"
    assert at("spider-fl", "spider", "varies")[-1].startswith("Varies by 2.80 mm")


def test_run_out_is_drawn_from_the_readings_of_its_rim() -> None:
    """The compute step shows the rim that it was computed from."""
    assert at("spider-fl", "spider", "runout") == at("spider-fl", "spider", "rim")


def test_a_picture_follows_the_unit_it_is_looked_at_in() -> None:
    """In inches: 3 mm is 0.118 in."""
    assert "0.1181 in" in at("spider-fl", "spider", "angles", RenderOptions("in"))[-1]


def test_the_turns_of_the_feet_leave_out_those_that_set_themselves() -> None:
    """Self-adjusting rear feet: two that set themselves."""
    text = "\n".join(at("way-turns-rear", "close", "turns"))
    assert text.count("sets itself") == 2


def test_four_feet_get_their_turns() -> None:
    """With four that screw, each is said."""
    text = "\n".join(at("way-turns", "close", "turns"))
    assert "sets itself" not in text


def test_a_step_without_an_aid_has_no_picture() -> None:
    """The pull of the dampers is a table, no picture."""
    assert at("spider-fl", "dampers", "pull") == ()


def test_what_could_not_be_computed_has_no_picture() -> None:
    """With the dial left at home there is no play to draw."""
    assert at("way-no-dial", "spider", "varies") == ()
    assert at("way-no-dial", "spider", "runout") == ()


def test_a_rim_is_shown_once_with_what_came_of_it() -> None:
    """Of readings and what was computed from them only the latter is in the papers."""
    view = played("spider-fl")
    titles = [p.title for p in step_charts(view) if not p.after]
    spider = [t for t in titles if t.startswith(view.flow.inspections["spider"].title)]
    assert len(spider) == 2 and len(set(titles)) == len(titles)
    acts = {step.do for inspection in view.flow.inspections.values() for step in inspection.steps}
    assert not [t for t in titles if t.partition(": ")[2] in acts], (
        "a caption says what is seen, and orders nothing"
    )
    assert all(t.partition(": ")[2] for t in titles)


@pytest.mark.parametrize("paper", [customer_handover, technician_record])
def test_the_papers_have_the_pictures_in_ascii(paper) -> None:
    """Handover and record: each picture a block of text that any printer can print."""
    view = played("spider-fl")
    text = MARKDOWN.write(paper(view)).decode()
    section = text.partition("## Pictures of what was measured")[2].partition("\n## ")[0]
    assert "Varies by 2.80 mm" in section
    blocks = section.split("```")[1::2]
    assert blocks and all(block.isascii() for block in blocks)


def test_turns_already_given_are_not_in_the_papers() -> None:
    """What to turn each foot by is for the moment; afterwards the slope that is left is what counts."""
    view = played("way-turns")
    assert not any("turn each foot" in p.title for p in step_charts(view))


def test_a_job_without_pictures_has_no_section() -> None:
    """Stopped before anything was measured: nothing to draw, and no heading either."""
    view = played("normal-fl", seen=("no-spin.drum", "cracked"))
    assert step_chart_section(view) is None
