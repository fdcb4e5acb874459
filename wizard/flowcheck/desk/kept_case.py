"""A job that was tried, kept among the cases of its flow."""

from __future__ import annotations

from collections.abc import Collection
from pathlib import Path

from wizard.errors import FlowError
from wizard.flow.loading.static_check import examine_cases
from wizard.flow.model import Flow
from wizard.flow.problems import errors
from wizard.journal.durable_io import make_folder, put, refusal

FILE = "tried.toml"
"""The file of such cases in the folder of cases."""


def keep_case(folder: Path, flow: Flow, text: str, name: str, taken: Collection[str]) -> Path:
    """Add a case to those that were tried; gives the path of the file. ``taken``: the ids that the flow's cases have.

    FlowError where it is no sound case of the flow, a case of this id is there already, or it can't be written; then
    nothing is changed.
    """
    if name in taken:
        raise FlowError(f'There is a case "{name}" already. Give this one another id.')
    path = folder / "cases" / FILE
    try:
        before = path.read_bytes().decode("utf-8") if path.exists() else ""
        whole = f"{before.rstrip()}\n\n{text}" if before.strip() else text
        _document, problems = examine_cases(f"cases/{FILE}", whole.encode("utf-8"), flow)
        if wrong := errors(problems):
            raise FlowError(f"{name} can't be kept as a case:", tuple(map(str, wrong)))
        make_folder(path.parent)
        put(path, whole.encode("utf-8"))
    except UnicodeDecodeError:
        raise FlowError(f"{path}: it is not UTF-8. Save it as UTF-8, then keep the case.") from None
    except OSError as error:
        why, remedy = refusal(error)
        raise FlowError(f"{path}: could not be written: {why}. {remedy}.") from error
    return path
