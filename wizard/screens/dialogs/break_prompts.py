"""A break, or another person who goes on: asked first, since what may change meanwhile is asked again."""

from __future__ import annotations

from wizard.engine.messages import commands as cmd
from wizard.screens.dialogs.prompts import AskName, AskOne
from wizard.screens.layout.app_protocol import Host

BREAK, OVER, ON = "break", "over", "on"


def ask_break(host: Host) -> None:
    """Ask whether it is a break or another person, and carry it out."""
    says = "What may change while nobody is here is asked again: the plug, the taps, who is near."
    choices = ((BREAK, "Yes, a break"), (ON, "No, go on"), (OVER, "Another person goes on with this visit"))
    host.ask(AskOne("Take a break?", says, choices), lambda chosen: _chosen(host, chosen))


def _chosen(host: Host, chosen: str) -> None:
    if chosen == BREAK:
        host.act(cmd.Pause())
    elif chosen == OVER:
        says = "They saw nothing of what the record says of the machine: all of it is asked anew."
        host.ask(AskName("Who goes on?", says), lambda name: host.act(cmd.TakeOver(name)))
