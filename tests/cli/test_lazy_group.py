"""A group whose commands come late: listed from its table, imported when called, and only then."""

from __future__ import annotations

import subprocess
import sys

import click
import pytest

from wizard.cli.flow_commands import flow
from wizard.cli.lazy_group import LazyGroup
from wizard.cli.main import GROUPS, steadfoot


def there_after(*args: str) -> set[str]:
    """The modules of the command line that are there once a command ran in a Python of its own."""
    code = (
        "import contextlib, io, sys\nfrom wizard.cli.main import main\n"
        f"with contextlib.redirect_stdout(io.StringIO()):\n    main({list(args)!r})\n"
        "print(' '.join(sys.modules))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, encoding="utf-8", timeout=120)
    assert done.returncode == 0, done.stderr
    return set(done.stdout.split())


def test_help_imports_no_command() -> None:
    """The table alone says what there is."""
    assert not there_after("--help") & {module for module, _says in GROUPS.values()}


def test_a_check_imports_neither_its_siblings_nor_a_session() -> None:
    """What a sound flow's check doesn't need stays out: drawing, cases played, witnesses, the second parser."""
    there = there_after("flow", "check", "washer-no-drain")
    assert "wizard.flowcheck.flow_check" in there
    late = {
        "wizard.cli.writing.draw_command",
        "wizard.flowcheck.cases.case_player",
        "wizard.engine.session",
    }
    assert not there & (late | {"tree_sitter", "tree_sitter_toml", "numpy", "textual"})


@pytest.mark.parametrize("group", [steadfoot, flow])
def test_every_command_listed_can_be_had(group: click.Group) -> None:
    """The table names modules that hold a command of that name; others are unknown."""
    context = click.Context(group)
    assert isinstance(group, LazyGroup)
    for name in group.list_commands(context):
        command = group.get_command(context, name)
        assert command is not None and command.name == name
    assert group.get_command(context, "nothing") is None


def test_own_commands_and_late_ones_stand_in_one_list() -> None:
    """Help lists both, with what each does."""
    text = flow.get_help(click.Context(flow))
    for name in ("list", "check", "draw", "new", "schema"):
        assert f"\n  {name} " in text
