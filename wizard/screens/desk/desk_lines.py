"""The lines of the desk: how the flow stands, its lists, a row, and more of the marked one."""

from __future__ import annotations

from collections.abc import Iterator, Set

from textual.content import Content

from wizard.domain.counting import plural
from wizard.domain.vocabulary import Severity
from wizard.flow.diagrams.step_links import LinkKey, links
from wizard.flow.model.steps import HandsStep
from wizard.flow.problems import Problem
from wizard.flowcheck.approval.claim_changes import ClaimChange, ClaimShift
from wizard.flowcheck.approval.claim_lines import change_lines
from wizard.flowcheck.model.counterexample import Counterexample
from wizard.foreign.harmless import harmless
from wizard.screens.desk.desk_view import CaseRow, DeskList, DeskView, Row, StepRow
from wizard.screens.text.charset import sign
from wizard.screens.text.clipping import cut
from wizard.screens.text.step_text import wrap

_HEADS = {
    DeskList.PROBLEMS: "problems",
    DeskList.STEPS: "steps",
    DeskList.CASES: "cases",
    DeskList.DIFFERING: "not approved",
}
EMPTY = {
    DeskList.PROBLEMS: "Nothing is wrong with it.",
    DeskList.STEPS: "Its steps are shown once its files have no errors of form.",
    DeskList.CASES: "It has no cases yet.",
    DeskList.DIFFERING: "Nothing differs from what was approved.",
}
"""What is said where a list has no row."""

BEFORE = 1
"""Lines of the file shown above the one that a problem is at."""


def head_line(view: DeskView, width: int) -> Content:
    """Which flow, whether it is sound, and when it was read."""
    reading = view.reading
    line = Content.styled(cut(harmless(reading.folder.name), width // 2), "bold $primary")
    wrong = reading.errors
    if reading.trouble:
        line = line.append(Content.styled("  can't be read", "$error"))
    elif reading.checked is not None:
        doubts = len(reading.problems) - wrong
        words = plural(wrong, "error") if wrong else "sound"
        style = "$error" if wrong else "$success"
        line = line.append(Content.styled(f"  {words}", style))
        line = line.append(Content(f", {plural(doubts, 'warning')}" if doubts else ""))
    words = view.doing or (f"read at {view.at}, {reading.seconds:.1f} s" if view.at else "")
    return line.append(Content.styled(f"  {words}" if words else "", "$faint"))


def lists_line(view: DeskView) -> Content:
    """The lists with how many rows each has; the one that is shown stands out."""
    line = Content("")
    for shown, head in _HEADS.items():
        text = f" {head} {view.count(shown)} "
        style = "reverse" if shown is view.shown else "$faint"
        line = line.append(Content.styled(text, style)).append(Content("  "))
    return line.append(Content.styled(f"words: {harmless(view.words)}" if view.words else "", "$faint"))


def row_lines(view: DeskView, width: int) -> list[Content]:
    """A line a row, cut to the window."""
    covered = view.covered() if view.shown is DeskList.STEPS else None
    return [_row(row, covered, width - 2) for row in view.rows]


def _row(row: Row, covered: Set[LinkKey] | None, width: int) -> Content:
    match row:
        case Problem():
            wrong = row.severity is Severity.ERROR
            mark = Content.styled(f"{sign('✗') if wrong else '!'} ", "$error" if wrong else "$warning")
            return mark.append(Content(cut(f"{harmless(row.file)}:{row.line}  {row.text}", width - 2)))
        case StepRow():
            ways = f"  {_ways(row, covered)}" if covered is not None else ""
            return Content(cut(f"{row.ref!s:<28} {row.step.do}", width - len(ways)) + ways)
        case CaseRow():
            ended = "-" if row.played is None else "as said" if row.played.ok else "NOT SO"
            style = "$error" if ended == "NOT SO" else "$faint" if row.played is None else ""
            words = f" {row.case.id}: {row.case.says}"
            return Content.styled(f"{ended:<7}", style).append(Content(cut(words, width - 7)))
        case ClaimChange():
            style = "$error" if row.shift is ClaimShift.WEAKER else ""
            return Content.styled(f"{row.shift:<9}", style).append(Content(cut(f"{row.claim}", width - 9)))


def _ways(row: StepRow, covered: Set[LinkKey]) -> str:
    """How many of a step's ways the cases go."""
    keys = [link.key for link in links(row.inspection) if link.key.at == row.ref]
    return f"{sum(key in covered for key in keys)}/{len(keys)}"


def more_lines(view: DeskView, index: int, width: int, most: int) -> list[Content]:
    """More of the marked row; what can't be read, where nothing could."""
    if view.reading.trouble:
        return wrap(view.reading.trouble, width)[:most]
    rows = view.rows
    if not rows:
        empty = "No row has these words." if view.words else EMPTY[view.shown]
        return wrap(empty if view.reading.checked is not None else "", width, "$faint")
    lines = [line for part in _more(view, rows[min(index, len(rows) - 1)], width) for line in part]
    if len(lines) <= most:
        return lines
    return [*lines[: most - 1], Content.styled("...", "$faint")]


def _more(view: DeskView, row: Row, width: int) -> Iterator[list[Content]]:
    match row:
        case Problem():
            yield wrap(f"{row.text} [{row.rule}]", width)
            yield _source(view, row, width)
            if isinstance(row, Counterexample):
                yield [Content.styled(cut(line, width), "$faint") for line in row.shown]
        case StepRow():
            yield from _step(row, width)
        case CaseRow():
            facts = ", ".join(f"{fact} {value}" for fact, value in row.case.facts.items())
            yield wrap(facts or "The usual machine.", width, "$faint")
            for text in row.played.problems if row.played is not None else ():
                yield wrap(text, width, "$error")
            if row.played is None:
                yield wrap("Not played: c plays all cases.", width, "$faint")
        case ClaimChange():
            flow = view.flow
            for text in change_lines(flow, (row,)) if flow is not None else ():
                yield wrap(text, width)


def _source(view: DeskView, problem: Problem, width: int) -> list[Content]:
    """The line of the file that a problem is at, with the one before."""
    lines = view.reading.source(problem.file)
    first = max(1, problem.line - BEFORE)
    shown = []
    for number in range(first, min(len(lines), problem.line) + 1):
        here = number == problem.line
        text = f"{number:>5} {sign('▸') if here else ' '} {harmless(lines[number - 1])}"
        shown.append(Content.styled(text[:width], "" if here else "$faint"))
    return shown


def _step(row: StepRow, width: int) -> Iterator[list[Content]]:
    step = row.step
    reach = f", hands: {step.reach}" if isinstance(step, HandsStep) and step.reach else ""
    yield wrap(f"{row.inspection.title}{reach}", width, "$faint")
    yield wrap(step.do, width)
    for answer in step.answers:
        yield [Content(cut(f"{sign('·')} {answer.says}", width))]
