"""Read cases from their files, checked against their flow."""

from __future__ import annotations

from pathlib import Path

from wizard.errors import FlowError
from wizard.flow import files
from wizard.flow.case import Case, build_case
from wizard.flow.model import Flow
from wizard.flow.problems import errors


def load_case(path: Path, flow: Flow) -> Case:
    """Return the case in a file; FlowError with every problem if it isn't one of this flow."""
    from wizard.flow.check import examine_case  # pydantic and tree-sitter: 0.2 s

    document, problems = examine_case(path.name, files.read_file(path), flow)
    wrong = errors(problems)
    if wrong:
        raise FlowError(f"{path.name} is not a case of {flow.id}:", tuple(map(str, wrong)))
    return build_case(document)


def load_cases(folder: Path, flow: Flow) -> tuple[Case, ...]:
    """Return the cases of a flow's folder, in the order of their file names."""
    return tuple(load_case(path, flow) for path in sorted((folder / "cases").glob("*.toml")))
