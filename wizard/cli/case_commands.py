"""``steadfoot case``: play cases without a screen, make one of a session."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import asdict, dataclass, field
from pathlib import Path
from statistics import median
from typing import TYPE_CHECKING, Any

import click

from wizard.cli.context import CommandContext
from wizard.cli.output import as_json, examples, write_json, write_lines, write_text
from wizard.domain.counting import plural
from wizard.domain.vocabulary import CaseLead
from wizard.errors import UNSOUND, CaseFailed, FlowError, JournalError, UsageError
from wizard.platform import crash_log

if TYPE_CHECKING:
    from wizard.flow.model import Flow
    from wizard.flow.model.case import Case
    from wizard.flowcheck.cases.case_result import Played
    from wizard.flowcheck.cases.effort import Effort


@click.group(
    epilog=examples(
        "steadfoot case run flows/washer-shake/cases/suspension/dampers.toml",
        "steadfoot case from 2026-11-25-a",
    )
)
def case() -> None:
    """Cases: play them, make one of a session."""


@case.command(
    epilog=examples(
        "steadfoot case run flows/washer-shake/cases",
        "steadfoot case run flows/washer-shake/cases/drum/ring.toml --case ring-bag --follow advice",
        "steadfoot case run my-cases.toml --flow washer-shake --json",
    )
)
@click.argument("files", nargs=-1, required=True, metavar="FILE...")
@click.option(
    "--case", "names", multiple=True, metavar="ID", help="Only the case of this id; may be repeated."
)
@click.option(
    "--flow", "flow_name", default="", metavar="FLOW", help="The flow, where a file is not in its folder."
)
@click.option(
    "--follow",
    type=click.Choice([lead.value for lead in CaseLead]),
    default=CaseLead.ORDER.value,
    help="What sends the job on: the flow's own order, or the advice until enough is known. [default: order]",
)
@as_json
@click.pass_obj
def run(
    setting: CommandContext,
    files: tuple[str, ...],
    names: tuple[str, ...],
    flow_name: str,
    follow: str,
    as_json: bool,
) -> None:
    """Play cases through the engine and say how each ended. A folder stands for the files in it.

    By the advice, the minutes that the flow's own order takes stand beside those of the job. The advice may end a
    search before it comes to what a case has to show: that is told like any other difference.

    A case that ends otherwise than it says makes the exit code 7; a file with what is no case of its flow, 3.
    """
    found = _load(setting, files, flow_name)
    if found.broken and not found.cases:
        raise FlowError("\n".join(found.broken))
    results, lead = list[_Result](), CaseLead(follow)
    for flow, one in _chosen(found.cases, names):
        results.append(_play(flow, one, lead))
        if not as_json:
            _tell(results[-1])
    if as_json:
        write_json([result.table for result in results])
    elif lead is CaseLead.ADVICE and len(results) > 1:
        write_lines(_total(results))
    if found.broken:
        raise FlowError("\n".join(found.broken))
    failed = sum(not result.played.ok for result in results)
    if failed:
        raise CaseFailed(f"{plural(failed, 'case')} of {len(results)} ended otherwise than it says.")


@dataclass(slots=True)
class _Found:
    """The cases of the files, each with its flow, and what is wrong with files that hold no sound ones."""

    cases: list[tuple[Flow, Case]] = field(default_factory=list)
    broken: list[str] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class _Result:
    """A case played, as a table; by the advice, the same played in the flow's own order beside it.

    ``efforts``: up to the decision and to the close, of the job, then of the one beside it.
    """

    played: Played
    table: dict[str, Any]
    efforts: tuple[tuple[Effort, Effort], ...]
    beside: Played | None = None


def _load(setting: CommandContext, files: tuple[str, ...], flow_name: str) -> _Found:
    """Read every file; each flow is loaded once."""
    from wizard.flow.loading.case_loader import load_file

    found = _Found()
    flows: dict[Path, Flow] = {}
    for path, folder in _files(setting, files, flow_name):
        try:
            if folder not in flows:
                flows[folder] = setting.load(folder)
            found.cases += [(flows[folder], one) for one in load_file(path, flows[folder])]
        except FlowError as problem:
            found.broken.append(str(problem))
    return found


def _chosen(cases: list[tuple[Flow, Case]], names: tuple[str, ...]) -> list[tuple[Flow, Case]]:
    """The cases of these ids, all of them if none is named; UsageError for an id that none has."""
    from wizard.flow.problems import nearest

    known = {one.id for _flow, one in cases}
    for name in names:
        if name not in known:
            raise UsageError(f'There is no case "{name}" in these files.{nearest(name, known)}')
    return [(flow, one) for flow, one in cases if not names or one.id in names]


def _files(setting: CommandContext, files: tuple[str, ...], flow_name: str) -> Iterator[tuple[Path, Path]]:
    """Each file of cases with the folder of its flow: the one it lies in, else the one named."""
    from wizard.flow.loading.case_loader import files_in

    for path in map(Path, files):
        inside = files_in(path) if path.is_dir() else [path]
        if not inside:
            raise UsageError(f"{path}: there are no cases in this folder. Name one that holds some.")
        for file in inside:
            if not file.is_file():
                raise UsageError(f"{file}: there is no such file. Look at the name.")
            yield file, setting.folder_of(flow_name) if flow_name else _flow_around(file)


def _flow_around(file: Path) -> Path:
    for folder in file.resolve().parents[1:3]:  # It lies in cases, or in a folder of it.
        if (folder / "flow.toml").is_file():
            return folder
    raise UsageError(
        f"{file}: it is not in the cases folder of a flow. Say which flow it is for with --flow."
    )


def _play(flow: Flow, case: Case, lead: CaseLead) -> _Result:
    from wizard.flowcheck.cases.advised_play import compare
    from wizard.flowcheck.cases.case_player import play
    from wizard.flowcheck.cases.effort import effort

    if lead is CaseLead.ADVICE:
        both = compare(flow, case)
        efforts = (effort(flow, both.advice.records), effort(flow, both.order.records))
        return _Result(both.advice, both.as_table() | _counted(efforts[0]), efforts, both.order)
    played = play(flow, case)
    counted = effort(flow, played.records)
    return _Result(played, played.as_table() | {"follow": CaseLead.ORDER} | _counted(counted), (counted,))


def _counted(efforts: tuple[Effort, Effort]) -> dict[str, Any]:
    """What the job asked of the one who did it, up to the decision and to the close."""
    return {"effort": dict(zip(("decision", "close"), map(asdict, efforts), strict=True))}


def _total(results: Sequence[_Result]) -> list[str]:
    """What the cases that ended as they say took both ways: medians side by side, and all their minutes."""
    both = [r for r in results if r.played.ok and r.beside is not None]
    advice, order = (
        sum(r.played.minutes for r in both),
        sum(r.beside.minutes for r in both if r.beside is not None),
    )
    lines = [f"{'median of a case':<34}{'advice':>9}{'order':>9}"] if both else []
    for words, of in _MEDIANS.items() if both else ():
        middle = [median(of(r.efforts[way]) for r in both) for way in (0, 1)]
        lines.append(f"  {words:<32}{middle[0]:>9g}{middle[1]:>9g}")
    sentence = plural(len(both), "case")
    return [*lines, f"{sentence} as said: {advice:g} min by the advice, {order:g} in the flow's order."]


_MEDIANS: dict[str, Callable[[tuple[Effort, Effort]], float]] = {
    "answers and readings to decide": lambda both: both[0].asked,
    "answers and readings to close": lambda both: both[1].asked,
    "key presses": lambda both: both[1].keys,
    "screens": lambda both: both[1].screens,
    "words read": lambda both: both[1].words,
}
"""What is counted, in words, of the efforts up to the decision and to the close."""


def _tell(result: _Result) -> None:
    played, beside = result.played, result.beside
    faults = ", ".join(played.confirmed) or "no fault"
    ended = f"{played.outcome} {played.stop}".strip()
    word = "as said" if played.ok else "NOT SO"
    minutes = f"{played.minutes:g} min" + (f" (in the flow's order {beside.minutes:g})" if beside else "")
    decided, closed = result.efforts[0]
    asked = f"{decided.asked} asked to decide, {closed.asked} to close"
    write_lines(
        [f"{word}  {played.case}: {ended}; {faults}; {minutes}; {asked}; {closed.keys} keys"], whole=True
    )
    write_lines(played.problems, indent=9)


@case.command(
    "from", epilog=examples("steadfoot case from 2026-11-25-a --name worn-and-loose > worn-and-loose.toml")
)
@click.argument("session", metavar="ID")
@click.option("--name", default="", metavar="NAME", help="The id of the case. [default: the session's]")
@click.pass_obj
def from_session(setting: CommandContext, session: str, name: str) -> None:
    """Write a case that plays what was answered in a session.

    It goes to standard output: look it over, name it, and put it into a file in the cases folder of the flow. What
    names the customer's machine is left out.
    """
    from wizard.flowcheck.cases.case_recorder import case_from

    session = setting.find(session)
    loaded = setting.store.load(session)
    try:
        text = case_from(loaded.flow, loaded.records, name)
    except UNSOUND as problem:
        says = (
            f"Session {session} holds what the program never writes, so no case can be made of it: verify it."
        )
        raise JournalError(crash_log.logged(setting.home, problem, says)) from problem
    write_text(text)
