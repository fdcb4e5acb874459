"""Around every command: one plain line for whatever goes wrong, the right exit code, and never a traceback."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import TextIO

import click

from wizard.cli.output import fold
from wizard.errors import BROKEN_PIPE, INTERRUPTED, TROUBLE, SteadfootError, UsageError
from wizard.foreign.harmless import harmless_lines


def guarded(command: click.Command, args: list[str]) -> int:
    """Run a command and return its exit code. Nothing is raised."""
    _open_closed()
    _speak_utf8()
    try:
        code = _run(command, args)
        sys.stdout.flush()
    except SteadfootError as problem:
        return _say(str(problem), problem.exit_code)
    except click.ClickException as problem:
        return _say(_usage(problem), UsageError.exit_code)
    except (KeyboardInterrupt, click.Abort):
        return INTERRUPTED
    except BrokenPipeError:
        _hush(sys.stdout)
        return BROKEN_PIPE
    except OSError as problem:
        _hush_broken(sys.stdout)
        return _say(_refused(problem), TROUBLE)
    except Exception as problem:
        return _say(_defect(problem, args), TROUBLE)
    return code


def _run(command: click.Command, args: list[str]) -> int:
    """Parse and run. Not click's own main: that writes its own line for Ctrl-C and exits on a broken pipe."""
    try:
        with command.make_context("steadfoot", list(args)) as context:
            command.invoke(context)
    except click.exceptions.Exit as leave:
        return leave.exit_code
    return 0


def _say(text: str, code: int) -> int:
    """Say what is wrong on stderr; where that is gone too, the exit code must do."""
    try:
        print(fold(f"steadfoot: {harmless_lines(text)}", sys.stderr), file=sys.stderr, flush=True)
    except OSError:
        _hush(sys.stderr)
    return code


def _usage(problem: click.ClickException) -> str:
    """The message of click as one line, with the way to the help."""
    text = " ".join(problem.format_message().rstrip(".").split())
    context = getattr(problem, "ctx", None)
    path = context.command_path if context is not None else "steadfoot"
    end = "" if text.endswith(("?", "?)", "!")) else "."
    return f"{text}{end} See: {path} --help"


def _refused(problem: OSError) -> str:
    where = f"{problem.filename}: " if problem.filename else ""
    return f"{where}{problem.strerror or problem}. Look at the disk and at the permissions."


def _defect(problem: Exception, args: list[str]) -> str:
    """Keep the traceback and say in a line what to do."""
    from wizard.cli.context import CommandContext
    from wizard.platform.crash_log import keep

    try:
        home = CommandContext.of(_home(args)).home
    except UsageError:
        home = CommandContext.of(None).home
    return keep(home, problem)


def _home(args: list[str]) -> str | None:
    """The home folder that the command line names, however far its reading came."""
    for place, arg in enumerate(args):
        if arg.startswith("--home="):
            return arg.partition("=")[2]
        if arg == "--home" and place + 1 < len(args):
            return args[place + 1]
    return os.environ.get("STEADFOOT_HOME")


def _open_closed() -> None:
    """Where a standard stream was closed by whoever started this, have it lead nowhere.

    Otherwise the next file that is opened, the journal say, gets its number, and what is written to the stream.
    """
    for number, name in ((0, "stdin"), (1, "stdout"), (2, "stderr")):
        try:
            os.fstat(number)
        except OSError:
            os.open(os.devnull, os.O_RDWR)  # The lowest number that is free: just this one.
        if getattr(sys, name) is None:
            nowhere = Path(os.devnull)
            setattr(sys, name, nowhere.open("r" if number == 0 else "w", encoding="utf-8"))


def _speak_utf8() -> None:
    """Write UTF-8 where Windows would write a code page into a pipe, and let nothing fail for a letter."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None and sys.platform == "win32":
            reconfigure(encoding="utf-8", errors="replace")
        elif reconfigure is not None:
            reconfigure(errors="replace")


def _hush_broken(stream: TextIO) -> None:
    """Point a stream that can't be written to at nothing; one that can be keeps what stands in it."""
    try:
        stream.flush()
    except OSError:
        _hush(stream)


def _hush(stream: TextIO) -> None:
    """Point a stream whose reader is gone at nothing, so that Python's own flush at exit stays quiet."""
    try:
        null = os.open(os.devnull, os.O_WRONLY)
        os.dup2(null, stream.fileno())
        os.close(null)
    except (OSError, ValueError):
        return
