"""The work of a session step by step, for the record: every run, answer and reading that counts."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import tzinfo

from wizard.engine.compute import unit_of
from wizard.engine.judging import Judged
from wizard.engine.state import Given, Run, State, Taken
from wizard.flow.model import Flow, Step
from wizard.measure import units
from wizard.review import words
from wizard.review.measured import judged_in
from wizard.review.words import safe, sentence

LEFT = {"open": "open", "left": "left in the middle", "done": "done", "void": "no longer counts"}
"""How a run stands, as people say it."""


def work(flow: Flow, state: State, zone: tzinfo) -> list[str]:
    """Every run with its steps' answers and readings, in the order they were begun."""
    lines = ["## Work, step by step"]
    for run in state.runs:
        inspection = flow.inspections.get(run.inspection)
        if inspection is None:
            continue
        phase = "after the repair, " if run.phase == "after" else ""
        lines.extend(["", f"### {safe(inspection.title)}, {phase}visit {run.visit}", ""])
        lines.append(f"Began {words.hour(run.began, zone)}; {LEFT.get(run.how, run.how)}.")
        lines.append("")
        for step in inspection.steps:
            lines.extend(_step(flow, state, run, step, zone))
    return lines if state.runs else [*lines, "", "No inspection was begun."]


def _step(flow: Flow, state: State, run: Run, step: Step, zone: tzinfo) -> list[str]:
    measured = step.kind in ("measure", "compute")
    lines = []
    for given in state.answers(run.id):
        if given.step == step.id:
            lines.append(
                f"- {words.hour(given.at, zone)} {safe(step.do)} {_answer(given, measured)}".rstrip()
            )
    return [*lines, *_readings(flow, state, run, step)]


def _answer(given: Given, measured: bool) -> str:
    if given.how != "answer":
        return f"**{words.HOWS.get(given.how, given.how)}**: {safe(sentence(given.reason))}"
    says = given.verdict if measured else given.says or given.answer
    verdict = f" [{given.verdict}]" if given.verdict and not measured else ""
    why = f" Reason: {safe(sentence(given.reason))}" if given.reason else ""
    return (f"**{safe(says)}**" if says else "") + verdict + why


def _readings(flow: Flow, state: State, run: Run, step: Step) -> list[str]:
    """An item a line: what was read, what was typed where that was otherwise, tool, mean and verdict."""
    unit = unit_of(flow, state, step)
    groups: dict[tuple[int, int], list[Taken]] = {}
    for t in state.readings(run.id, step.id):
        groups.setdefault((t.item, t.way), []).append(t)
    judged = judged_in(flow, state, run, step)
    rows = [groups[key] for key in sorted(groups)] or [[] for _ in judged]
    return [_line(unit, taken, item) for taken, item in zip(rows, judged, strict=False)]


def _line(unit: str, taken: Sequence[Taken], item: Judged) -> str:
    name = f"{safe(item.name)}: " if item.name else ""
    read = ", ".join(_figure(t, unit) for t in taken)
    tool = f" with {safe(taken[0].tool)}" if taken and taken[0].tool else ""
    verdict = f", {item.verdict}" if item.verdict else ""
    again = "".join(f"; {safe(t.reason)}" for t in taken if t.reason)
    says = f" ({safe(item.says)})" if item.says else ""
    mean = f"**{words.value(item, unit)}**{verdict}{says}"
    return f"  - {name}read {read}{tool}{again}; {mean}" if read else f"  - {name}{mean}"


def _figure(t: Taken, unit: str) -> str:
    shown = units.text(t.value, unit)
    return shown if t.typed in (shown, shown.split(" ")[0]) else f"{shown} (typed {safe(t.typed)})"
