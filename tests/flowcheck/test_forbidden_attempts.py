"""Attempts to get past a rule: each is refused for the reason a case names, and the job goes on afterwards."""

from __future__ import annotations

import pytest

from tests.helpers.case_dicts import attempt, played
from wizard.domain.vocabulary import RefusalReason


@pytest.mark.parametrize(
    ("at", "do", "refused"),
    [
        ("power.try", "skip", "unknown"),
        ("dampers.bounce", "close", "close"),
        ("dampers.pull", "fit:dampers-worn", "decided"),
        ("power.try", "answer:dampers.bounce:swings", "late"),
        ("power.try", "answer:dampers.pull:pass", "late"),
        ("quick.bolts", "open:spin", "needs"),
        ("dampers.pull", "open:spin", "needs"),
        ("quick.bolts", "jump:dampers.bounce", "needs"),
        ("power.try", "jump:dampers.pull", "needs"),
        ("dampers.bounce", "jump:motor.signs", "needs"),
        ("motor.signs", "jump:spin.run", "needs"),
        ("dampers.bounce", "undo", "late"),
        ("dampers.bounce", "leave", "late"),
        ("dampers.bounce", "restart", "late"),
        ("dampers.bounce", "break", "late"),
        ("dampers.bounce", "pause:1200", "lapsed"),
        ("power.try", "restart", "late"),
        ("power.try", "pause:3600", "lapsed"),
        ("dampers.bounce", "correct:before.danger:scorched", "job"),
        ("dampers.bounce", "correct:power.try:traced", "late"),
        ("dampers.bounce", "correct:motor.signs:none", "unknown"),
        ("power.try", "forge:verified:yes", "late"),
        ("dampers.pull", "forge:supply:held", "late"),
        ("dead.volts", "forge:dead:proved", "late"),
    ],
)
def test_an_attempt_is_refused(at: str, do: str, refused: str) -> None:
    """No way past what a step needs: not by passing over, jumping, taking back, correcting, restarting or forging."""
    result = played(attempt(at, do, refused))
    assert [(t.refused, t.held) for t in result.attempts] == [(RefusalReason(refused), True)], result.problems


@pytest.mark.parametrize(
    ("do", "refused"),
    [
        ("skip", "unknown"),
        ("answer:dampers.bounce:swings", "late"),
        ("jump:dampers.pull", "needs"),
        ("forge:dead:proved", "late"),
        ("leave", "late"),
        ("restart", "late"),
        ("break", "late"),
        ("pause:1200", "lapsed"),
    ],
)
def test_the_job_goes_on_after_an_attempt(do: str, refused: str) -> None:
    """A refused attempt and an interruption leave a job that can be finished: what is needed is asked once more."""
    result = played(attempt("power.try", do, refused))
    assert (result.outcome, result.problems) == ("proved", ())


def test_after_a_restart_what_is_needed_is_asked_again() -> None:
    """Nothing that was known before is believed: the step that waits comes after all of it once more."""
    plain, restarted = played(), played(attempt("dampers.pull", "restart", "late"))
    asked = [sum(p.step == "power.try" for p in r.path) for r in (plain, restarted)]
    assert asked[1] == asked[0] + 1
    assert restarted.ok, restarted.problems


def test_a_pause_that_is_short_is_no_lapse() -> None:
    """Five minutes without a key are work, so the attempt gets through, and the case says so."""
    result = played(attempt("dampers.bounce", "pause:300", "lapsed"))
    assert not result.ok
    assert "attempt pause:300 at dampers.bounce was let through" in result.problems[0]


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
    result = played(attempt("dampers.pull", "open:quick", "needs"))
    assert result.problems == (
        "attempt open:quick at dampers.pull was let through; expected refused as needs.",
    )


@pytest.mark.parametrize(
    ("do", "refused"), [("open:spin", "needs"), ("jump:spin.run", "needs"), ("forge:dead:proved", "late")]
)
def test_what_is_tried_on_a_copy_leaves_the_job_alone(do: str, refused: str) -> None:
    """Opening, jumping and forging are made on a copy: the events are those of the case without them."""
    assert played(attempt("dampers.pull", do, refused)).records == played().records
