"""The sheet that every screen of a job is written on: headline and safety box, body, message line, keys.

A screen of its own overrides ``body`` (its widgets) and ``project`` (fill them from ``self.controller``), names its
keys in ``HERE`` with ``BINDINGS = bindings(...)`` for those that are its own, and says in ``ABOUT`` what it is for. It
is told to project again whenever the state has changed, so it keeps nothing but cursors and ticks.
"""

from __future__ import annotations

from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical
from textual.screen import Screen

from wizard.engine.queries.machine_view import badge
from wizard.screens.layout import job_keys, key_table
from wizard.screens.layout.app_protocol import Host, host
from wizard.screens.layout.controller import JobController
from wizard.screens.layout.scene_kind import SceneKind
from wizard.screens.text.step_place import minutes_so_far, step_words
from wizard.screens.viewmodels.step.body_room import BodyRoom, body_room
from wizard.screens.widgets.entry.field import typing
from wizard.screens.widgets.frame.headline import Headline
from wizard.screens.widgets.frame.keybar import KeyBar
from wizard.screens.widgets.frame.message_line import MessageLine
from wizard.screens.widgets.frame.safety_box import OUTER, SafetyBox


def time_so_far(host: Host) -> str:
    """'23 min so far': how long the visit has taken; empty before it began."""
    return minutes_so_far(host.controller.state, host.clock.wall())


def over(screen: JobScreen) -> bool:
    """True once the job shows another kind of scene: what still reaches this screen finds nothing of it there."""
    return screen.shows is not None and screen.controller.scene.kind is not screen.shows


class JobScreen(Screen[None]):
    """The base of the screens of a job."""

    BINDINGS: ClassVar[list[BindingType]] = key_table.bindings(
        "map", "undo", "note", "photo", "correct", "break", "stop", "stands"
    )
    HERE: ClassVar[tuple[str, ...]] = ()
    ABOUT: ClassVar[tuple[str, str]] = ("", "")
    AUTO_FOCUS = ""
    shows: SceneKind | None = None

    def compose(self) -> ComposeResult:
        """The frame, with the body of the screen in it."""
        with Horizontal(id="top"):
            yield Headline(id="headline")
            yield SafetyBox(id="safety")
        with Vertical(id="body"):
            yield from self.body()
        yield MessageLine(id="message")
        yield KeyBar(id="keys")

    def body(self) -> ComposeResult:
        """The widgets between headline and keys."""
        yield from ()

    def project(self) -> None:
        """Fill the body from the state."""

    def here(self) -> tuple[str, ...]:
        """The ids of the keys of this screen that work now."""
        return self.HERE

    def headline(self) -> tuple[str, tuple[str, ...], str]:
        """Title, what is known of the place in the job, and for what it is asked."""
        room = self.size.width - 2 - OUTER
        title, step, way = step_words(self.controller.view, room)
        return title, (step, time_so_far(self.host)), way

    @property
    def host(self) -> Host:
        """The program."""
        return host(self)

    @property
    def controller(self) -> JobController:
        """The job."""
        return self.host.controller

    @property
    def room(self) -> BodyRoom:
        """The room of the body; a notice of several lines takes from it."""
        return body_room(self.size.width, self.size.height, " ".join(self.controller.notice))

    def on_mount(self) -> None:
        """Show the state as soon as there are widgets to show it on."""
        self.shows = self.controller.scene.kind
        self.refresh_all()

    def on_resize(self, _event: events.Resize) -> None:
        """Lay the body out anew."""
        self.refresh_all()

    def on_descendant_focus(self) -> None:
        """Other keys work while a field is typed in."""
        if not over(self):
            self.show_keys()

    def refresh_all(self) -> None:
        """Headline, safety box, body, message and keys, all from the state."""
        if not self.is_mounted or over(self):
            return
        self.query_one(Headline).show(*self.headline())
        self.query_one(SafetyBox).show(badge(self.controller.view))
        self.query_one(MessageLine).say(" ".join(self.controller.notice) or self.host.guard.notice)
        self.project()
        self.show_keys()

    def show_keys(self) -> None:
        """The keys that work now."""
        here, in_field = (*self.here(), "stop"), typing(self)
        self.query_one(KeyBar).show(
            key_table.labels(here, in_field), key_table.labels(self.everywhere(), in_field)
        )

    def everywhere(self) -> tuple[str, ...]:
        """The ids of the keys that work on every screen of a job, as far as they do here."""
        own = self.here()
        return tuple(k for k in key_table.JOB if k not in own)

    def action_job(self, name: str) -> None:
        """What a key of every screen of a job is for; a screen may do one of them in its own way."""
        job_keys.press(self.host, name)
