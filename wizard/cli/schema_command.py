"""``steadfoot flow schema``: the JSON Schema of a flow's files, for an editor that completes them offline."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path

import click

from wizard.cli.context import CommandContext
from wizard.cli.output import examples, write_json
from wizard.domain.flow_vocabulary import FileKind
from wizard.errors import UsageError
from wizard.journal.durable_io import make_folder, put

PATTERNS: Mapping[FileKind, str] = {
    FileKind.FLOW: "**/flow.toml",
    FileKind.INSPECTION: "**/inspections/**/*.toml",
    FileKind.LIMITS: "**/limits.toml",
    FileKind.FINDINGS: "**/findings.toml",
    FileKind.FAULTS: "**/faults.toml",
    FileKind.WORDING: "**/wording.toml",
    FileKind.MACHINE: "**/library/machine.toml",
    FileKind.PROCEDURE: "**/procedures/**/*.toml",
    FileKind.CASE: "**/cases/**/*.toml",
    FileKind.SHEET: "**/sheets/*.toml",
    FileKind.WEAK: "**/weak.toml",
}
"""Each kind of file, and which files are of it."""

FOLDER = "schema"


@click.command(epilog=examples("steadfoot flow schema inspection", "steadfoot flow schema --out flows"))
@click.argument("kind", default="", metavar="[KIND]")
@click.option(
    "--out",
    metavar="DIR",
    help="Write the schemas into DIR/schema, and what TOML editors need to find them into DIR.",
)
@click.pass_obj
def schema(_setting: CommandContext, kind: str, out: str | None) -> None:
    """Write the JSON Schema of a kind of file, every key explained.

    Kinds are flow, inspection, limits, findings, faults, wording, machine, procedure, case, sheet,
    weak.

    With --out it is written for an editor: DIR is the folder that your flows are in. Then open DIR in an editor that
    has a TOML language server. Settings that are there already are left as they are.
    """
    from wizard.flow.form.json_schema import json_schema
    from wizard.flow.model.file_kinds import FILES

    if out is None:
        if not kind:
            raise UsageError(f"Name a kind of file, or give --out DIR. There are: {', '.join(FILES)}.")
        write_json(json_schema(kind))
        return
    schemas = {k: json_schema(k) for k in ([kind] if kind else FILES)}
    folder = Path(out)
    if (folder / "flow.toml").is_file():
        raise UsageError(f"{folder} is a flow itself. Name the folder that your flows are in.")
    make_folder(folder / FOLDER)
    for name, table in schemas.items():
        path = folder / FOLDER / f"{name}.schema.json"
        put(path, (json.dumps(table, indent=2, ensure_ascii=False) + "\n").encode("utf-8"))
        click.echo(f"{path}")
    for name, text in settings(tuple(map(FileKind, schemas))).items():
        _keep(folder / name, text)


def settings(kinds: tuple[FileKind, ...]) -> Mapping[str, bytes]:
    """The settings files of two TOML language servers, by name: which files have which schema. Nothing from the
    net.
    """
    import tomli_w

    from wizard.flow.parsing.flow_files import OF_EDITORS

    paths = {kind: f"{FOLDER}/{kind}.schema.json" for kind in kinds}
    one = {
        "toml-version": "v1.0.0",
        "schema": {"enabled": True, "catalog": {"paths": []}},
        "schemas": [{"path": paths[k], "include": [PATTERNS[k]]} for k in kinds],
    }
    two = {
        "include": [PATTERNS[k] for k in kinds],
        "rule": [{"include": [PATTERNS[k]], "schema": {"path": paths[k], "enabled": True}} for k in kinds],
    }
    texts = (tomli_w.dumps(one), tomli_w.dumps(two))
    return {name: text.encode() for name, text in zip(OF_EDITORS, texts, strict=True)}


def _keep(path: Path, text: bytes) -> None:
    """Write a settings file, unless there is another one."""
    if path.is_file() and path.read_bytes() != text:
        click.echo(f"{path} is there already and is left as it is.")
    else:
        put(path, text)
        click.echo(f"{path}")
