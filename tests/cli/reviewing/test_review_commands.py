"""``steadfoot session``: replay, flags, export and import."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.conftest import Run, work
from tests.helpers.wandering_jobs import Watched
from wizard.cli.main import main
from wizard.journal import session_name
from wizard.platform.system_clock import SystemClock
from wizard.review.replay import Replay
from wizard.sessions.session_store import Store


def test_time_line_has_every_event_on_a_line(run: Run, session: str, home: Path) -> None:
    """In order, with how the machine stood and the time spent after it."""
    said = run("session", "replay", session, "--list")
    loaded = Store(home, SystemClock()).load(session)
    assert said.code == 0
    lines = said.out.splitlines()
    numbers = [int(line[:5]) for line in lines if line[:5].strip().isdigit()]
    assert numbers == [r.seq for r in loaded.records]
    assert "How the machine stood" in lines and "Time spent" in lines
    assert any("Dampers: " in line and "usually 20 min 00 s" in line for line in lines)


def test_time_line_as_json_is_the_replay(run: Run, session: str, home: Path) -> None:
    """A program gets events, how the machine stood, steps and changes."""
    table = json.loads(run("session", "replay", session, "--json").out)
    loaded = Store(home, SystemClock()).load(session)
    replay = Replay(loaded.flow, loaded.records)
    assert len(table["events"]) == len(replay)
    assert [tuple(s["words"]) for s in table["safety"]] == [s.words for s in replay.spans]
    assert len(table["steps"]) == len(replay.steps) and table["changes"] == []


@pytest.mark.parametrize("form", ["--list", "--json"])
def test_list_at_an_event_is_refused(run: Run, session: str, form: str) -> None:
    """A list has every event: what was asked for besides isn't left out in silence."""
    said = run("session", "replay", session, form, "--at", "3")
    assert (said.code, said.out) == (2, "") and "Leave one of the two out" in said.err


def test_replay_without_a_terminal_says_so(run: Run, session: str) -> None:
    """The screen can't be drawn into a pipe; the exit code is that of a missing terminal."""
    said = run("session", "replay", session)
    assert said.code == 8 and "no terminal" in said.err.lower()


def test_flags_are_listed_with_evidence_and_place(run: Run, session: str) -> None:
    """A job that a script did in no time has quick steps; each says where and how quick."""
    said = run("session", "flags", session)
    assert said.code == 0 and "to look at: " in said.out
    assert "[readings-same]" in said.out and "18 readings, each" in said.out
    rows = json.loads(run("session", "flags", session, "--json").out)
    assert {"rule", "says", "evidence", "seq", "where", "at", "measure", "kind", "gravity"} == set(rows[0])
    assert run("session", "flags", session, "--all").out.count("\nevent ") == len(rows)


def test_shop_sets_its_own_thresholds(run: Run, session: str, home: Path) -> None:
    """HOME/flags.toml; a mistake in it is one plain line and code 2."""
    own = home / "flags.toml"
    own.write_text("[readings-same]\non = false\n", encoding="utf-8")
    assert "[readings-same]" not in run("session", "flags", session).out
    own.write_text("[step-quik]\non = false\n", encoding="utf-8")
    said = run("session", "flags", session)
    assert said.code == 2 and "Did you mean 'step-quick'?" in said.err and said.err.count("\n") == 1


