"""A home as a shop has it, to be edited: a closed job with readings, photo, note and papers, signed, in the ledger; its
printed seal and the ledger's head are kept elsewhere. Made once, and copied.
"""

from __future__ import annotations

import atexit
import shutil
from collections.abc import Callable
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from tempfile import mkdtemp
from typing import Any

from tests.helpers.flows.case_dicts import case
from tests.helpers.jobs import GOOD, HandClock, good
from tests.helpers.stored_sessions import sound, store_at
from wizard.documents.files import paper_files, paper_seal
from wizard.documents.writers.writer import writer_for
from wizard.domain.vocabulary import JobState, NextKind
from wizard.engine.driver import Driver
from wizard.engine.messages import commands as c
from wizard.engine.queries import next_queries
from wizard.flow.parsing import flow_files
from wizard.flowcheck.cases.case_script import Script
from wizard.journal import session_name
from wizard.journal.journal_reader import read
from wizard.journal.sealed_block import START, encode
from wizard.sessions import sign_off
from wizard.sessions.reviews.review_rows import row_message
from wizard.sessions.session_store import Store
from wizard.sessions.trusting.ledger_sessions import missing, seals_of
from wizard.sessions.trusting.seal_signing import SealSigner
from wizard.trust.key_file import create, sign_by_home
from wizard.trust.seal_ledger import LedgerHead, append, load_ledger
from wizard.trust.seal_signature import NAME as SIGNATURES
from wizard.trust.trusted_keys import TrustedKind, trust

MARK = "k7m3qd"
SESSION, OTHER = f"2026-03-02-a-{MARK}", f"2026-03-02-b-{MARK}"
PHOTO, OTHER_PHOTO = b"\xff\xd8 the left damper, wet with oil", b"\xff\xd8 another damper, dry"
NOTED_AFTER = 100
"""So many events are there when photo and note are taken: all of the inspection, nothing of the repair."""

Event = dict[str, Any]


@contextmanager
def marked():
    """Sessions begun here have one mark, so that a job played once more has the name of the first."""
    old = session_name.fresh_mark
    session_name.fresh_mark = lambda: MARK
    try:
        yield
    finally:
        session_name.fresh_mark = old


@dataclass(frozen=True, slots=True)
class Told:
    """What the technician says at the machine: of a job played once more it may be another thing."""

    technician: str = "R. Vale"
    ticket: str = "T-1"
    newtons: float = 22.0
    after: float = 62.0
    bounce: str = "swings"
    photo: bytes = PHOTO
    note: str = "Oil on the floor under the left damper."
    days: float = 0.0


def played(root: Path, told: Told) -> str:
    """A whole job at the test flow, by its rules: readings, photo, note, repair, proof, papers, close; its name."""
    clock = HandClock()
    clock.move(told.days * 86_400)
    with (
        marked(),
        Store(root, clock, sound).begin(
            good(), flow_files.read_folder(GOOD), told.technician, told.ticket
        ) as opened,
    ):
        script = case(
            answers={"dampers.bounce": told.bounce, "dampers.pull": told.newtons},
            after={"dampers.pull": told.after},
        )
        driver, noted = Driver(opened.session, Script(script), clock.move), False
        while True:
            if not noted and opened.session.state.seq > NOTED_AFTER:
                noted = True
                photo = root / "photo.jpg"
                photo.write_bytes(told.photo)
                opened.attach(photo, "The left damper")
                photo.unlink()
                opened.session.do(c.AddNote(told.note))
            view = opened.session.view
            if view.state.job is JobState.WORKING and next_queries.next_up(view).kind is NextKind.CLOSE:
                done = paper_files.write(opened.folder, view)
                opened.session.do(c.RecordHandover(done.handover.name, done.sha256, done.beside))
            if not driver.advance():
                break
        paper_files.seal(opened.folder, opened.session.state, opened.seal)
    return opened.name


