"""Approving what a flow claims, in a person's name: the file beside its folder is written."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from pathlib import Path

from wizard.errors import FlowError
from wizard.flow.model import Flow
from wizard.flow.parsing.flow_files import MAIN
from wizard.flowcheck.approval.approval_file import MOMENT, Approval, path_of, to_toml
from wizard.flowcheck.approval.claim import Claim
from wizard.journal.durable_io import put, refusal


def approve(folder: Path, flow: Flow, by: str, reason: str, present: Iterable[Claim], at: datetime) -> Path:
    """Write who approves these claims of a flow, when (UTC), and why; gives the path of the file.

    It is put in its place whole or not at all, to be read by all who read the flow and
    written by its owner alone. FlowError if it can't be.
    """
    path = path_of(folder)
    try:
        put(path, to_toml(Approval(flow.id, by, f"{at:{MOMENT}}", reason, tuple(present))))
        path.chmod((folder / MAIN).stat().st_mode & 0o644)
    except OSError as error:
        why, remedy = refusal(error)
        raise FlowError(f"{path}: could not be written: {why}. {remedy}.") from error
    return path
