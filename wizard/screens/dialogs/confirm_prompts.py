"""The questions before a decision is taken: no fault at all, what stays unexplained, why against the ranking."""

from __future__ import annotations

from wizard.engine.guidance.session_ranking import Residual
from wizard.engine.messages import commands as cmd
from wizard.screens.layout.question_host import QuestionHost
from wizard.screens.viewmodels.faults.fault_choice import FaultChoice
from wizard.screens.viewmodels.faults.fault_rows import second_question, why_question
from wizard.screens.viewmodels.questions import WhyQuestion, YesReply, ask_yes


def confirm(host: QuestionHost, choice: FaultChoice, second: Residual | None) -> None:
    """Confirm what is ticked, after what there is to ask of it; what was decided before is asked nothing.

    ``second`` is what the ticked faults leave unexplained.
    """
    if not choice.faults:
        _confirm_none(host, choice)
    elif choice.unchanged:
        host.act(cmd.Confirm(choice.faults))
    elif choice.early:
        question = ask_yes("No fault?", _seen_words(choice), "Yes: confirm what is ticked", "No: go back")
        host.put(question, lambda text: _explained(host, choice, second) if text == YesReply.YES else None)
    else:
        _explained(host, choice, second)


def _explained(host: QuestionHost, choice: FaultChoice, second: Residual | None) -> None:
    """Confirm what is ticked; where it leaves something unexplained, after a yes."""
    if second is None or not second.left:
        _take(host, choice)
    else:
        says = second_question(second, choice.ticked, choice.ranked)
        question = ask_yes(
            "What stays unexplained?", says, "Confirm what is ticked", "Go back: look for another"
        )
        host.put(question, lambda text: _take(host, choice) if text == YesReply.YES else None)


def _take(host: QuestionHost, choice: FaultChoice) -> None:
    """Confirm; against the ranking with a reason, in its own field so that no letter of it is a key."""
    from wizard.review.flags.flag_id import FlagId
    from wizard.review.flags.thresholds import shipped  # Late: only asked for here.

    faults = choice.faults
    below = shipped().number(FlagId.OVERRIDE_NO_REASON, "ranked-below")
    says = why_question(choice.rows, [f for f in faults if f not in choice.before], below)
    if says:
        host.put(WhyQuestion("Why this?", says), lambda why: host.act(cmd.Confirm(faults, why)))
    else:
        host.act(cmd.Confirm(faults))


def _seen_words(choice: FaultChoice) -> str:
    """How much of the search was looked at, and what that leaves open."""
    seen = f"Of the search, {choice.seen.words}."
    return f"{seen} What was not looked at could still show a fault." if choice.early else seen


def _confirm_none(host: QuestionHost, choice: FaultChoice) -> None:
    """Confirm none of the faults, once it was said how much that rests on."""
    if choice.repaired and not choice.proof_failed:
        host.act(cmd.Confirm(()))
        return
    seen = _seen_words(choice)
    yes = "Yes: the fault was not found" if choice.early else "Yes: no fault was found"
    question = ask_yes("No fault?", f"Nothing is ticked. {seen}", yes, "No: go back")
    if choice.proof_failed and choice.unrepaired:
        says = f"Nothing is ticked, and a proof failed: the machine is not as it should be. {seen}"
        question = ask_yes("Cause not found?", says, "Yes: what causes it was not found", "No: go back")
    elif choice.proof_failed:
        says = f"Nothing is ticked, and the repair is not proved. {seen}"
        question = ask_yes("Nothing else?", says, "Yes: it stays not proved", "No: go back")
    host.put(question, lambda text: host.act(cmd.Confirm(())) if text == YesReply.YES else None)
