"""A session whose flow was sound when it began, and isn't by what this version asks: read, never worked on."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.helpers.jobs import HandClock
from tests.helpers.stored_sessions import flow_files, import_
from wizard.engine.messages import commands as c
from wizard.errors import FlowError
from wizard.flow.loading.flow_loader import load_files
from wizard.sessions.session_store import Store
from wizard.sessions.session_verification import verified
from wizard.sessions.transfer import export

METER = b"""
[[tool]]
id = "meter"
says = "Meter"
unit = "V"
resolution = 1
uncertainty = 1
"""


def older(main: bytes) -> dict[str, bytes]:
    """The small flow with another main file, and with a tool for voltage that names no least reach."""
    return {**flow_files(), "flow.toml": main + METER}


def begun(home: Path, files: dict[str, bytes]) -> str:
    """A session begun on these files by a version that took them."""
    taking = Store(home, HandClock(), known=lambda _digest: True)
    with taking.begin(load_files(files, taking.known), files, "R. Vale") as opened:
        opened.session.do(c.GiveAnswer(opened.session.state.run.id, "danger", ("clear",)))
        opened.session.do(c.SetFact("kind", "front-loader"))
        return opened.name


def test_it_can_be_read_verified_and_sent(tmp_path: Path) -> None:
    """What later versions ask of a flow isn't held against what was done with it."""
    name = begun(tmp_path / "home", older(flow_files()["flow.toml"]))
    store = Store(tmp_path / "home", HandClock())
    assert store.load(name).state.facts == {"kind": "front-loader"}
    assert verified(store, name).ok
    there = Store(tmp_path / "there", HandClock())
    import_(there, export(store, name, tmp_path / "sent.zip"))
    assert there.load(name).state == store.load(name).state


def test_it_is_not_worked_on(tmp_path: Path) -> None:
    """Taking it up is refused, with what is wrong and what can be done."""
    name = begun(tmp_path / "home", older(flow_files()["flow.toml"]))
    with pytest.raises(FlowError) as refused:
        Store(tmp_path / "home", HandClock()).resume(name)
    said = str(refused.value)
    assert "It can be read: session show, session replay. Begin a new job." in said
    assert 'tool "meter": a tool for voltage touches terminals' in said
    with Store(tmp_path / "home", HandClock(), known=lambda _digest: True).resume(name):
        pass  # The journal was let go.


def test_a_flow_that_names_what_is_not_there_is_not_read(tmp_path: Path) -> None:
    """What no version took is refused: a screen made of it would fall over."""
    broken = flow_files()["flow.toml"].replace(
        b'find = ["quick", "dampers", "motor"]', b'find = ["quick", "nothing"]'
    )
    name = begun(tmp_path / "home", {**flow_files(), "flow.toml": broken})
    with pytest.raises(FlowError, match="nothing"):
        Store(tmp_path / "home", HandClock()).load(name)
