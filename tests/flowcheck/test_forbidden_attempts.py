"""Attempts to get past a rule: each is refused for the reason a case names, and the job goes on afterwards."""

from __future__ import annotations

from typing import Any

import pytest

from tests.helpers.flows.case_dicts import attempt, played
from wizard.domain.vocabulary import RefusalReason


@pytest.mark.parametrize(
    ("at", "kind", "more", "refused"),
    [
        ("power.try", "skip", {}, "unknown"),
        ("dampers.bounce", "close", {}, "close"),
        ("dampers.pull", "fit", {"fault": "dampers-worn"}, "decided"),
        ("power.try", "answer", {"step": "dampers.bounce", "answers": ["swings"]}, "late"),
        ("power.try", "answer", {"step": "dampers.pull", "answers": ["pass"]}, "late"),
        ("quick.bolts", "open", {"inspection": "spin"}, "needs"),
        ("dampers.pull", "open", {"inspection": "spin"}, "needs"),
        ("quick.bolts", "jump", {"step": "dampers.bounce"}, "needs"),
        ("power.try", "jump", {"step": "dampers.pull"}, "needs"),
        ("dampers.bounce", "jump", {"step": "motor.signs"}, "needs"),
        ("motor.signs", "jump", {"step": "spin.run"}, "needs"),
        ("dampers.bounce", "undo", {}, "late"),
        ("dampers.bounce", "leave", {}, "late"),
        ("dampers.bounce", "restart", {}, "late"),
        ("dampers.bounce", "break", {}, "late"),
        ("dampers.bounce", "pause", {"seconds": 1200.0}, "lapsed"),
        ("power.try", "restart", {}, "late"),
        ("power.try", "pause", {"seconds": 3600.0}, "lapsed"),
        ("dampers.bounce", "correct", {"step": "before.danger", "answers": ["scorched"]}, "job"),
        ("dampers.bounce", "correct", {"step": "power.try", "answers": ["traced"]}, "late"),
        ("dampers.bounce", "correct", {"step": "motor.signs", "answers": []}, "unknown"),
        ("power.try", "forge", {"condition": "verified", "value": "yes"}, "late"),
        ("dampers.pull", "forge", {"condition": "supply", "value": "held"}, "late"),
        ("dead.volts", "forge", {"condition": "dead", "value": "proved"}, "late"),
    ],
)
def test_an_attempt_is_refused(at: str, kind: str, more: dict[str, Any], refused: str) -> None:
    """No way past what a step needs: not by passing over, jumping, taking back, correcting, restarting or forging."""
    result = played(attempt(at, kind, refused, **more))
    assert [(t.refused, t.held) for t in result.attempts] == [(RefusalReason(refused), True)], result.problems


@pytest.mark.parametrize(
    ("kind", "more", "refused"),
    [
        ("skip", {}, "unknown"),
        ("answer", {"step": "dampers.bounce", "answers": ["swings"]}, "late"),
        ("jump", {"step": "dampers.pull"}, "needs"),
        ("forge", {"condition": "dead", "value": "proved"}, "late"),
        ("leave", {}, "late"),
        ("restart", {}, "late"),
        ("break", {}, "late"),
        ("pause", {"seconds": 1200.0}, "lapsed"),
    ],
)
def test_the_job_goes_on_after_an_attempt(kind: str, more: dict[str, Any], refused: str) -> None:
    """A refused attempt and an interruption leave a job that can be finished: what is needed is asked once more."""
    result = played(attempt("power.try", kind, refused, **more))
    assert (result.outcome, result.problems) == ("proved", ())


def test_after_a_restart_what_is_needed_is_asked_again() -> None:
    """Nothing that was known before is believed: the step that waits comes after all of it once more."""
    plain, restarted = played(), played(attempt("dampers.pull", "restart", "late"))
    asked = [sum(str(p.step) == "power.try" for p in r.path) for r in (plain, restarted)]
    assert asked[1] == asked[0] + 1
    assert restarted.ok, restarted.problems


def test_a_pause_that_is_short_is_no_lapse() -> None:
    """Five minutes without a key are work, so the attempt gets through, and the case says so."""
    result = played(attempt("dampers.bounce", "pause", "lapsed", seconds=300.0))
    assert not result.ok
    assert "attempt pause 300 s at dampers.bounce was let through" in result.problems[0]


def test_the_wrong_reason_is_not_good_enough() -> None:
    """An attempt that is refused for another reason than the case names fails the case."""
    result = played(attempt("power.try", "skip", "late"))
    assert result.problems == ("attempt skip at power.try was refused as unknown; expected refused as late.",)


def test_an_attempt_at_a_step_that_is_never_asked_fails_the_case() -> None:
    """What was not tried proves nothing."""
    result = played(attempt("leaving.mark", "skip", "unknown"))
    assert result.problems == ("attempt skip was never made: leaving.mark was not asked.",)


def test_opening_an_inspection_that_needs_nothing_is_let_through() -> None:
    """What may be opened right away is said to be so."""
    result = played(attempt("dampers.pull", "open", "needs", inspection="quick"))
    assert result.problems == (
        "attempt open quick at dampers.pull was let through; expected refused as needs.",
    )


@pytest.mark.parametrize(
    ("kind", "more", "refused"),
    [
        ("open", {"inspection": "spin"}, "needs"),
        ("jump", {"step": "spin.run"}, "needs"),
        ("forge", {"condition": "dead", "value": "proved"}, "late"),
    ],
)
def test_what_is_tried_on_a_copy_leaves_the_job_alone(kind: str, more: dict[str, Any], refused: str) -> None:
    """Opening, jumping and forging are made on a copy: the events are those of the case without them."""
    assert played(attempt("dampers.pull", kind, refused, **more)).records == played().records
