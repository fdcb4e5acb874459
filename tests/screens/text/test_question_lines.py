"""Whatever was last known of a machine, what is asked stays in sight with every answer at 80 columns and 24 lines."""

from __future__ import annotations

from functools import cache

import pytest

from tests.helpers.stage import SIZES
from wizard.domain.vocabulary import Phase, RunStatus, StepKind
from wizard.engine.queries import last_known
from wizard.engine.queries.last_known import LastKnown
from wizard.engine.state.job_state import Run, State
from wizard.engine.state.job_view import JobView
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import shipped
from wizard.flow.model import Answer, Flow
from wizard.screens.text.columns import APART, packed
from wizard.screens.text.step_text import question_lines
from wizard.screens.viewmodels.step.answer_rows import AnswerRow
from wizard.screens.viewmodels.step.body_room import body_room
from wizard.screens.widgets.entry.answer_list import answer_lines


@cache
def flow(name: str) -> Flow:
    return load(shipped()[name])


def at_step(name: str, inspection: str, step: str) -> JobView:
    """A job with this step on screen."""
    run = Run(1, inspection, Phase.BEFORE, 1, step, RunStatus.OPEN, "2026-03-02T09:00:00.000Z", 1)
    return JobView.of(flow(name), State(facts={"kind": "front-loader"}, runs=(run,), stack=(1,)))


def may_stop(answer: Answer) -> bool:
    """True for an answer that stops work, at once or the last time it may be given."""
    return bool(answer.stop or (answer.then and answer.then.stop))


@pytest.mark.parametrize("name", ["washer-shake", "washer-no-drain"])
def test_no_answer_leaves_the_screen_for_what_was_last_known(name, monkeypatch):
    """Every question of a flow, each with twenty conditions last known otherwise."""
    told = tuple(
        LastKnown(c.id, frozenset(list(c.values)[-1:]), "2026-03-02T09:00:00.000Z", widened=True)
        for c in list(flow(name).conditions.values())[:20]
    )
    monkeypatch.setattr(last_known, "otherwise", lambda _view, _step: told)
    room = body_room(*SIZES[0])
    for inspection in flow(name).inspections.values():
        for step in inspection.steps:
            if step.kind in (StepKind.MEASURE, StepKind.COMPUTE):
                continue
            view = at_step(name, inspection.id, step.id)
            rows = [
                AnswerRow(str(n), a.says, False if step.many else None, may_stop(a))
                for n, a in enumerate(step.answers, 1)
            ]
            rows += [AnswerRow("Enter", "That is all I see")] if step.many else []
            answers = answer_lines(rows, room.columns)
            lines = question_lines(view, answers, room.columns, room.lines)
            shown = [line.plain for line in packed(lines, room.lines)][: room.lines]
            assert all(line.plain in shown for line in answers if line.plain != APART), (
                inspection.id,
                step.id,
            )
            assert any("Last known" in line for line in shown), (inspection.id, step.id)


def test_what_is_known_is_said_only_where_an_answer_says_otherwise():
    """Of what forbids a spin nothing is ticked by who knows of nothing: what was known to be sound is no news there."""
    known = flow("washer-shake").inspections["known-bad"].step("known")
    view = at_step("washer-shake", "known-bad", "known")
    assert known.many and not any(a.usual for a in known.answers)
    sound = LastKnown("block", frozenset({"sound"}), "2026-03-02T09:00:00.000Z", widened=True)
    loose = LastKnown("block", frozenset({"unsound"}), "2026-03-02T09:00:00.000Z", widened=True)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(last_known, "last_known", lambda _view, _of=None: {"block": sound})
        assert last_known.otherwise(view, known) == ()
        patch.setattr(last_known, "last_known", lambda _view, _of=None: {"block": loose})
        assert last_known.otherwise(view, known) == (loose,)
