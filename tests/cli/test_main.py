"""The command line as a whole: help, where things are kept, one plain line for whatever goes wrong."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import click
import pytest

from tests.cli.conftest import Run
from wizard import VERSION
from wizard.cli import error_exit, main
from wizard.cli.context import CommandContext
from wizard.errors import EXIT_CODES, FlowError, JournalLost, Refused, SteadfootError, UsageError

SHIPPED = Path(__file__).parent.parent.parent / "flows" / "washer-shake"


COMMANDS = (
    "job", "flow list", "flow check", "flow draw", "flow new", "flow schema", "case run", "case from",
    "session list", "session show", "session replay", "session flags", "session verify", "session export",
    "session import", "flow", "case", "session",
)  # fmt: skip
"""Every command of the README's table, and the groups."""


def steadfoot(*args: str, **options: object) -> subprocess.CompletedProcess[str]:
    """The real program in a process of its own, with nothing on its input."""
    command = [sys.executable, "-m", "wizard.cli", *args]
    return subprocess.run(
        command, capture_output=True, encoding="utf-8", stdin=subprocess.DEVNULL, timeout=60, **options
    )  # type: ignore[call-overload,no-any-return]


def raising(error: BaseException) -> click.Command:
    """A command that does nothing but fail."""

    @click.command()
    @click.option("--home")
    def fail(home: str | None) -> None:
        raise error

    return fail


def test_help_lists_every_command_without_importing_one(run: Run) -> None:
    """The help names each command and what it does."""
    said = run("--help")
    assert said.code == 0
    for name, (_module, does) in main.GROUPS.items():
        assert f"{name} " in said.out and does in said.out


def test_the_short_help_of_a_group_is_that_of_the_list() -> None:
    """What the list says of a command is what the command says of itself."""
    group = main.steadfoot
    for name, (_module, does) in main.GROUPS.items():
        command = group.get_command(click.Context(group), name)
        assert command is not None
        if isinstance(command, click.Group):
            assert command.get_short_help_str(100) == does


def test_version(run: Run) -> None:
    """The version is that of the package."""
    assert run("--version").out == f"steadfoot {VERSION}\n"


