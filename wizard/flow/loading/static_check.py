"""Check a flow: its form, then every static rule, all problems at once."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from wizard.domain.flow_vocabulary import FileKind
from wizard.flow.loading import adapting_rules
from wizard.flow.model import Flow
from wizard.flow.model.case import Case
from wizard.flow.parsing import flow_files, unusable_files
from wizard.flow.parsing.adapted_places import places
from wizard.flow.parsing.adapting import adapted
from wizard.flow.parsing.case_builder import built
from wizard.flow.parsing.flow_assembly import build_flow
from wizard.flow.parsing.source_reader import FlowSources, read, read_one
from wizard.flow.problems import Problem, errors, tidy
from wizard.flow.rules import IF_SOUND, RULES, case_rules, service_sheet_rules
from wizard.flow.rules.rule_context import FlowIndex, declared, of_flow

_EMPTY_HEAD: dict[str, Any] = {
    "id": "flow",
    "title": "flow",
    "complaint": "flow",
    "version": "0",
    "notice": "flow",
    "kind": "",
    "find": [],
    "prove": [],
    "leave": "",
    "handover": "",
}


@dataclass(frozen=True, slots=True)
class Examined:
    """What a check found. ``flow`` is None where nothing could be built; ``index`` has the places of everything."""

    flow: Flow | None
    problems: tuple[Problem, ...]
    index: FlowIndex | None

    @property
    def sound(self) -> bool:
        """True when the flow has no errors; warnings may be left."""
        return self.flow is not None and not errors(self.problems)


def examine(content: Mapping[str, bytes]) -> Examined:
    """Return what is wrong with these files of a flow, and the flow as far as it could be built."""
    source = read(content)
    if any(name not in source.sound or name in source.gone for name in (flow_files.MAIN, flow_files.MACHINE)):
        return Examined(None, tidy(source.problems), None)
    source.problems.extend(unusable_files.inspections(source))
    buildable = _buildable(source)
    library = adapted(buildable)
    sound = {name: dict(table) for name, table in library.items()}
    source = replace(source, sound=sound, moved=places(buildable, library))
    flow = build_flow(source.sound, source.drawings, flow_files.digest(content))
    index = FlowIndex(flow, source, declared(source))
    found = [
        *source.problems,
        *(problem for rule in (*RULES, *adapting_rules.RULES) for problem in rule(index)),
        *unusable_files.emptied(source),
    ]
    if not errors(found):
        found += [problem for rule in IF_SOUND for problem in rule(index)]
    return Examined(flow, tidy(found), index)


def cases_of(found: Examined) -> tuple[Case, ...]:
    """Return the cases of a flow that was examined and is sound, in the order of their files."""
    source = found.index.source if found.index else FlowSources()
    names = sorted(filter(flow_files.of_case, source.sound))
    return tuple(case for name in names for case in built(source.cases(name)))


def examine_cases(name: str, content: bytes, flow: Flow) -> tuple[dict[str, Any], tuple[Problem, ...]]:
    """Return one file of cases as a dict, and what is wrong with them as cases of ``flow``."""
    return _examine_one(name, content, flow, FileKind.CASE, case_rules.cases_of_file)


def examine_sheet(name: str, content: bytes, flow: Flow) -> tuple[dict[str, Any], tuple[Problem, ...]]:
    """Return one service sheet as a dict, and what is wrong with it for ``flow``."""
    return _examine_one(name, content, flow, FileKind.SHEET, service_sheet_rules.sheet)


def _examine_one(
    name: str, content: bytes, flow: Flow, kind: FileKind, rule: Callable[[FlowIndex, str], Iterable[Problem]]
) -> tuple[dict[str, Any], tuple[Problem, ...]]:
    """Return a file outside the flow's folder as a dict, and its problems."""
    source = read_one(name, content, kind)
    document = source.sound.get(name, {})
    if name in source.doubtful or not document:
        return {}, tidy(source.problems)
    index = FlowIndex(flow, source, of_flow(flow))
    return document, tidy([*source.problems, *rule(index, name)])


def _buildable(source: FlowSources) -> dict[str, dict[str, Any]]:
    """Return the sound documents, the head of flow.toml filled up, without inspections that can't be used."""
    sound = dict(source.sound)
    main, machine = sound[flow_files.MAIN], sound[flow_files.MACHINE]
    sound[flow_files.MAIN] = {"fact": [], **main, "flow": {**_EMPTY_HEAD, **main.get("flow", {})}}
    sound[flow_files.MACHINE] = {"procedures": [], "condition": [], "reach": [], **machine}
    if "fault" not in sound.get(flow_files.FAULTS, {"fault": ()}):
        sound[flow_files.FAULTS] = {}
    return {
        name: document
        for name, document in sound.items()
        if not flow_files.has_steps(name) or name not in source.gone
    }