def test_session_goes_to_another_home(
    run: Run, session: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Exported here, imported there, twice; it replays and verifies there."""
    sent = tmp_path / "sent.zip"
    assert json.loads(run("session", "export", session, str(sent), "--json").out)["file"] == str(sent)
    away = str(tmp_path / "away")
    assert main(["--home", away, "session", "import", str(sent)]) == 0
    assert f"Session {session} is here now" in capsys.readouterr().out
    assert main(["--home", away, "session", "import", str(sent), "--json"]) == 0
    (table,) = json.loads(capsys.readouterr().out)
    assert (table["outcome"], table["added"], table["verified"]["whole"]) == ("same", [], True)
    assert main(["--home", away, "session", "verify", session]) == 0
    capsys.readouterr()
    assert main(["--home", away, "session", "replay", session, "--list"]) == 0
    assert capsys.readouterr().out == run("session", "replay", session, "--list").out


def test_a_job_that_went_on_elsewhere_is_brought_up(
    run: Run, session: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The same job with three acts is here: the longer one is taken, and ends with what verify says."""
    sent = tmp_path / "sent.zip"
    run("session", "export", session, str(sent))
    away = tmp_path / "away"
    assert work(away, acts=3) == session
    assert main(["--home", str(away), "session", "import", str(sent)]) == 0
    said = capsys.readouterr().out
    assert "went on since it came in last" in said and f"Session {session} is whole" in said
    assert main(["--home", str(away), "session", "verify", session]) == 0


def test_two_of_one_name_are_kept_and_it_is_said(
    run: Run, session: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Another laptop's job of that name: both are here afterwards, and the words name the event at which they part."""
    sent, away = tmp_path / "sent.zip", tmp_path / "away"
    run("session", "export", session, str(sent))
    Watched(away, {"serial": "Y9"}).opened.close()
    assert main(["--home", str(away), "session", "import", str(sent)]) == 0
    said = capsys.readouterr().out
    assert f"is here as {session}: the two part at event" in said and "Both are kept" in said
    assert len(list((away / "sessions").iterdir())) == 2


def test_a_drop_folder_is_taken_in_and_what_is_wrong_is_counted(
    run: Run, session: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """All of a folder; one that is no parcel is said, makes the code 4, and keeps no other out."""
    drop, away = tmp_path / "drop", tmp_path / "away"
    drop.mkdir()
    run("session", "export", session, str(drop))
    (drop / "odd.zip").write_bytes(b"not a zip")
    assert main(["--home", str(away), "session", "import", str(drop)]) == 4
    said = capsys.readouterr()
    assert "Of 2 files: 1 new, 1 not taken in." in said.out and "odd.zip" in said.out
    assert "1 file of 2 was not taken in" in said.err and said.err.count("\n") == 1
    (drop / "odd.zip").unlink()
    assert main(["--home", str(away), "session", "import", str(drop), "--json"]) == 0
    assert [row["outcome"] for row in json.loads(capsys.readouterr().out)] == ["known"]


def test_a_session_is_named_by_day_and_letter(run: Run, home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every command takes what is said aloud, where one session alone has it; where two have, both are named."""
    marks = iter(["k7m3qd", "w2x4yz"])
    monkeypatch.setattr(session_name, "fresh_mark", lambda: next(marks))
    whole = work(home)
    assert whole.endswith("-a-k7m3qd")
    aloud = whole.removesuffix("-k7m3qd")
    for call in ("show", "verify", "flags", "replay"):
        said = run("session", call, aloud, *(["--list"] if call == "replay" else []))
        assert said.code == 0 and (call == "replay" or whole in said.out), said.err
    assert run("case", "from", aloud).code == 0
    (home / "sessions" / f"{aloud}-pppppp").mkdir()
    said = run("session", "show", aloud)
    assert said.code == 2 and "several sessions" in said.err and whole in said.err


def test_file_that_is_no_parcel_is_refused(run: Run, tmp_path: Path) -> None:
    (tmp_path / "x.zip").write_bytes(b"not a zip")
    said = run("session", "import", str(tmp_path / "x.zip"))
    assert said.code == 4 and "no parcel" in said.err and said.err.count("\n") == 1
    assert run("session", "import", str(tmp_path / "none.zip")).code == 2


def test_altered_handover_and_broken_rules_are_verified(run: Run, session: str, home: Path) -> None:
    """The papers of the visit count too."""
    table = json.loads(run("session", "verify", session, "--json").out)
    assert table["breaches"] == [] and table["unreadable"] == "" and table["flow"]["trouble"] == ""


@pytest.mark.parametrize("command", ["replay", "flags", "export", "import"])
def test_help_has_an_example(run: Run, command: str) -> None:
    said = run("session", command, "--help")
    assert said.code == 0 and "steadfoot session" in said.out and "Example" in said.out
