"""Long lines of text are broken between words at a terminal's edge, and never where a program reads them."""

from __future__ import annotations

import io
import json
import sys
from pathlib import Path

import pytest

from tests.cli.conftest import Run
from tests.cli.test_flow_commands import own
from wizard.cli import output


class TerminalStream(io.StringIO):
    """A stream that is a terminal."""

    def isatty(self) -> bool:
        """It is one."""
        return True


@pytest.mark.parametrize("columns", [40, 80, 100])
def test_no_word_is_broken_and_none_lost(columns: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every line fits, what goes on stands further in, and the words are the same in their order."""
    monkeypatch.setenv("COLUMNS", str(columns))
    line = "    " + "A switched-off machine is bagged, tagged and tried before anybody reaches into it. " * 4
    lines = output.fold(line, TerminalStream()).splitlines()
    assert len(lines) > 1 and max(map(len, lines)) <= columns
    assert " ".join(lines).split() == line.split()
    assert lines[0].startswith("    A") and all(x.startswith("      ") and x[6] != " " for x in lines[1:])


def test_a_path_stays_whole(monkeypatch: pytest.MonkeyPatch) -> None:
    """A word longer than the terminal can still be copied; a line that fits is left alone."""
    monkeypatch.setenv("COLUMNS", "40")
    path = "/flows/" + "folder-" * 9 + "/limits.toml:12:3:"
    assert (
        path
        in output.fold(f"{path} the limit isn't there, and nothing is near it", TerminalStream()).splitlines()
    )
    assert output.fold("a  b", TerminalStream()) == "a  b"


def test_a_pipe_gets_the_line_as_it_is(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever COLUMNS says."""
    monkeypatch.setenv("COLUMNS", "20")
    assert output.fold("word " * 30, io.StringIO()) == "word " * 30


def broken(home: Path) -> Path:
    """A flow with problems that take more than a line."""
    folder = own(home)
    pull = folder / "inspections" / "dampers.toml"
    pull.write_text(pull.read_text("utf-8").replace('"damper-drag"', '"damper-drg"'), "utf-8")
    return folder


@pytest.mark.skipif(sys.platform == "win32", reason="pexpect has no terminal there")
@pytest.mark.parametrize("command", [
    ["flow", "check"],
    ["flow", "check", "--explain", "state"],
    ["flow", "check", "--explain", "sate"],
])  # fmt: skip
def test_at_80_columns_words_are_whole(run: Run, home: Path, command: list[str]) -> None:
    """In a real pseudo-terminal no line is longer than it, and all words of what a pipe gets are there, unbroken."""
    import pexpect

    folder = broken(home)
    args = [*command, str(folder)] if len(command) == 2 else command
    child = pexpect.spawn(
        sys.executable,
        ["-m", "wizard.cli", "--home", str(home), *args],
        encoding="utf-8",
        dimensions=(24, 80),
    )
    child.expect(pexpect.EOF)
    shown, said = child.before.replace("\r\n", "\n"), run(*args)
    assert shown.split() == (said.out + said.err).split()
    long = [line for line in shown.splitlines() if len(line) > 80]
    assert all(len(line.split()) == 1 for line in long), long
    assert max(map(len, (said.out + said.err).splitlines())) > 80


def test_json_is_never_broken(run: Run, home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A narrow terminal's COLUMNS changes nothing of it."""
    monkeypatch.setenv("COLUMNS", "40")
    said = run("flow", "check", str(broken(home)), "--json")
    assert any(len(line) > 80 for line in said.out.splitlines()) and json.loads(said.out)


def test_a_newline_in_somebodys_words_begins_no_line(capsys):
    """A note of a sealed journal that would stand there as a line of the program's own."""
    output.write_lines(["Note: Oil.\nStands  repaired and proved"], indent=2)
    assert capsys.readouterr().out == "  Note: Oil.\\nStands  repaired and proved\n"
