"""Whatever a value of a record is, under seals that hold: each command and each paper says something, none ends."""

from __future__ import annotations

from collections.abc import Callable
from random import Random
from typing import Any

import pytest

from tests.cli.conftest import work
from tests.helpers.stored_sessions import home_at, store_at
from tests.sessions.test_session_verification import resealed
from wizard.cli.main import main
from wizard.errors import EXIT_CODES
from wizard.journal.journal_reader import read
from wizard.sessions.session_store import Store

ODD: dict[str, Callable[[Any], Any]] = {
    "zero": lambda v: 0 if isinstance(v, int | float) and not isinstance(v, bool) else v,
    "negative": lambda v: -v if isinstance(v, int | float) and not isinstance(v, bool) else v,
    "huge": lambda v: 10**18 if type(v) is int else 1e308 if isinstance(v, float) else v,
    "not a number": lambda v: float("nan") if isinstance(v, float) else v,
    "empty text": lambda v: "" if isinstance(v, str) else v,
    "other text": lambda v: "99999999999999999999" if isinstance(v, str) else v,
    "empty list": lambda v: [] if isinstance(v, list) else v,
    "long list": lambda v: v * 3 if isinstance(v, list) else v,
}
"""What a value becomes, by its kind."""

KEPT = {"sequence", "at", "kind"}
"""What an event must keep to be read as one at all."""

COMMANDS = (
    ("case", "from"), ("session", "show"), ("session", "report"), ("session", "verify"), ("session", "flags"),
    ("session", "rejudge"), ("session", "replay", "--list"),
)  # fmt: skip


def changed(value: Any, odd: Callable[[Any], Any]) -> Any:
    """A value with all that is in it made odd."""
    if isinstance(value, dict):
        return {key: changed(each, odd) for key, each in value.items()}
    if isinstance(value, list):
        return odd([changed(each, odd) for each in value])
    return odd(value)


def one_odd(event: dict[str, Any], kind: str, odd: Callable[[Any], Any]) -> dict[str, Any]:
    """An event of one kind with all of its values made odd but those that make it one; any other as it is."""
    if event["kind"] != kind:
        return event
    return {key: value if key in KEPT else changed(value, odd) for key, value in event.items()}


@pytest.fixture(scope="module")
def measured(tmp_path_factory: pytest.TempPathFactory) -> tuple[Store, str]:
    """A whole job of worn dampers, with readings, a repair and its proof."""
    home = tmp_path_factory.mktemp("measured") / "home"
    name = work(home)
    return store_at(home), name


def tried(store: Store, name: str, kind: str, odd: str, capsys: pytest.CaptureFixture[str]) -> list[object]:
    """What is wrong of the commands where the events of one kind are odd."""
    journal = store.home.session_folder(name) / "journal.toml"
    whole = journal.read_bytes()
    try:
        resealed(journal, lambda events: [one_odd(e, kind, ODD[odd]) for e in events])
    except (TypeError, ValueError):
        return []  # No journal can hold it.
    try:
        wrong: list[object] = []
        for command in COMMANDS:
            code = main(["--home", str(store.root), *command[:2], name, *command[2:]])
            said = capsys.readouterr()
            if code not in EXIT_CODES or code == 1 or "Traceback" in said.err + said.out:
                wrong.append((kind, odd, command, code, said.err[-300:]))
        return wrong
    finally:
        journal.write_bytes(whole)


def kinds(store: Store, name: str) -> list[str]:
    """The kinds of events of a session."""
    return sorted({e["kind"] for e in read(store.home.session_folder(name) / "journal.toml").events})


@pytest.fixture(scope="module")
def closed(tmp_path_factory: pytest.TempPathFactory) -> tuple[Store, str]:
    """A closed session."""
    store = home_at(tmp_path_factory.mktemp("closed") / "home")
    return store, store.home.list_ids()[0]


@pytest.mark.parametrize("odd", ODD)
def test_no_odd_value_ends_a_command(closed, measured, capsys, odd: str) -> None:
    """Of some kinds of events, one at a time. Papers and cases ended by KeyError, ZeroDivisionError, IndexError."""
    for store, name in (closed, measured):
        some = kinds(store, name)
        for kind in Random(odd).sample(some, 2):
            assert tried(store, name, kind, odd, capsys) == []


@pytest.mark.nightly
@pytest.mark.parametrize("odd", ODD)
def test_no_odd_value_ends_a_command_by_night(closed, measured, capsys, odd: str) -> None:
    """Of every kind of event."""
    for store, name in (closed, measured):
        for kind in kinds(store, name):
            assert tried(store, name, kind, odd, capsys) == []