@dataclass(frozen=True, slots=True)
class EditedHome:
    """A copy to be edited; ``printed`` and ``head`` are what others kept: the customer's seal, the ledger's head."""

    store: Store
    printed: str
    head: LedgerHead

    @property
    def folder(self) -> Path:
        """The session's folder, whether or not it is there."""
        return self.store.home.sessions / SESSION

    @property
    def journal(self) -> Path:
        """Its journal."""
        return self.folder / "journal.toml"

    def events(self) -> list[Event]:
        """Its events as plain tables, seals taken off."""
        return [dict(event) for event in read(self.journal).events]

    def write(self, events: list[Event], renumber: bool = True) -> None:
        """Write the journal anew with every seal made again, and the last one put on the customer's paper."""
        chain, blocks = START, []
        for number, event in enumerate(events, 1):
            block, chain = encode({**event, "sequence": number} if renumber else event, chain)
            blocks.append(block)
        self.journal.write_bytes(b"".join(blocks))
        self.refit_paper(chain)

    def refit_paper(self, chain: str) -> None:
        """Put a seal on the last line of the customer's paper."""
        for paper in self.folder.glob("HANDOVER*.md"):
            writer = writer_for(paper.name)
            head = paper_seal.split(paper.read_bytes())[0]
            paper.write_bytes(head + writer.seal_line(paper_seal.seal_of(chain)))

    def change(self, change: Callable[[Event], Event | None]) -> None:
        """Change each event, or take it out where None comes of it; then seal all again."""
        self.write([new for event in self.events() if (new := change(event)) is not None])

    def sign_again(self) -> None:
        """Sign the present closing seal with the key of this home: who edits holds it."""
        if not self.journal.is_file():
            return
        (self.folder / SIGNATURES).unlink(missing_ok=True)
        review = sign_off.load(self.folder)
        if review.signed:
            signed = tuple(self._signed(one) for one in review.signed)
            (self.folder / sign_off.NAME).write_bytes(sign_off.dumps(replace(review, signed=signed)))
        SealSigner(self.store.root, self.store.clock).sign_again(
            self.folder, seals_of(self.store.home, SESSION)
        )

    def _signed(self, one: sign_off.SignOff) -> sign_off.SignOff:
        made = sign_by_home(self.store.root, row_message(SESSION, one))
        return replace(one, key=made.key, signature=made.signature)


@lru_cache(maxsize=1)
def _made() -> tuple[Path, str, LedgerHead]:
    root = Path(mkdtemp(prefix="edited-"))
    atexit.register(shutil.rmtree, root, ignore_errors=True)
    key = create(root)
    trust(root, TrustedKind.COMPUTER, "Van 3", key.public)
    assert played(root, Told()) == SESSION
    assert played(root, Told(technician="S. Ash", newtons=24.0, photo=OTHER_PHOTO)) == OTHER
    store = store_at(root)
    trust(root, TrustedKind.FLOW, "Small", store.load(SESSION).flow.digest)
    for name in (SESSION, OTHER):
        append(
            root,
            lambda ledger, name=name: missing(ledger, seals_of(store.home, name), "2026-03-03T08:00:00Z"),
        )
    return root, store.load(SESSION).seal, load_ledger(root).head


def home_to_edit(root: Path) -> EditedHome:
    """That home, copied."""
    made, printed, head = _made()
    shutil.copytree(made, root, dirs_exist_ok=True)
    return EditedHome(store_at(root), printed, head)


def play_again(home: EditedHome, told: Told) -> None:
    """Put in the session's place the same job told otherwise: every rule kept, no event against any of them."""
    away = home.store.root / "away"
    assert played(away, told).rpartition("-")[0].startswith("2026-03-0")
    (name,) = (path.name for path in (away / "sessions").iterdir())
    signature = home.folder / SIGNATURES
    old = signature.read_bytes() if signature.is_file() else b""
    shutil.rmtree(home.folder)
    shutil.copytree(away / "sessions" / name, home.folder)
    shutil.rmtree(away)
    (home.folder / "journal.lock").unlink(missing_ok=True)
    if old:
        signature.write_bytes(old)
