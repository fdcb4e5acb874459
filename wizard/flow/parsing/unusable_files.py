"""Files of a flow that can't be used: the cause is said once, at its place, and not what follows from it
elsewhere.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import PurePosixPath

from wizard.flow.parsing import flow_files
from wizard.flow.parsing.source_reader import FlowSources
from wizard.flow.problems import Problem


def inspections(source: FlowSources) -> Iterator[Problem]:
    """Note the inspections that can't be used (``gone``, ``absent``), and say why where nothing said so yet.

    Without a head or a step that is sound, with the id of another, or with an id that nothing names while its file's
    name is named: it is the one that its file is called by that is missed then.
    """
    heads = _heads(source)
    unused = {n for n in source.whole if flow_files.has_steps(n) and not _usable(source, n)}
    source.gone.update(unused)
    source.absent.update(_stem(n) for n in source.gone if flow_files.has_steps(n))
    source.absent.update(heads[n] for n in unused & heads.keys())
    yield from _twice(source, heads)
    source.absent.difference_update(i for n, i in heads.items() if n not in source.gone)
    yield from _misnamed(source, heads)


def _heads(source: FlowSources) -> dict[str, str]:
    """File -> the id of the inspection in it, where it has one."""
    found = {}
    for name, document in (*source.whole.items(), *source.sound.items()):
        head = document.get("inspection") if flow_files.has_steps(name) else None
        if isinstance(head, dict) and isinstance(head.get("id"), str):
            found[name] = head["id"]
    return found


def _usable(source: FlowSources, name: str) -> bool:
    document = source.sound.get(name, {})
    return bool(document.get("inspection") and document.get("step"))


def _stem(name: str) -> str:
    return PurePosixPath(name).stem


def _twice(source: FlowSources, heads: dict[str, str]) -> Iterator[Problem]:
    """Of two with one id, the one whose file is called so keeps it, else the first."""
    owners: dict[str, str] = {}
    for name in sorted(heads, key=lambda n: (_stem(n) != heads[n], n)):
        owner = owners.setdefault(heads[name], name)
        if owner != name:
            line, _ = source.positions[owner].of(("inspection", "id"))
            message = f'"{heads[name]}" is already the id of another, at {owner}:{line}. Give each its own'
            yield source.problem(name, ("inspection", "id"), message, "id")
            source.gone.add(name)
            source.absent.add(_stem(name))


def _misnamed(source: FlowSources, heads: dict[str, str]) -> Iterator[Problem]:
    ids = set(heads.values())
    for name, head in heads.items():
        stem = _stem(name)
        if stem in ids or name in source.gone or _names(source, head):
            continue
        if places := _names(source, stem):
            count = "1 place names" if places == 1 else f"{places} places name"
            message = f'{count} "{stem}", and nothing names "{head}". Write id = "{stem}"'
            yield source.problem(name, ("inspection", "id"), message, "id")
            source.absent.add(stem)


def _names(source: FlowSources, inspection: str) -> int:
    """How many texts and keys of the files are this id, or one of its steps; the head that declares it not
    counted.
    """
    found = 0
    stack: list[object] = [
        {k: v for k, v in document.items() if k != "inspection"} for document in source.whole.values()
    ]
    while stack:
        value = stack.pop()
        if isinstance(value, dict):
            stack += [*value.keys(), *(v for k, v in value.items() if k != "id")]
        elif isinstance(value, list):
            stack += value
        elif isinstance(value, str):
            found += value == inspection or value.startswith(f"{inspection}.")
    return found


def emptied(source: FlowSources) -> Iterator[Problem]:
    """Each file of which nothing is left, though others name what should be in it."""
    said_of = {problem.file for problem in source.problems}
    for name, wanted in source.wanted.items():
        if name not in said_of and name in flow_files.SINGLE:
            count = "1 name" if len(wanted) == 1 else f"{len(wanted)} names"
            message = (
                f"nothing is in this file, and {count} should be, such as {min(wanted)}. Was it emptied?"
            )
            yield Problem(name, 1, 1, message, "file")
