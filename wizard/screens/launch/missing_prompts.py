"""What a command lacked is asked, and the command tried again with it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from textual.screen import Screen

from wizard.screens.dialogs import prompts
from wizard.screens.layout.app_protocol import Host
from wizard.screens.layout.controller import AskFirst, Missing
from wizard.screens.layout.job_screen import JobScreen
from wizard.screens.widgets.entry.field import EntryField


def ask_for(host: Host, wanted: AskFirst, retype: Callable[[], None]) -> None:
    """Ask what a command lacks, and try it again with that; ``retype`` where a number is to be typed again."""
    if wanted.kind is Missing.SURE:

        def sure(words: prompts.SureReply) -> None:
            if words is prompts.SureReply.RIGHT:
                host.act(*wanted.then(words))
            else:
                retype()

        host.ask(prompts.ask_sure(wanted.says), sure)
        return
    asked = (wanted.title, wanted.says)
    screen = prompts.PickReason(*asked, wanted.offers) if wanted.offers else prompts.AskReason(*asked)
    host.ask(screen, lambda text: host.act(*wanted.then(text)))


def empty_fields(screen: Screen[Any]) -> None:
    """Empty the field of a screen of a job: the number in it was said to be wrong."""
    if isinstance(screen, JobScreen):
        for field in screen.query(EntryField):
            field.value = ""
