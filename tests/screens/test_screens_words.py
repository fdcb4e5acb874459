"""Words and times as they are written on screen."""

import re

from jobs import Job

from wizard.engine import commands as c
from wizard.engine.safety import VOID_WHYS
from wizard.flow.model import STATES
from wizard.screens import words


def test_every_safety_state_has_a_word_of_its_own():
    """All of them, and stopped."""
    assert set(words.SAFETY) == {*STATES, "stopped"}
    assert len(set(words.SAFETY.values())) == len(words.SAFETY)


def test_every_way_that_a_gate_ends_has_a_sentence():
    """The engine's reasons are all there."""
    assert set(VOID_WHYS) <= set(words.ENDED_BY)


def test_the_hour_stands_with_what_a_gate_established():
    """ISOLATED 14:02; the bare word where nothing was."""
    job = Job()
    assert words.since(job.state) == "NOT ISOLATED"
    job.isolate()
    assert re.fullmatch(r"ISOLATED \d\d:\d\d", words.since(job.state))
    job.do(c.Pause())
    assert words.since(job.state) == "NOT ISOLATED"
    assert re.fullmatch(r"ISOLATED \d\d:\d\d", words.known(job.state))


def test_a_time_that_can_t_be_read_is_no_time():
    """An altered journal must not break a screen."""
    assert words.local("") is None and words.hour("yesterday") == "" and words.day_and_hour("x") == ""


def test_lists_read_like_a_sentence():
    """One, two, three."""
    assert [words.listed(("a", "b", "c")[:n]) for n in range(4)] == ["", "a", "a and b", "a, b and c"]
