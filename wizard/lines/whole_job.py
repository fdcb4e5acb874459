"""One run of the line mode: a job is begun or taken up, led, and let go of, however that ends."""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path
from types import FrameType

from wizard.errors import TERMINATED, FlowError, JournalLost, SteadfootError
from wizard.foreign.harmless import harmless
from wizard.lines.job_lines import JobLines
from wizard.lines.terminal.line_asking import StopAsked, ask
from wizard.lines.terminal.line_host import LineHost
from wizard.lines.terminal.line_input import InputOver, LineInput
from wizard.lines.terminal.line_output import LineOutput
from wizard.lines.terminal.talk import Talk
from wizard.platform import crash_log
from wizard.screens.launch.opening import (
    KEPT,
    LOST_TITLE,
    NO_FLOW,
    WHICH_JOB,
    WHO,
    YOUR_NAME,
    begin_job,
    into_archive,
    lost_words,
)
from wizard.screens.text.shared_sentences import NOT_FOLLOWED
from wizard.screens.viewmodels.flow_titles import title_choices
from wizard.screens.viewmodels.questions import ChoiceQuestion, NameQuestion
from wizard.sessions.session_handle import Opened
from wizard.sessions.session_store import Store

HELLO = (
    "Type ? at any question for help. Work can be stopped at any question: s, or /stop where words are typed."
)
NOTHING_BEGUN = "The input ended before a job was begun. Nothing was written."


def whole_job(store: Store, flows: Callable[[], Mapping[str, Path]], resume: str, flow: str) -> int:
    """Lead a job from its beginning, or from where it stands, and return the exit code."""
    encoding = getattr(sys.stdin, "encoding", None) or "utf-8"
    source = LineInput(sys.stdin.fileno(), encoding, store.clock.mono)
    out = LineOutput(sys.stdout, dict(os.environ))
    talk = Talk(out, source, store.clock.mono, sys.stdin.isatty())
    with _signals(source) as came:
        try:
            opened = _resumed(store, resume) if resume else _begun(store, flows(), flow, talk)
        except InputOver:
            with suppress(OSError):
                talk.say(NOTHING_BEGUN)
            return TERMINATED if came else 0
        return _led(opened, store, talk, came) if opened is not None else 0


def _begun(store: Store, flows: Mapping[str, Path], flow: str, talk: Talk) -> Opened | None:
    """Ask which flow if there are several, and who does the job; then begin. None where that was left."""
    names = tuple(flows)
    if not names and not flow:
        raise FlowError(NO_FLOW)
    chosen: str | None = flow or names[0]
    try:
        if not flow and len(names) > 1:
            chosen = ask(talk, ChoiceQuestion(WHICH_JOB, "", title_choices(flows)))
        technician = ask(talk, NameQuestion(WHO, YOUR_NAME)) if chosen else None
    except StopAsked:
        return None
    if not chosen or technician is None:
        return None
    talk.say("Opening.")
    return begin_job(store, flows, chosen, technician)


def _resumed(store: Store, session: str) -> Opened:
    """Take a session up again. A record that no program of ours wrote may raise anything: that is said in a line."""
    try:
        return store.resume(session)
    except (SteadfootError, OSError):
        raise
    except Exception as error:
        says = crash_log.survived(store.root, error)
        raise SteadfootError(f"{NOT_FOLLOWED} {says}") from error


def _led(opened: Opened, store: Store, talk: Talk, came: list[int]) -> int:
    """Lead it; whatever ends it, the session is let go of, and how it goes on is said where anybody can hear it."""
    with opened:
        host = LineHost(opened, store, talk)
        talk.say(f"Session {opened.name}. {HELLO}")
        code, why = 0, ""
        try:
            JobLines(host).lead()
        except InputOver:
            code, why = (TERMINATED, "The system ends the program.") if came else (0, "The input ended.")
        except JournalLost as lost:
            _say_lost(talk, lost)
            return JournalLost.exit_code
        except KeyboardInterrupt:
            _farewell(host, "Stopped.")
            raise
        _farewell(host, why)
    if not host.going:
        _archive(store, opened.name, talk)
    return code


def _farewell(host: LineHost, why: str) -> None:
    """Say that the job is kept, and how it is taken up; a terminal that was hung up hears nothing any more."""
    with suppress(OSError):
        host.talk.out.gap()
        if host.going:
            name = harmless(host.controller.opened.name)
            ways = f"steadfoot job --lines --resume {name}, or without --lines on the full screen"
            host.say(" ".join(x for x in (why, KEPT, f"Take it up with: {ways}.") if x))
        else:
            host.say(" ".join(x for x in (why, "The visit is closed.") if x))


def _say_lost(talk: Talk, lost: JournalLost) -> None:
    with suppress(OSError):
        talk.out.gap()
        talk.rows((f"{LOST_TITLE}.", *lost_words(lost)))


def _archive(store: Store, session: str, talk: Talk) -> None:
    """Bring the archive up; what goes wrong is said and touches no job."""
    try:
        into_archive(store, session)
    except SteadfootError as problem:
        with suppress(OSError):
            talk.say(str(problem))


@contextmanager
def _signals(source: LineInput) -> Iterator[list[int]]:
    """Have a hang-up end the input, and so a request to end, which is noted; the handlers as they were afterwards.

    Nothing is raised where a signal comes: what is being written is written first.
    """
    came: list[int] = []

    def hung_up(_number: int, _frame: FrameType | None) -> None:
        source.end()

    def ended(number: int, _frame: FrameType | None) -> None:
        came.append(number)
        source.end()

    wanted = {"SIGHUP": hung_up, "SIGTERM": ended}
    before = {}
    for name, handler in wanted.items():
        number = getattr(signal, name, None)  # Windows knows no hang-up.
        if number is not None:
            before[number] = signal.signal(number, handler)
    try:
        yield came
    finally:
        for number, old in before.items():
            signal.signal(number, old)
