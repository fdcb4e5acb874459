"""What a command lacked is asked, and the command tried again with it."""

from __future__ import annotations

from collections.abc import Callable

from wizard.screens.layout.controller import AskFirst, Missing
from wizard.screens.layout.question_host import QuestionHost
from wizard.screens.viewmodels.questions import ReasonQuestion, SureReply, YesReply, ask_sure, ask_yes

NO_ROOM = "The disk is full"


def ask_for(host: QuestionHost, wanted: AskFirst, retype: Callable[[], None]) -> None:
    """Ask what a command lacks, and try it again with that; ``retype`` where a number is to be typed again."""
    if wanted.kind is Missing.SURE:

        def sure(words: str) -> None:
            if words == SureReply.RIGHT:
                host.act(*wanted.then(words))
            else:
                retype()

        host.put(ask_sure(wanted.says), sure)
        return
    if wanted.kind is Missing.ROOM:
        question_of_room = ask_yes(
            NO_ROOM, wanted.says, "Try again: there is room now", "Leave it: it is not kept"
        )
        host.put(
            question_of_room, lambda reply: host.act(*wanted.then("")) if reply == YesReply.YES else None
        )
        return
    question = ReasonQuestion(wanted.title, wanted.says, offers=wanted.offers)
    host.put(question, lambda text: host.act(*wanted.then(text)))
