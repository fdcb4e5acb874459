"""``steadfoot flow claims``: what a flow claims, with the words that it rests on; or what differs from the approval."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from wizard.cli.context import CommandContext
from wizard.cli.output import as_json, examples, write_json, write_lines
from wizard.domain.counting import plural
from wizard.errors import FlowError

if TYPE_CHECKING:
    from wizard.flow.model import Flow
    from wizard.flow.rules.rule_context import FlowIndex
    from wizard.flowcheck.approval.approval_file import Approval


@click.command(
    epilog=examples("steadfoot flow claims washer-shake", "steadfoot flow claims washer-shake --changes")
)
@click.argument("name", metavar="FLOW")
@click.option("--changes", "differing", is_flag=True, help="Only what differs from what was approved.")
@as_json
@click.pass_obj
def claims(setting: CommandContext, name: str, differing: bool, as_json: bool) -> None:
    """List what a flow claims and people's safety rests on, by file: demands, and allowances with their words.

    A demand asks for something; an allowance lets something be, so whether it is right is judged by the words of its
    step and answer.
    """
    from wizard.flowcheck.approval.approval_file import load, path_of
    from wizard.flowcheck.approval.claim_changes import changes
    from wizard.flowcheck.approval.claim_lines import change_lines, change_table, lines, tables
    from wizard.flowcheck.approval.claim_locations import ClaimLocations
    from wizard.flowcheck.approval.flow_claims import claims as claims_of

    folder = setting.folder_of(name)
    flow, index = examined(folder)
    approval = load(path_of(folder))
    present = claims_of(flow)
    if not differing:
        if as_json:
            write_json(_table(name, approval) | {"claims": tables(flow, present, ClaimLocations(index))})
            return
        write_lines(lines(flow, present, ClaimLocations(index)))
        write_lines(["", f"{name}: {plural(len(present), 'claim')}. {standing(approval)}"])
        return
    found = changes(approval.claims if approval else (), present, flow)
    if as_json:
        write_json(_table(name, approval) | {"changes": [change_table(flow, one) for one in found]})
        return
    if approval is None:
        write_lines([f"{name}: nobody approved it, so all of it is new. List it without --changes."])
        return
    write_lines(change_lines(flow, found))
    write_lines([f"{name}: {plural(len(found), 'difference')}. {standing(approval)}"])


def examined(folder: Path) -> tuple[Flow, FlowIndex]:
    """The flow of a folder with the places of everything; FlowError with every problem where it has errors of form."""
    from wizard.flow.loading.static_check import examine
    from wizard.flow.parsing.flow_files import read_folder
    from wizard.flow.problems import errors

    found = examine(read_folder(folder))
    if not found.sound or found.flow is None or found.index is None:
        text = "The flow has errors, so what it claims is not known yet:"
        raise FlowError(text, tuple(map(str, errors(found.problems))))
    return found.flow, found.index


def standing(approval: Approval | None) -> str:
    """Who approved the flow, or that nobody did."""
    if approval is None:
        return "Nobody approved them."
    return f"Approved by {approval.by} on {approval.day}: {approval.reason}"


def _table(name: str, approval: Approval | None) -> dict[str, object]:
    if approval is None:
        return {"flow": name, "approval": None}
    return {"flow": name, "approval": {"by": approval.by, "at": approval.at, "reason": approval.reason}}
