"""A break, or another person who goes on: asked first, since what may change meanwhile is asked again."""

from __future__ import annotations

from wizard.engine.messages import commands as cmd
from wizard.screens.layout.question_host import QuestionHost
from wizard.screens.viewmodels.questions import ChoiceQuestion, NameQuestion

BREAK, OVER, ON = "break", "over", "on"


def ask_break(host: QuestionHost) -> None:
    """Ask whether it is a break or another person, and carry it out."""
    says = "What may change while nobody is here is asked again: the power, what was shut off, who is near."
    choices = ((BREAK, "Yes, a break"), (ON, "No, go on"), (OVER, "Another person goes on with this visit"))
    host.put(ChoiceQuestion("Take a break?", says, choices), lambda chosen: _chosen(host, chosen))


def _chosen(host: QuestionHost, chosen: str) -> None:
    if chosen == BREAK:
        host.act(cmd.Pause())
    elif chosen == OVER:
        says = "They saw nothing of what the record says of the machine: all of it is asked anew."
        host.put(NameQuestion("Who goes on?", says), lambda name: host.act(cmd.TakeOver(name)))
