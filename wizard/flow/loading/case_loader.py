"""Read cases from their files, checked against their flow."""

from __future__ import annotations

from pathlib import Path

from wizard.errors import FlowError
from wizard.flow.model import Flow
from wizard.flow.model.case import Case
from wizard.flow.parsing import flow_files
from wizard.flow.parsing.case_builder import build_cases
from wizard.flow.problems import errors


def load_file(path: Path, flow: Flow) -> tuple[Case, ...]:
    """Return the cases in a file; FlowError with every problem if they aren't of this flow."""
    from wizard.flow.loading.static_check import examine_cases  # pydantic and tree-sitter: 0.2 s

    document, problems = examine_cases(path.name, flow_files.read_file(path), flow)
    wrong = errors(problems)
    if wrong:
        raise FlowError(f"{path.name} holds no sound cases of {flow.id}:", tuple(map(str, wrong)))
    return build_cases(document)


def load_cases(folder: Path, flow: Flow) -> tuple[Case, ...]:
    """Return the cases of a flow's folder, file by file in the order of their names."""
    return tuple(case for path in case_paths(folder) for case in load_file(path, flow))


def case_paths(folder: Path) -> list[Path]:
    """Return the files of a flow's cases, those in the folders of its cases among them, in the order of their names."""
    return files_in(folder / "cases")


def files_in(folder: Path) -> list[Path]:
    """Return the files of cases in a folder and in the folders in it, in the order of their names."""
    return sorted((*folder.glob("*.toml"), *folder.glob("*/*.toml")), key=lambda path: path.name)
