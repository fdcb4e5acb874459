"""``steadfoot flow approve``: a person answers for what a flow claims; it is kept beside the flow's folder."""

from __future__ import annotations

import sys
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from wizard.cli.context import CommandContext
from wizard.cli.output import examples, write_lines
from wizard.domain.counting import plural
from wizard.errors import FlowError, TerminalError, UsageError

if TYPE_CHECKING:
    from wizard.flow.model import Flow
    from wizard.flowcheck.approval.approval_file import Approval


@click.command(
    epilog=examples(
        'steadfoot flow approve washer-shake --by "Jo Miller" --reason "Read through after the new door step"',
        'steadfoot flow approve flows/dryer-cold --by "Jo Miller" --reason "First reading" --yes',
    )
)
@click.argument("name", metavar="FLOW")
@click.option("--by", required=True, metavar="NAME", help="Who answers for it.")
@click.option("--reason", required=True, metavar="TEXT", help="Why it is approved.")
@click.option("--yes", is_flag=True, help="Don't ask, write.")
@click.pass_obj
def approve(setting: CommandContext, name: str, by: str, reason: str, yes: bool) -> None:
    """Approve what a flow claims and people's safety rests on, in a person's name.

    What differs from the approval before is shown first; of a flow that nobody approved all is new, and flow claims
    lists it with its words. The approval is kept beside the flow's folder, and flow check compares the flow with it.
    A flow that isn't sound is not approved.
    """
    from wizard.cli.approving.claims_command import standing
    from wizard.flowcheck.approval.approval_file import (
        load,
        path_of,
        usable_name,
        usable_reason,
    )
    from wizard.flowcheck.approval.approving import approve as write
    from wizard.flowcheck.approval.claim_changes import changes
    from wizard.flowcheck.approval.claim_lines import change_lines
    from wizard.flowcheck.approval.flow_claims import claims

    by, reason = usable_name(by), usable_reason(reason)
    folder = setting.folder_of(name)
    _own(folder)
    flow = _sound(folder)
    path, present = path_of(folder), claims(flow)
    before = load(path)
    found = changes(before.claims if before else (), present, flow)
    if before is not None and not found and before.flow == flow.id and before.by == by:
        write_lines([f"Nothing differs. {standing(before)}. It stands."])
        return
    if before is not None:
        write_lines(change_lines(flow, found))
    _agreed(name, len(found) if before else len(present), before, by, yes)
    write(folder, flow, by, reason, present, datetime.now(UTC))
    write_lines([f"{path}: {plural(len(present), 'claim')} approved by {by}."])


def _own(folder: Path) -> None:
    """UsageError for a flow that nobody approves here."""
    if says := refused(folder):
        raise UsageError(says)


def refused(folder: Path) -> str:
    """Why nobody approves a flow inside an installed program: its makers do, and an update overwrites it. Empty for any
    other.
    """
    from wizard.cli.checked_flows import in_tree
    from wizard.flow.flow_places import shipped_library

    if not in_tree() and folder.resolve().is_relative_to(shipped_library().resolve().parent):
        return (
            f"{folder} came with the program, and its makers approve it. Copy it to flows in the home folder, then "
            "approve that."
        )
    return ""


def _sound(folder: Path) -> Flow:
    """The flow, if its whole check finds no error but what differs from the approval."""
    from wizard.flow.loading.flow_loader import load
    from wizard.flow.parsing.flow_files import read_folder
    from wizard.flow.problems import errors
    from wizard.flowcheck.flow_check import check

    found = check(read_folder(folder))
    if not found.sound:
        wrong = tuple(map(str, errors(found.problems)))
        raise FlowError("The flow is not sound, so nobody approves it yet:", wrong)
    return load(folder)


def _agreed(name: str, count: int, before: Approval | None, by: str, yes: bool) -> None:
    """Ask whether it is meant; click.Abort where it isn't, TerminalError where nobody can be asked."""
    if yes:
        return
    if not (sys.stdin.isatty() and sys.stderr.isatty()):
        raise TerminalError("There is no terminal to ask in. Read what differs, then give --yes.")
    what = plural(count, "difference") if before else plural(count, "claim")
    click.confirm(f"{name}: {what}. Does {by} answer for it?", abort=True, err=True)
