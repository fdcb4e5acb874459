"""The job on the screens: shows the scene of its state, carries acts out, asks what they lack."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import TYPE_CHECKING, Any, TypeVar

from textual.app import App
from textual.screen import Screen

from wizard.domain.vocabulary import JobState
from wizard.errors import JournalLost
from wizard.measure.quantities.units import UnitSystem
from wizard.screens.launch import screen_registry
from wizard.screens.launch.lapse_watch import LapseWatch
from wizard.screens.layout.ground import GroundScreen
from wizard.screens.layout.key_guard import Guard
from wizard.screens.widgets.frame.message_line import MessageLine

if TYPE_CHECKING:
    from wizard.screens.layout.controller import Act, JobController
    from wizard.screens.layout.navigation import MapPlace, Scene
    from wizard.screens.viewmodels.questions import Question
    from wizard.sessions.session_handle import Opened
    from wizard.sessions.session_store import Store

T = TypeVar("T")


class Presenter:
    """What the screens of a job know of the program (``app_protocol.Host``). The engine is imported once a job is
    taken.
    """

    def __init__(self, app: App[int], store: Store) -> None:
        self._app, self.store, self.clock = app, store, store.clock
        self.guard = Guard(store.clock.mono)
        self.system = UnitSystem.METRIC
        self.lost = False
        self._controller: JobController | None = None
        self._shown: Scene | None = None
        self._at = 0
        self._field: Hashable = None
        self.lapses = LapseWatch(
            lambda: None if self.lost else self._controller,
            lambda: getattr(app.screen, "typed", "") if self.on_job else "",
            # What lies over the screen says so, and stays.
            lambda job: None if self.on_job else self.say(" ".join(job.notice)),
            lambda lost: _lose(self, app, lost),
            self.show,
        )

    @property
    def controller(self) -> JobController:
        """The job on screen. Only screens of a job may ask for it."""
        assert self._controller is not None
        return self._controller

    @property
    def has_job(self) -> bool:
        """True while a job is on the controller."""
        return self._controller is not None

    @property
    def going(self) -> bool:
        """True while a job is on the controller that was not closed."""
        return self._controller is not None and self._controller.state.job is not JobState.CLOSED

    @property
    def on_job(self) -> bool:
        """True when a screen of a job is on top."""
        from wizard.screens.layout.job_screen import JobScreen

        return isinstance(self._app.screen, JobScreen)

    def take(self, opened: Opened) -> None:
        """Put an opened session before a controller and show it."""
        from wizard.screens.layout.controller import JobController

        self._controller = JobController(opened)
        self._shown, self._at, self._field = None, 0, None
        self.show()

    def show(self, anew: str = "") -> None:
        """Draw the scene of the job: on the screen that is there if it is the right one, else on a new one. ``anew``:
        on a new one whatever is there, with this sentence on why.
        """
        if anew and self._controller is not None:
            self._shown, self._controller.notice = None, (anew,)
        if self._controller is None or not (self.on_job or isinstance(self._app.screen, GroundScreen)):
            return  # Something lies over it; the answer to that draws it.
        from wizard.screens.layout.job_screen import JobScreen
        from wizard.screens.viewmodels.reading.read_on import read_on

        scene, seq = self.controller.scene, self.controller.state.seq
        field = read_on(self.controller.view)
        same = field is not None and field == self._field and scene == self._shown
        if seq != self._at or scene != self._shown:
            self.guard.go_on() if same else self.guard.arm()
        self._at, self._shown, self._field = seq, scene, field
        cls = screen_registry.find(screen_registry.SCREENS[scene.kind])
        top: Screen[Any] = self._app.screen
        if isinstance(top, JobScreen) and type(top) is cls:
            top.refresh_all()
        elif isinstance(top, GroundScreen):
            self._app.push_screen(cls())
        else:
            self._app.switch_screen(cls())

    def act(self, *acts: Act) -> None:
        """Carry acts out; ask what they lack; show what follows. A lost journal ends the program's work."""
        from wizard.screens.layout.controller import AskFirst, Refusal

        try:
            result = self.controller.act(*acts)
        except JournalLost as lost:
            _lose(self, self._app, lost)
            return
        self.show()
        if isinstance(result, Refusal):
            self.say(result.says)
        elif isinstance(result, AskFirst):
            from wizard.screens.launch.missing_prompts import ask_for

            ask_for(self, result, lambda: _empty_fields(self._app.screen))

    def ask(self, screen: Screen[Any], then: Callable[[Any], None]) -> None:
        """Lay a question over the screen; ``then`` gets its answer unless it was left without one."""

        def answered(answer: Any) -> None:
            self.show()
            if answer is not None:
                then(answer)

        self._app.push_screen(screen, answered)

    def put(self, question: Question[T], then: Callable[[T], None]) -> None:
        """Lay the panel of a question over the screen."""
        from wizard.screens.dialogs.prompts import panel_of

        self.ask(panel_of(question), then)

    def panel(self, name: str) -> None:
        """Lay a panel over the screen, whose command is carried out; or ask what has none."""
        if name in screen_registry.QUESTIONS:
            screen_registry.find(screen_registry.QUESTIONS[name])(self)
            return
        where = screen_registry.PANELS[name]
        self.ask(screen_registry.find(where)(self.controller), lambda act: self.act(act))

    def go(self, place: MapPlace) -> None:
        """Go to a place of the job."""
        self.controller.place = place
        self.show()

    def say(self, text: str) -> None:
        """Put a sentence on the message line of the screen on top."""
        for line in self._app.screen.query(MessageLine):
            line.say(text)

    def close_job(self) -> None:
        """Let go of the job and go back to the home screen. One that is closed goes into the archive."""
        closed = "" if self.going or self._controller is None else self._controller.opened.name
        self.release()
        if closed:
            from wizard.screens.launch.open_archive import archive_closed

            archive_closed(self._app, self.store, closed, self.say)
        while not isinstance(self._app.screen, GroundScreen) and len(self._app.screen_stack) > 1:
            self._app.pop_screen()
        if isinstance(self._app.screen, GroundScreen):
            self._app.screen.refresh_all()

    def release(self) -> None:
        """Let the session go, if there is one."""
        if self._controller is not None:
            self._controller.close()
            self._controller = None


def _lose(host: Presenter, app: App[int], lost: JournalLost) -> None:
    """The disk refused to keep an event: nothing more is written."""
    from wizard.screens.launch.fatal_screen import FatalScreen

    host.lost = True
    app.push_screen(FatalScreen(lost))


def _empty_fields(screen: Screen[Any]) -> None:
    """Empty the field of a screen of a job: the number in it was said to be wrong."""
    from wizard.screens.layout.job_screen import JobScreen
    from wizard.screens.widgets.entry.field import EntryField

    if isinstance(screen, JobScreen):
        for field in screen.query(EntryField):
            field.value = ""


def keep_typed(host: Presenter, screen: Screen[Any]) -> None:
    """Keep what stands in the field of the step on screen, before that screen goes."""
    run = host.controller.state.run if host.has_job and host.on_job else None
    typed = getattr(screen, "typed", "")
    if run is not None and isinstance(typed, str):
        host.controller.drafts.keep(run.id, run.at, typed)
