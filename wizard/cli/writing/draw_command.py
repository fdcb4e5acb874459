"""``steadfoot flow draw``: a flow as lines in the terminal, or as Mermaid for a page."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from wizard.cli.context import CommandContext
from wizard.cli.output import as_json, examples, write_json, write_lines, write_text
from wizard.errors import UsageError
from wizard.flow.diagrams.step_links import LinkKey

if TYPE_CHECKING:
    from wizard.flow.diagrams import Link
    from wizard.flow.model import Flow, Inspection

NARROWEST, WIDEST = 40, 160


@click.command(
    epilog=examples(
        "steadfoot flow draw washer-shake",
        "steadfoot flow draw washer-no-drain --inspection pump-run --cases",
        "steadfoot flow draw flows/washer-shake --mermaid > washer-shake.mmd",
    )
)
@click.argument("name", default="", metavar="[FLOW]")
@click.option(
    "--inspection", metavar="ID", help="Draw the steps of this inspection, with every way through it."
)
@click.option("--mermaid", "as_mermaid", is_flag=True, help="Write a Mermaid flowchart of the whole flow.")
@click.option(
    "--life",
    is_flag=True,
    help="Write the life of a job, the same in every flow, as a Mermaid state diagram.",
)
@click.option("--cases", is_flag=True, help="Play the flow's cases and mark the ways that they go.")
@click.option("--plain", is_flag=True, help="Keep to ASCII. So does a terminal that knows nothing else.")
@as_json
@click.pass_obj
def draw(
    setting: CommandContext,
    name: str,
    inspection: str | None,
    as_mermaid: bool,
    life: bool,
    cases: bool,
    plain: bool,
    as_json: bool,
) -> None:
    """Draw a flow, a name or a folder; the only one, or the folder you are in, if none is named.

    The whole flow shows its order, where the hands go in each inspection, and what procedures establish. One
    inspection shows its steps as a tree: every answer, where it leads, loops with their bound, and where work stops.
    """
    if as_mermaid and (as_json or inspection):
        raise click.UsageError("--mermaid draws the whole flow, as text. Leave out --json and --inspection.")
    if life:
        if name or inspection or as_mermaid or cases or as_json:
            raise click.UsageError("--life draws what all flows share, as text. Leave out the rest.")
        from wizard.engine.safety.state_machines import job_diagram

        write_text(job_diagram())
        return
    folder = setting.folder_of(name or _only(setting))
    flow = setting.load(folder)
    if inspection:
        _known(flow, inspection)
    covered = _covered(folder, flow) if cases else None
    if as_json:
        write_json(_table(flow, inspection, covered))
    elif as_mermaid:
        from wizard.flow.diagrams import mermaid

        write_text(mermaid(flow, covered))
    else:
        from wizard.flow.diagrams import drawn

        lines = drawn(flow, inspection, _width(), plain or not _draws_lines(), covered)
        write_lines(lines, whole=True)


def _only(setting: CommandContext) -> str:
    """The flow where none is named: the folder one is in, else the only flow there is."""
    if Path("flow.toml").is_file():
        return "."
    flows = tuple(setting.flows())
    if len(flows) == 1:
        return flows[0]
    raise UsageError(f"Name a flow, or a folder that holds one. There are: {', '.join(flows) or 'none'}.")


def _known(flow: Flow, inspection: str) -> None:
    """Refuse an inspection that the flow doesn't have."""
    from wizard.flow.problems import nearest

    if inspection not in flow.inspections:
        there = nearest(inspection, flow.inspections) or f" There are: {', '.join(flow.inspections)}."
        raise UsageError(f"{flow.id} has no inspection {inspection}.{there}")


def _covered(folder: Path, flow: Flow) -> frozenset[LinkKey]:
    from wizard.flow.loading.case_loader import load_cases
    from wizard.flowcheck.cases.case_player import play
    from wizard.flowcheck.cases.coverage import gone
    from wizard.flowcheck.cases.stop_cases import stops

    cases = load_cases(folder, flow)
    played = [play(flow, case) for case in cases]
    return gone(flow, played, stops(flow, zip(cases, (one.records for one in played), strict=True)))


def _width() -> int:
    """The columns of the terminal; 80 where the lines go into a file or a pipe."""
    return max(NARROWEST, min(WIDEST, shutil.get_terminal_size((80, 24)).columns))


def _draws_lines() -> bool:
    """True where standard output can take the signs that are drawn."""
    from wizard.flow.diagrams.text_fitting import SIGNS

    try:
        "".join(SIGNS).encode(sys.stdout.encoding or "ascii")
    except (LookupError, UnicodeEncodeError):
        return False
    return True


def _table(flow: Flow, inspection: str | None, covered: frozenset[LinkKey] | None) -> dict[str, Any]:
    """The flow as a graph, in plain dicts and lists."""
    shown = [flow.inspections[inspection]] if inspection else list(flow.inspections.values())
    return {
        "flow": flow.id, "version": flow.version, "digest": flow.digest, "find": list(flow.find),
        "prove": list(flow.prove), "leave": flow.leave, "handover": flow.handover,
        "inspections": [_inspection(i, covered) for i in shown],
    }  # fmt: skip


def _inspection(inspection: Inspection, covered: frozenset[LinkKey] | None) -> Mapping[str, Any]:
    from wizard.flow.diagrams import links

    return {
        "id": inspection.id, "title": inspection.title, "procedure": inspection.procedure,
        "minutes": inspection.minutes,
        "applies": {fact: list(values) for fact, values in inspection.applies.items()},
        "steps": [{"id": s.id, "kind": s.kind, "do": s.do, "reach": s.reach} for s in inspection.steps],
        "ways": [_way(link, covered) for link in links(inspection)],
    }  # fmt: skip


def _way(link: Link, covered: frozenset[LinkKey] | None) -> Mapping[str, Any]:
    way: dict[str, Any] = {
        "key": str(link.key), "step": link.step, "answer": link.answer, "kind": link.kind, "goes": str(link.goes),
        "most": link.most, "back": link.back, "so": list(link.so),
    }  # fmt: skip
    return way if covered is None else {**way, "covered": link.key in covered}
