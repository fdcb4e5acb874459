"""``steadfoot session``: list, show and verify."""

from __future__ import annotations

import json
from pathlib import Path

from tests.cli.conftest import Run, work
from wizard.engine.messages import commands as c
from wizard.engine.queries import inspection_queries, machine_queries
from wizard.journal.sealed_block import grouped
from wizard.platform.system_clock import SystemClock
from wizard.sessions.session_store import Store


def journal(home: Path, session: str) -> Path:
    """The file of a session."""
    return home / "sessions" / session / "journal.toml"


def test_an_empty_home_has_no_sessions(run: Run, home: Path) -> None:
    """It is said, with the folder; nothing is made."""
    said = run("session", "list")
    assert said.code == 0 and str(home) in said.out
    assert not home.exists()
    assert json.loads(run("session", "list", "--json").out) == []


def test_the_list_says_how_each_session_stands(run: Run, home: Path) -> None:
    """The newest first, under way or how it ended."""
    first, second = work(home), work(home, acts=12)
    rows = json.loads(run("session", "list", "--json").out)
    assert [row["session"] for row in rows] == [second, first]
    assert [row["stands"] for row in rows] == ["under way", "repaired and proved"]
    assert rows[0]["technician"] == "R. Vale" and rows[0]["ticket"] == "T-1"
    assert first in run("session", "list").out


def test_a_damaged_session_is_listed_as_such(run: Run, session: str, home: Path) -> None:
    """One bad journal hides no other."""
    other = work(home)
    path = journal(home, session)
    path.write_bytes(path.read_bytes().replace(b"swings", b"swangs", 1))
    said = run("session", "list")
    assert said.code == 0
    assert "can't be read" in said.out and other in said.out


def test_show_tells_the_job_from_the_door_to_the_end(run: Run, session: str) -> None:
    """Machine, answers with their readings, decision, repair, what was made sure of, how it stands, the chain
    value.
    """
    out = run("session", "show", session).out
    for words in ("R. Vale", "Front loader", "Dampers, bounce: Three or more [fail]", "22 ± 3 N", "fitted",
                  "repaired and proved", "Safety log", "Terminals: proved dead", "How the machine stands",
                  "Owner: told (", "Never asked, so not known: ", "Record"):  # fmt: skip
        assert words in out, words


def test_show_as_json_has_every_answer(run: Run, session: str, home: Path) -> None:
    """A program gets the answers and the readings as they stand."""
    table = json.loads(run("session", "show", session, "--json").out)
    loaded = Store(home, SystemClock()).load(session)
    assert len(table["answers"]) == len(loaded.state.answer_records)
    assert len(table["readings"]) == len(loaded.state.reading_records)
    assert table["chain"] == loaded.chain
    assert table["minutes"] == inspection_queries.minutes(loaded.view) > 60
    belief = machine_queries.belief(loaded.view)
    assert table["machine"] == {name: sorted(values) for name, values in belief.items()}
    assert len(table["beliefs"]) == len(loaded.state.changes) and table["latched"] == []


def test_show_tells_the_stops_and_who_released_them(run: Run, home: Path) -> None:
    """Two stops, one released by name: both are there, what is still latched too, in words and for a program."""
    name = work(home, acts=12)
    with Store(home, SystemClock()).resume(name) as opened:
        for command in (
            c.StopWork("scorched", "It smells"),
            c.StopWork("gas"),
            c.Release("outlet", "P. Elm", "New outlet fitted"),
            c.MakeSafe("gas", 0),
        ):
            opened.session.do(command)
    out = run("session", "show", name).out
    assert out.count("\nStopped  ") == 2
    assert "Released: Plug and outlet, by P. Elm, " in out and "Not released: Gas." in out
    assert "Forbidden  Gas is smelt." in out
    table = json.loads(run("session", "show", name, "--json").out)
    assert [stop["stop"] for stop in table["stops"]] == ["scorched", "gas"]
    assert table["stops"][1]["done"] == {"0": ""} and table["latched"] == ["gas"]
    assert [r["condition"] for r in table["releases"]] == ["outlet"]


def test_a_whole_session_verifies(run: Run, session: str, home: Path) -> None:
    """Also against the value printed at the handover."""
    chain = Store(home, SystemClock()).load(session).chain
    assert run("session", "verify", session).code == 0
    said = run("session", "verify", session, "--printed", grouped(chain))
    assert said.code == 0 and "The printed value is that of the last block." in said.out
    table = json.loads(run("session", "verify", session, "--json").out)
    assert table["whole"] is True and table["last"] == chain


def test_a_torn_end_is_shown_and_fails_the_check(run: Run, session: str, home: Path) -> None:
    """What was cut off is said; what stands before it can be read."""
    path = journal(home, session)
    path.write_bytes(path.read_bytes()[:-40])
    assert "bytes torn at its end" in run("session", "show", session).out
    said = run("session", "verify", session)
    assert said.code == 4
    assert "torn." in said.out and said.err.count("\n") == 1


def test_an_altered_answer_is_found_with_its_place(run: Run, session: str, home: Path) -> None:
    """Block and line are told, and the session is not shown as if it were whole: what is missing is said, and ends it
    with 4.
    """
    path = journal(home, session)
    path.write_bytes(path.read_bytes().replace(b'    "swings",\n', b'    "settle",\n', 1))
    said = run("session", "verify", session)
    assert said.code == 4 and "altered" in said.out and "line" in said.out
    shown = run("session", "show", session)
    assert shown.code == 4 and shown.err.count("\n") == 1 and "fit no seal" in shown.out


def test_blocks_cut_off_the_end_are_seen_against_the_printed_value(
    run: Run, session: str, home: Path
) -> None:
    """The chain alone can't see it; the value on the paper can."""
    chain = Store(home, SystemClock()).load(session).chain
    path = journal(home, session)
    data = path.read_bytes()
    path.write_bytes(data[: data.rindex(b"[[event]]")])
    assert run("session", "verify", session).code == 0
    said = run("session", "verify", session, "--printed", chain)
    assert said.code == 4 and "cut-off" in said.out


def test_a_kept_flow_that_was_altered_is_found(run: Run, session: str, home: Path) -> None:
    """The exact flow belongs to the session."""
    (limits,) = (home / "kept").glob("*/limits.toml")
    limits.write_text(limits.read_text(encoding="utf-8").replace("below = ", "below =  "), encoding="utf-8")
    said = run("session", "verify", session)
    assert said.code == 4 and "the kept flow was altered" in said.out


def test_an_attachment_that_was_altered_is_found(run: Run, home: Path, tmp_path: Path) -> None:
    """A photo is checked against the SHA-256 in the journal."""
    name = work(home, acts=12)
    photo = tmp_path / "photo.jpg"
    photo.write_bytes(b"as it was")
    with Store(home, SystemClock()).resume(name) as opened:
        opened.attach(photo, "The plug")
    assert run("session", "verify", name).code == 0
    (kept,) = (home / "sessions" / name / "attachments").iterdir()
    kept.write_bytes(b"as it is now")
    said = run("session", "verify", name)
    assert said.code == 4 and "it was altered" in said.out


def test_a_session_that_isnt_there_is_code_2(run: Run, session: str) -> None:
    """The nearest id is named."""
    said = run("session", "show", session[:-1] + "b")
    assert said.code == 2 and f"Did you mean {session}?" in said.err
    assert run("session", "show", "../../etc").code == 2


def test_a_printed_value_that_is_none_is_code_2(run: Run, session: str) -> None:
    """It says how one looks."""
    said = run("session", "verify", session, "--printed", "hello")
    assert said.code == 2 and "16 digits" in said.err