def test_the_home_folder_is_the_option_then_the_variable_then_the_platforms(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """--home wins over STEADFOOT_HOME, which wins over the platform's data folder."""
    monkeypatch.setenv("STEADFOOT_HOME", str(tmp_path / "variable"))
    main.main(["session", "list"])
    assert str(tmp_path / "variable") in capsys.readouterr().out
    main.main(["--home", str(tmp_path / "option"), "session", "list"])
    assert str(tmp_path / "option") in capsys.readouterr().out
    assert CommandContext.of(None).home.name == "steadfoot"


@pytest.mark.parametrize(
    "args",
    [
        ["--home", "there", "session", "list"],
        ["session", "--home", "there", "list"],
        ["session", "list", "--home", "there"],
        ["session", "list", "--home=there"],
        ["--home", "elsewhere", "session", "--home", "elsewhere", "list", "--home", "there"],
    ],
)
def test_the_home_folder_is_taken_at_every_level(
    args: list[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Before the command, in the middle or behind it; the last one counts, and wins over the variable."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("STEADFOOT_HOME", str(tmp_path / "variable"))
    assert main.main(args) == 0
    assert f"There are no sessions in {Path('there', 'sessions')}." in capsys.readouterr().out


def test_every_command_takes_a_home_folder(run: Run) -> None:
    """Their help says so, and none has lost what its own options do."""
    for line in COMMANDS:
        said = run(*line.split(), "--help")
        assert said.code == 0 and said.out.count("--home DIR") == 1, line


@pytest.mark.parametrize("args", [[], ["job"], ["job", "--flow", "washer-shake"]])
def test_no_terminal_is_said_in_a_line(args: list[str], tmp_path: Path) -> None:
    """The full screen without a terminal: exit code 8, one line that says what to do instead, nothing made."""
    done = steadfoot("--home", str(tmp_path / "home"), *args)
    assert done.returncode == 8
    assert done.stderr.startswith("steadfoot: There is no terminal")
    assert done.stderr.count("\n") == 1 and done.stdout == ""
    assert not (tmp_path / "home").exists()


@pytest.mark.parametrize(
    ("args", "says"),
    [
        (["bogus"], "No such command 'bogus'. See: steadfoot --help"),
        (["--bogus"], "No such option '--bogus'. See: steadfoot --help"),
        (["session", "lst"], "No such command 'lst'. Did you mean 'list'? See: steadfoot session --help"),
        (["job", "--flo"], "No such option '--flo'. Did you mean '--flow'? See: steadfoot job --help"),
        (["case", "run"], "Missing argument 'FILE...'. See: steadfoot case run --help"),
        (["job", "--flow", "a", "--resume", "b"], "A session goes on with the flow it began with."),
        (["job", "--resume", "2026-11-25-a"], "There is no session 2026-11-25-a"),
        (["job", "--flow", "washer-shak"], 'There is no flow "washer-shak"'),
    ],
)
def test_a_wrong_command_line_is_one_line_and_code_2(run: Run, args: list[str], says: str) -> None:
    """What is wrong, and where to look; no usage block, no traceback."""
    said = run(*args)
    assert said.code == 2
    assert says in said.err
    assert said.err.count("\n") == 1


@pytest.mark.parametrize(
    "error", [UsageError("a"), FlowError("b"), JournalLost("c"), Refused("needs", "d"), SteadfootError("e")]
)
def test_each_error_has_its_exit_code_and_its_line(
    error: SteadfootError, capsys: pytest.CaptureFixture[str]
) -> None:
    """The message goes to stderr as it is; the code is the error's own, and is in the table."""
    assert error_exit.guarded(raising(error), []) == error.exit_code
    assert capsys.readouterr().err == f"steadfoot: {error}\n"
    assert error.exit_code in EXIT_CODES


def test_a_fault_of_the_program_leaves_a_log_and_one_line(
    home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The traceback goes to HOME/trouble.log; the person is told where."""
    code = error_exit.guarded(raising(ZeroDivisionError("division by zero")), ["--home", str(home)])
    said = capsys.readouterr().err
    assert code == 1
    assert said.count("\n") == 1 and "Traceback" not in said
    assert str(home / "trouble.log") in said
    assert "ZeroDivisionError" in (home / "trouble.log").read_text(encoding="utf-8")


def test_a_fault_where_the_home_cant_be_written_is_said_all_the_same(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """No log, but still one line and no traceback."""
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    code = error_exit.guarded(raising(KeyError("x")), [f"--home={tmp_path / 'file' / 'home'}"])
    said = capsys.readouterr().err
    assert code == 1
    assert "could not be written" in said and said.count("\n") == 1


def test_ctrl_c_is_quiet(capsys: pytest.CaptureFixture[str]) -> None:
    """130 and not a word."""
    assert error_exit.guarded(raising(KeyboardInterrupt()), []) == 130
    assert capsys.readouterr().err == ""


def test_what_the_system_refuses_is_one_line(capsys: pytest.CaptureFixture[str]) -> None:
    """A file that can't be read is named, with the system's reason."""
    assert error_exit.guarded(raising(PermissionError(13, "Permission denied", "some.toml")), []) == 1
    assert capsys.readouterr().err == (
        "steadfoot: some.toml: Permission denied. Look at the disk and at the permissions.\n"
    )


@pytest.mark.skipif(sys.platform == "win32", reason="a broken pipe is no error there")
def test_a_broken_pipe_is_quiet(tmp_path: Path) -> None:
    """A reader that stops reading ends the program without a word."""
    command = [sys.executable, "-m", "wizard.cli", "--home", str(tmp_path), "flow", "list", "--json"]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    assert process.stdout is not None and process.stderr is not None
    process.stdout.close()
    said = process.stderr.read()
    process.stderr.close()
    assert process.wait(30) == 141
    assert said == b""


@pytest.mark.skipif(sys.platform == "win32", reason="signals are sent otherwise there")
def test_ctrl_c_in_the_real_program_is_quiet(tmp_path: Path) -> None:
    """SIGINT in the middle of playing cases: 130, no traceback."""
    if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
        pytest.skip("whoever started the tests has SIGINT ignored, and so has every program they start")
    command = [
        sys.executable,
        "-m",
        "wizard.cli",
        "--home",
        str(tmp_path),
        "case",
        "run",
        str(SHIPPED / "cases"),
    ]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        assert process.stdout is not None
        process.stdout.readline()
        process.send_signal(signal.SIGINT)
        try:
            _out, err = process.communicate(timeout=30)
        finally:
            process.kill()
    assert (process.returncode, err) == (130, b"")


@pytest.mark.skipif(sys.platform == "win32", reason="there is no such limit there")
def test_a_full_disk_is_said_in_a_line(tmp_path: Path) -> None:
    """When not a byte more fits: exit code 5, what is the matter and what to do; no traceback, nothing half made."""
    script = (
        "import resource, signal, sys, click\n"
        "from pathlib import Path\n"
        "from tests.cli.conftest import work\n"
        "from wizard.cli.error_exit import guarded\n"
        "@click.command()\n"
        "def job(): work(Path(sys.argv[1]))\n"
        "signal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (20_000, 20_000))\n"
        "sys.exit(guarded(job, []))\n"
    )
    root = Path(__file__).parent.parent.parent
    done = subprocess.run(
        [sys.executable, "-c", script, str(tmp_path)],
        capture_output=True,
        encoding="utf-8",
        cwd=root,
        timeout=60,
    )
    assert done.returncode == 5, done.stderr
    assert done.stderr.startswith("steadfoot: ") and "Traceback" not in done.stderr
    kept = main.main(["--home", str(tmp_path), "session", "list"])
    assert kept == 0


@pytest.mark.skipif(sys.platform == "win32" or os.geteuid() == 0, reason="nothing is forbidden to this user")
def test_a_read_only_home_is_said_in_a_line(tmp_path: Path, session: str, home: Path, run: Run) -> None:
    """Reading goes on where writing is forbidden; a flow is just checked once more."""
    home.chmod(0o500)
    try:
        assert run("session", "show", session).code == 0
        assert (
            run(
                "case",
                "run",
                str(SHIPPED / "cases" / "suspension" / "dampers.toml"),
                "--case",
                "dampers-worn",
            ).code
            == 0
        )
    finally:
        home.chmod(0o700)


def test_letters_that_a_terminal_lacks_break_nothing(session: str, home: Path) -> None:
    """A terminal that knows ASCII only gets '?' for what it can't show."""
    environment = {**os.environ, "PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0", "LC_ALL": "C"}
    done = steadfoot("--home", str(home), "session", "show", session, env=environment)
    assert done.returncode == 0, done.stderr


def test_starting_costs_little() -> None:
    """The list of commands is there well before a second, whatever else is going on here."""
    began = time.monotonic()
    assert steadfoot("--help").returncode == 0
    assert time.monotonic() - began < 5
