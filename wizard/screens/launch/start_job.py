"""Beginning a job and resuming one: the flow is loaded in a thread, its problems are told in full."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from wizard.errors import FlowError, SteadfootError
from wizard.platform import crash_log
from wizard.screens.dialogs.message_panel import MessagePanel
from wizard.screens.dialogs.prompts import AskName, AskOne
from wizard.screens.launch.opening import NO_FLOW, WHICH_JOB, WHO, YOUR_NAME, begin_job
from wizard.screens.text.shared_sentences import NOT_FOLLOWED
from wizard.screens.viewmodels.flow_titles import title_choices
from wizard.sessions.session_handle import Opened

if TYPE_CHECKING:
    from wizard.screens.launch.job_app import JobApp


def begin(app: JobApp, flow: str = "", technician: str = "") -> None:
    """Ask which flow if there are several, and who does the job; then begin."""
    names = tuple(app.flows())
    if flow or len(names) == 1:
        _ask_name(app, flow or names[0], technician)
    elif names:
        choices = title_choices(app.flows())[:9]
        app.host.ask(AskOne(WHICH_JOB, "", choices), lambda name: _ask_name(app, name, technician))
    else:
        app.say(NO_FLOW)


def _ask_name(app: JobApp, flow: str, technician: str) -> None:
    ask = AskName(WHO, YOUR_NAME, technician)
    app.host.ask(ask, lambda name: _start(app, lambda: begin_job(app.store, app.flows(), flow, name)))


def resume(app: JobApp, session: str) -> None:
    """Take a session up again."""
    _start(app, lambda: app.store.resume(session))


def _start(app: JobApp, opened: Callable[[], Opened]) -> None:
    app.say("Opening ...")
    app.opening = True

    def work() -> None:
        try:
            found = opened()
        except SteadfootError as problem:
            app.call_from_thread(_told, app, problem)
        except Exception as error:
            # A record that no program of ours wrote may raise anything; home goes on.
            says = crash_log.survived(app.store.root, error)
            app.call_from_thread(_told, app, SteadfootError(f"{NOT_FOLLOWED} {says}"))
        else:
            app.call_from_thread(_opened, app, found)

    app.run_worker(work, thread=True, exclusive=True, group="opening")


def _opened(app: JobApp, opened: Opened) -> None:
    app.opening = False
    app.host.take(opened)


def _told(app: JobApp, problem: SteadfootError) -> None:
    app.opening = False
    app.say("")
    says = problem.problems if isinstance(problem, FlowError) and problem.problems else (str(problem),)
    app.push_screen(MessagePanel("It can't be opened", says))
