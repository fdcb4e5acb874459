"""``steadfoot flow new``: ask a few things and write a small sound flow to begin from."""

from __future__ import annotations

import shutil
import sys
import tempfile
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path

import click

from wizard.cli.context import CommandContext
from wizard.cli.output import as_json, examples, fold, write_json
from wizard.errors import FlowError, TerminalError, UsageError
from wizard.journal.durable_io import PRIVATE_FOLDER, make_folder, sync_folder, write_new

_ID = "Id of the flow (small letters, digits, hyphens)"
_KIND = "Kind of machine, as in front-loader=Front loader"
_NO_MORE = "-"
_LEAD = "Error: "


@click.command(
    epilog=examples(
        "steadfoot flow new",
        'steadfoot flow new flows/dryer-cold --title "Dryer that stays cold" '
        '--complaint "It turns but stays cold." --kind "vented=Vented dryer"',
    )
)
@click.argument("folder", default="", metavar="[FOLDER]")
@click.option("--id", "flow_id", metavar="ID", help="The flow's id. [default: the folder's name]")
@click.option("--title", metavar="TEXT", help="What a technician picks it by.")
@click.option("--complaint", metavar="TEXT", help="The complaint, as a customer would say it.")
@click.option("--kind", "kinds", multiple=True, metavar="ID=TEXT", help="A kind of machine; once for each.")
@as_json
@click.pass_obj
def new(
    setting: CommandContext,
    folder: str,
    flow_id: str | None,
    title: str | None,
    complaint: str | None,
    kinds: tuple[str, ...],
    as_json: bool,
) -> None:
    """Write a new flow: small, sound, with two cases. What isn't given is asked for.

    It goes into FOLDER, by default one named by its id among the flows of the home folder. Nothing is ever
    overwritten.
    """
    from wizard.flow.authoring import scaffold as writing
    from wizard.flow.model.common import TITLE

    named = Path(folder).resolve().name if folder else ""
    flow_id = flow_id or named or _asked(_ID, writing.usable_id, "--id")
    target = Path(folder or setting.home / "flows" / flow_id)
    writing.usable_id(flow_id)
    _free(target)
    title = title or _asked("Title", lambda text: writing.usable_line(text, TITLE), "--title")
    complaint = complaint or _asked(
        "Complaint, as a customer would say it", writing.usable_line, "--complaint"
    )
    files = writing.new(flow_id, title, complaint, _kinds(kinds) if kinds else _ask_kinds())
    _prove(files)
    write(target, files)
    if as_json:
        write_json({"flow": flow_id, "folder": str(target), "files": sorted(files)})
        return
    click.echo(f"{target}: {len(files)} files, checked and its cases played.")
    click.echo(f"Next: steadfoot flow draw {target}, then put your own inspections and faults in.")


def _free(target: Path) -> None:
    """Refuse a place that isn't free."""
    if target.exists() and (not target.is_dir() or any(target.iterdir())):
        raise UsageError(f"{target} is there already, and nothing is overwritten. Name another folder.")


def _asked(question: str, usable: Callable[[str], str], option: str, start: str = "") -> str:
    """What a person types, asked again until it can be used. TerminalError where nobody can be asked."""
    if not (sys.stdin.isatty() and sys.stderr.isatty()):
        raise TerminalError(f"There is no terminal to ask in. Give {option} on the command line.")

    def check(text: str) -> str:
        try:
            return usable(text.strip())
        except UsageError as problem:
            raise click.BadParameter(fold(f"{_LEAD}{problem}", sys.stderr)[len(_LEAD) :]) from problem

    answer: str = click.prompt(question, default=start or None, value_proc=check, err=True)
    return answer


def _ask_kinds() -> dict[str, str]:
    """The kinds of machine, one after the other, until the person wants no more."""
    from wizard.flow.authoring.scaffold import MOST_KINDS

    kinds: dict[str, str] = {}

    def usable(text: str) -> str:
        return _one_more(kinds, text)

    while len(kinds) < MOST_KINDS:
        more = f" ({_NO_MORE} for no more)" if kinds else ""
        text = _asked(f"{_KIND}{more}", usable, "--kind", _NO_MORE if kinds else "")
        if text == _NO_MORE:
            break
        kinds |= _kinds([text])
    return kinds


def _one_more(kinds: Mapping[str, str], text: str) -> str:
    """A kind as it is typed, if it can be used beside the others; or no more, once there is one."""
    if not (kinds and text == _NO_MORE):
        _kinds([*(f"{name}={says}" for name, says in kinds.items()), text])
    return text


def _kinds(pairs: Iterable[str]) -> dict[str, str]:
    """Kinds of machine from ``id=text``. UsageError for one that can't be used, or that is there twice."""
    from wizard.flow.authoring.scaffold import usable_id, usable_line

    kinds: dict[str, str] = {}
    for pair in pairs:
        name, sign, says = pair.partition("=")
        if not sign:
            raise UsageError(
                f'"{pair}" is not a kind. Write its id, = and how it is read: front-loader=Front loader'
            )
        if usable_id(name.strip()) in kinds:
            raise UsageError(f'the kind "{name.strip()}" is given twice')
        kinds[name.strip()] = usable_line(says.strip())
    return kinds


def _prove(files: Mapping[str, bytes]) -> None:
    """Prove the flow and play its cases before it is written; FlowError with every problem if it isn't sound."""
    from wizard.flow.parsing.flow_files import read_library
    from wizard.flowcheck.flow_check import check

    found = check({**files, **read_library()}, play=True)
    if found.problems:
        raise FlowError("The new flow is not sound, so it was not written:", tuple(map(str, found.problems)))


def write(target: Path, files: Mapping[str, bytes]) -> None:
    """Write all files of a flow, or none: into a folder beside the target, which then takes its name.

    An empty folder that exists is kept, since it may be somebody's working directory: the files are moved into it.
    Only this user can read what is made, whatever the umask.
    """
    there = target.is_dir()
    if not there:
        make_folder(target.parent)
    made = Path(tempfile.mkdtemp(prefix=".new-", dir=target if there else target.parent))
    try:
        made.chmod(PRIVATE_FOLDER)  # whatever the umask took away
        for name, data in files.items():
            path = made / name
            make_folder(path.parent)
            write_new(path, data)
        if there:
            _move(made, target)
        else:
            made.rename(target)
            sync_folder(target.parent)
    except OSError:
        shutil.rmtree(made, ignore_errors=True)
        raise


def _move(made: Path, target: Path) -> None:
    """Move all that was made into the folder around it, or nothing. OSError if the disk refuses."""
    moved: list[Path] = []
    try:
        for path in sorted(made.iterdir()):
            moved.append(path.rename(target / path.name))
        made.rmdir()
    except OSError:
        for path in moved:
            shutil.rmtree(path) if path.is_dir() else path.unlink()
        raise
