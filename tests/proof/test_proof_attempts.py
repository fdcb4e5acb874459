"""Attempts to get past a rule: each is refused for the reason a case names, and the job goes on afterwards."""

from __future__ import annotations

import pytest

from tests.proof.scripts import attempt, played


@pytest.mark.parametrize(
    ("at", "do", "refused"),
    [
        ("isolate.press", "skip-gate", "gate"),
        ("isolate.look", "answer:dampers.pull:pass", "late"),
        ("isolate.look", "answer:dampers.bounce:swings", "late"),
        ("quick.bolts", "open:spin", "gate"),
        ("dampers.pull", "open:spin", "gate"),
        ("dampers.bounce", "undo", "undo"),
        ("dampers.bounce", "restart", "gate"),
        ("dampers.bounce", "break", "gate"),
        ("dampers.bounce", "pause:1200", "lapsed"),
        ("dampers.bounce", "correct:isolate.look:no", "job"),
        ("dampers.bounce", "correct:isolate.press:yes", "gate"),
        ("dampers.bounce", "correct:motor.signs:none", "unknown"),
        ("isolate.press", "restart", "late"),
        ("isolate.press", "pause:3600", "lapsed"),
        ("dampers.pull", "forge:isolated", "gate"),
        ("isolate.press", "forge:isolated", "late"),
        ("isolate.taps", "forge:proving", "late"),
    ],
)
def test_an_attempt_is_refused(at: str, do: str, refused: str) -> None:
    """No way past a gate: not by skipping, answering, opening, taking back, correcting, restarting or forging."""
    result = played(attempt(at, do, refused))
    assert [(t.refused, t.held) for t in result.attempts] == [(refused, True)], result.problems


@pytest.mark.parametrize(
    "do", ["skip-gate", "answer:dampers.bounce:swings", "restart", "break", "pause:1200"]
)
def test_the_job_goes_on_after_an_attempt(do: str) -> None:
    """A refused attempt and an interruption leave a job that can be finished: through the gate once more."""
    result = played(attempt("isolate.press", do, "gate" if do == "skip-gate" else "late"))
    assert result.outcome == "proved"


def test_after_a_restart_the_gate_is_asked_again() -> None:
    """The step that waits is reached only through all of the gate once more."""
    plain, restarted = played(), played(attempt("dampers.pull", "restart", "gate"))
    asked = [sum(p.step == "isolate.look" for p in r.path) for r in (plain, restarted)]
    assert asked[1] == asked[0] + 1
    assert restarted.ok, restarted.problems


def test_a_pause_that_is_short_is_no_lapse() -> None:
    """Five minutes without a key are work, so the attempt gets through, and the case says so."""
    result = played(attempt("dampers.bounce", "pause:300", "lapsed"))
    assert not result.ok
    assert "attempt pause:300 at dampers.bounce was let through" in result.problems[0]


def test_the_wrong_reason_is_not_good_enough() -> None:
    """An attempt that is refused for another reason than the case names fails the case."""
    result = played(attempt("isolate.press", "skip-gate", "late"))
    assert result.problems == (
        "attempt skip-gate at isolate.press was refused as gate; expected refused as late.",
    )


def test_an_attempt_at_a_step_that_is_never_asked_fails_the_case() -> None:
    """What was not tried proves nothing."""
    result = played(attempt("leave.tag", "skip-gate", "gate"))
    assert result.problems == ("attempt skip-gate was never made: leave.tag was not asked.",)


def test_going_through_an_inspection_leaves_the_job_alone() -> None:
    """An attempt to go through an inspection is made on a copy: the path is that of the case without it."""
    assert played(attempt("dampers.pull", "open:spin", "gate")).path == played().path


def test_a_forged_journal_leaves_the_job_alone() -> None:
    """The forged event is never among those of the case."""
    assert played(attempt("dampers.pull", "forge:proving", "gate")).records == played().records
