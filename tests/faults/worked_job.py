"""The job that faults are put under: the same commands at the same times, so that its journal has the same bytes."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from hashlib import sha256
from pathlib import Path

from tests.helpers.jobs import GOOD, HandClock, Job, good
from wizard.documents.files import paper_files
from wizard.domain.vocabulary import NextKind
from wizard.engine.messages import commands as c
from wizard.engine.queries import next_queries
from wizard.flow.parsing import flow_files
from wizard.journal import session_name
from wizard.sessions.session_store import Store

MARK, SESSION = "k7m3qd", "2026-03-02-a-k7m3qd"
PHOTO = b"\xff\xd8 the left damper, wet with oil"
FACTS = {"kind": "front-loader", "dampers": "3", "stacked": "no", "serial": "X1"}

Acknowledge = Callable[[str], None]


@lru_cache(maxsize=1)
def files() -> dict[str, bytes]:
    """The small flow's files, read once."""
    return dict(flow_files.read_folder(GOOD))


def store_at(home: Path, clock: HandClock | None = None) -> Store:
    """A store whose flow is taken as checked and whose sessions have one mark."""
    session_name.fresh_mark = lambda: MARK
    return Store(home, clock or HandClock(), known=lambda _digest: True)


class WorkedJob(Job):
    """A job on disk. ``acknowledge`` hears of each event once the program has said that it is kept: how many there are;
    and of a photo, by its name in the session.
    """

    def __init__(self, home: Path, acknowledge: Acknowledge) -> None:
        self.clock, self.flow, self.acknowledge = HandClock(), good(), acknowledge
        self.store = store_at(home, self.clock)

    def begin(self) -> None:
        """Begin it, and come to the map."""
        self._take(self.store.begin(self.flow, files(), "R. Vale", "T-1"))
        while self.state.run is not None:
            self.answer()
        while open_facts := next_queries.open_facts(self.view):
            self.do(c.SetFact(open_facts[0], FACTS[open_facts[0]]))
        self.do(c.SetComplaint("It bangs when it starts to spin."))

    def resume(self) -> None:
        """Take it up again: another start of the program, two hours later."""
        self.clock.move(7200)
        self._take(self.store.resume(SESSION))

    def _take(self, opened) -> None:
        self.opened, self.session = opened, opened.session
        self.acknowledge(str(self.state.seq))

    def do(self, command: c.Command) -> None:
        """Do it; then its events are acknowledged."""
        super().do(command)
        self.acknowledge(str(self.state.seq))

    def look(self) -> None:
        """A photo, a note, what can be seen."""
        photo = self.store.root.parent / "photo.jpg"
        photo.write_bytes(PHOTO)
        self.opened.attach(photo, "The damper")
        self.acknowledge(f"photo {sha256(PHOTO).hexdigest()[:16]}.jpg")
        self.acknowledge(str(self.state.seq))
        self.do(c.AddNote("The floor is wet."))
        self.through("quick")

    def end(self) -> None:
        """Find the dampers worn, repair, prove, hand over, close."""
        self.come_to_pull(quick=False)
        self.measure(18)
        self.until(NextKind.CLOSE)
        done = paper_files.write(self.opened.folder, self.view)
        self.do(c.RecordHandover(done.handover.name, done.sha256, done.beside))
        self.do(c.Close())
        paper_files.seal(self.opened.folder, self.state, self.opened.seal)
        self.opened.close()


def new_home(home: Path, acknowledge: Acknowledge) -> None:
    """A whole job in a home that isn't there yet."""
    job = WorkedJob(home, acknowledge)
    job.begin()
    job.look()
    job.end()


def known_home(home: Path, acknowledge: Acknowledge) -> None:
    """The second half of a job, taken up again; ``prepared`` has done the first."""
    job = WorkedJob(home, acknowledge)
    job.clock.move(3600)
    job.resume()
    job.end()


def prepared(home: Path) -> None:
    """A home with the first half of the job."""
    job = WorkedJob(home, lambda _text: None)
    job.begin()
    job.look()
    job.opened.close()
