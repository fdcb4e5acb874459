"""Clearing a stop: who says that its cause is over, and in what words. It is asked anew afterwards."""

from __future__ import annotations

from wizard.engine.messages import commands as cmd
from wizard.engine.queries import stopped
from wizard.screens.layout.question_host import QuestionHost
from wizard.screens.viewmodels.questions import NameQuestion, ReasonQuestion


def ask_release(host: QuestionHost, condition: str) -> None:
    """Ask who clears what a stop latched, then what was found or done, and carry it out. Where it can't be
    cleared now that is said, and nothing is asked.
    """
    view = host.controller.view
    if text := stopped.unreleasable(view, condition):
        host.say(text)
        return
    latch = view.flow.conditions[condition]
    says = " ".join(cause.release for cause in stopped.causes(view, condition))
    ask = NameQuestion(f"{latch.says}: who says that it is over?", says)
    host.put(ask, lambda name: _words(host, condition, name))


def _words(host: QuestionHost, condition: str, name: str) -> None:
    says = "Nothing is taken for safe by it: it is asked anew before anybody touches the machine."
    ask = ReasonQuestion("What was found, or done?", says)
    host.put(ask, lambda words: host.act(cmd.Release(condition, name, words)))
