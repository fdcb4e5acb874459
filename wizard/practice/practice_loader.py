"""Read the files of a practice machine and check them against their flow: every problem at once, with its place."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from wizard.domain.counting import plural
from wizard.domain.references import StepRef
from wizard.errors import FlowError
from wizard.flow.declaring.decode import decode
from wizard.flow.flow_places import home, package
from wizard.flow.form.form_models import model_of
from wizard.flow.form.recovery import UNKNOWN, failures, path_of
from wizard.flow.form.validation_text import say, unknown_key
from wizard.flow.model import Flow
from wizard.flow.parsing import flow_files, toml_positions
from wizard.flow.problems import Problem, tidy
from wizard.practice.declaring.answer_tables import PracticeFile, TickRule
from wizard.practice.declaring.practice_model import AnswerRule, Practice
from wizard.practice.practice_checks import Mismatch, mismatches

FOLDER = "practice"
"""Beside the flows: the folder of their practice machines."""


def practice_folder(flow_id: str) -> Path:
    """Return the folder of the practice machine that comes with a shipped flow."""
    return home(package()) / FOLDER / flow_id


def load_practice(folder: Path, flow: Flow) -> Practice:
    """Return the practice machine in ``folder``, whose *.toml are read together.

    FlowError with every problem, each as file:line:column, if they aren't sound or don't fit the flow.
    """
    texts = {p.name: _text(p) for p in sorted(folder.glob("*.toml"))}
    if not texts:
        raise FlowError(f"{folder}: no *.toml here. Name a folder that holds a practice machine")
    documents = {name: flow_files.parse(text) for name, text in texts.items() if _is_toml(name, text)}
    _refuse(folder, [p for name, values in documents.items() for p in _form(name, texts[name], values)])
    files = {name: decode(PracticeFile, values) for name, values in documents.items()}
    _refuse(folder, [_placed(texts, wrong) for wrong in mismatches(files, flow)])
    return assemble(files.values())


def assemble(files: Iterable[PracticeFile]) -> Practice:
    """Return the practice machine that sound files declare together."""
    every = tuple(files)
    rules: dict[StepRef, AnswerRule] = {}
    for file in every:
        rules |= {step: sense for sense in file.senses for step in sense.steps}
        rules |= {step: chance for chance in file.chances for step in chance.steps}
    ticks: dict[StepRef, tuple[TickRule, ...]] = {}
    for tick in (t for file in every for t in file.ticks):
        ticks |= {step: (*ticks.get(step, ()), tick) for step in tick.steps}
    return Practice(
        machines={m.id: m for file in every for m in file.machines},
        variations=tuple(v for file in every for v in file.variations),
        faults={f.id: f for file in every for f in file.faults},
        rules={**rules, **ticks},
        people=next(file.people for file in every if file.people is not None),
    )


def _text(path: Path) -> str:
    """Return a file's text; FlowError if it can't be read or isn't UTF-8."""
    try:
        return flow_files.decode(flow_files.read_file(path))
    except UnicodeDecodeError as error:
        raise FlowError(f"{path}: not UTF-8 from byte {error.start} on. Save it as UTF-8") from error


def _is_toml(name: str, text: str) -> bool:
    """Return True; FlowError where the text isn't TOML."""
    try:
        flow_files.parse(text)
    except ValueError as error:
        raise FlowError(f"{name}: not TOML: {error}") from error
    return True


def _form(name: str, text: str, values: Mapping[str, Any]) -> list[Problem]:
    """Return the problems of form of one file."""
    places = toml_positions.locate(text)
    found = []
    for error in failures(model_of(PracticeFile), dict(values)):
        path = path_of(error)
        extra = error["type"] == UNKNOWN
        line, column = places.of_key(path) if extra else places.of(path)
        says = unknown_key(path[-1], ()) if extra else say(error, path)
        found.append(Problem(name, line, column, says, "form"))
    return found


def _placed(texts: Mapping[str, str], wrong: Mismatch) -> Problem:
    """Return what doesn't fit the flow as a problem with its place."""
    line, column = toml_positions.locate(texts[wrong.file]).of(wrong.path)
    return Problem(wrong.file, line, column, wrong.text, "practice")


def _refuse(folder: Path, found: list[Problem]) -> None:
    """Raise FlowError if there are problems."""
    if found:
        count = plural(len(found), "problem")
        raise FlowError(f"{folder.name}: this practice machine has {count}:", tuple(map(str, tidy(found))))
