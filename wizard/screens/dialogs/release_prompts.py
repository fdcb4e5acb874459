"""Clearing a stop: who says that its cause is over, and in what words. It is asked anew afterwards."""

from __future__ import annotations

from wizard.engine.messages import commands as cmd
from wizard.engine.queries import stopped
from wizard.screens.dialogs.prompts import AskName, AskReason
from wizard.screens.layout.app_protocol import Host


def ask_release(host: Host, condition: str) -> None:
    """Ask who clears what a stop latched, then what was found or done, and carry it out. Where it can't be
    cleared now that is said, and nothing is asked.
    """
    view = host.controller.view
    if text := stopped.unreleasable(view, condition):
        host.say(text)
        return
    latch = view.flow.conditions[condition]
    says = " ".join(cause.release for cause in stopped.causes(view, condition))
    ask = AskName(f"{latch.says}: who says that it is over?", says)
    host.ask(ask, lambda name: _words(host, condition, name))


def _words(host: Host, condition: str, name: str) -> None:
    says = "Nothing is taken for safe by it: it is asked anew before anybody touches the machine."
    ask = AskReason("What was found, or done?", says)
    host.ask(ask, lambda words: host.act(cmd.Release(condition, name, words)))
