"""A shop's sessions, made by a seed: ``python -m tests.bench.made_sessions HOME --sessions 3000 --seed 1``.

How they are made: whole jobs are played through the engine, papers and all: some at practice machines of physics (each
with its hidden fault, its crew, its noise), others as cases of the flow have it, which end in every way that a job can
(declined, stopped, nothing found). Every session is one of these with facts of its own written into
its bytes: id, day, technician, ticket, words of the customer, maker, model, serial; then every block is sealed anew
and the papers' digests and seal with it. So each verifies, block by block and rule by rule. Some are left under way,
some are signed off, a few come back: the same serial some weeks later. Names, makers and words are our own.
"""

from __future__ import annotations

import argparse
import os
import re
import shutil
import sys
import tempfile
import time
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from hashlib import sha256
from pathlib import Path
from random import Random

import tomli_w

from wizard.documents.files import paper_files, paper_seal
from wizard.documents.files.paper_names import is_handover
from wizard.documents.writers.writer import writer_for
from wizard.engine.answer_source import AnswerSource, Reply, ReplyHow
from wizard.engine.driver import Driver
from wizard.engine.messages import commands as cmd
from wizard.errors import CaseFailed, Refused
from wizard.flow.loading.case_loader import load_cases
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.model import Flow
from wizard.flow.parsing import flow_files
from wizard.flowcheck.cases.case_script import Script
from wizard.flowcheck.model.manual_clock import CaseClock
from wizard.journal import session_name
from wizard.journal.earlier_session import NAME as LAST_BEGUN
from wizard.journal.home_folder import Home
from wizard.journal.journal_reader import NAME
from wizard.journal.sealed_block import CHAIN, CLOSE, HEADER, SEAL, START, seal
from wizard.practice.practice_job import MOST, draw_scene
from wizard.practice.practice_loader import load_practice, practice_folder
from wizard.practice.technician import Technician
from wizard.sessions.session_store import Store
from wizard.sessions.sign_off import NAME as REVIEW
from wizard.sessions.sign_off import Review, SignOff, dumps

FLOW = "washer-shake"
YEARS = ("rubber-made", "braided-made")
TEMPLATES = 24
TRUE = 200
"""Jobs that studies of many rows draw from: those at practice machines, and cases up to so many."""
FIRST_DAY = date(2026, 1, 5)
TOKENS = {
    "who": "Xq technician",
    "ticket": "Xq-ticket",
    "maker": "Xq-maker",
    "model": "Xq-model",
    "serial": "Xq-serial",
}
FIRST = b"first = true\n"
"""What the first two tables of a journal say of a session that names none before it."""
COMPLAINT = "Xq what the customer said."
PEOPLE = (
    "R. Vale", "S. Ash", "M. Holt", "T. Brandt", "K. Lindqvist", "A. Moreau", "J. Okoro", "P. Nowak", "L. Ferri",
    "D. Sato", "E. Quist", "N. Haas",
)  # fmt: skip
MAKERS = ("Ostara", "Velum", "Kestrin", "Bramley Works", "Nordhav", "Tulsen")
WHO_SAYS = ("It", "The washer", "The machine", "Since Monday it", "After the move it", "Every load it")
DOES = (
    "bangs when it starts to spin", "walks across the floor in spin", "shakes the whole kitchen", "thumps on one side",
    "rumbles at high speed", "stops in the middle of the spin and shows a code", "knocks with towels in it",
    "rattles and leaves a grey mark on the wall", "moves so far that the hose pulls",
)  # fmt: skip
BESIDE = ("", " The dryer on top moves too.", " It was fitted last year.", " A belt was changed in spring.",
          " The neighbours complain.", " There is a smell of rubber.", " Water was under it once.")  # fmt: skip


@dataclass(frozen=True, slots=True)
class Template:
    """A played job: the bytes of its journal and papers, its id and the digest of its flow."""

    session: str
    flow: str
    journal: bytes
    papers: Mapping[str, bytes]
    closed: bool


@dataclass(slots=True)
class HandingOver(Driver):
    """A driver that writes the papers before it closes, as a technician does."""

    folder: Path = Path()

    def do(self, command: cmd.Command) -> None:
        if isinstance(command, cmd.Close):
            done = paper_files.write(self.folder, self.session.view)
            self.session.do(cmd.RecordHandover(done.handover.name, done.sha256, done.beside))
        Driver.do(self, command)


class OwnPlate:
    """A plate, and a customer with words: tokens for what each session has of its own. Beside what answers the rest."""

    def fact(self, view, fact) -> str:
        return TOKENS[fact.id] if fact.id in TOKENS else super().fact(view, fact)

    def complaint(self, view) -> str:
        return COMPLAINT

    def reply(self, view, run, step) -> Reply:
        """Nobody can read the year on the hoses: their age, which goes by the day, would be another in each session."""
        if step.id in YEARS:
            return Reply(ReplyHow.UNABLE, reason="The print is worn off.")
        return super().reply(view, run, step)


class Plated(OwnPlate, Technician):
    """A practice machine with such a plate and customer."""


class Scripted(OwnPlate, Script):
    """A case at a machine with such a plate and customer."""


@dataclass(frozen=True, slots=True)
class Player:
    """Plays jobs in a home that is thrown away, so nothing is made durable."""

    root: Path
    flow: Flow
    content: Mapping[str, bytes]

    @classmethod
    def at(cls, root: Path) -> Player:
        """One for the shipped flow."""
        folder = folder_of(FLOW)
        return cls(root, load(folder), flow_files.read_folder(folder))

    def practised(self, count: int, seed: int) -> Iterator[Template]:
        """Jobs at practice machines; one in eight is left under way, as is one that the practice can't finish."""
        practice = load_practice(practice_folder(self.flow.id), self.flow)
        for number in range(count):
            scene = draw_scene(practice, self.flow, 2 if number % 6 == 5 else 1, seed * 1_000_000 + number)
            source = Plated(practice, scene.healthy, scene.machine, scene.crew)
            yield self._played(source, MOST if number % 8 != 7 else 60, f"job {number}")

    def scripted(self, count: int, seed: int) -> Iterator[Template]:
        """Cases of the flow, drawn without putting back, so there may be fewer; one in eight is left under way."""
        cases = list(load_cases(folder_of(FLOW), self.flow))
        Random(seed).shuffle(cases)
        for number, case in enumerate(cases[:count]):
            yield self._played(Scripted(case), MOST if number % 8 != 7 else 60, f"case {case.id}")

    def _played(self, source: AnswerSource, most: int, name: str) -> Template:
        clock = CaseClock()
        (self.root / LAST_BEGUN).unlink(
            missing_ok=True
        )  # Each names none before it, until its place is known.
        store = Store(self.root, clock, lambda _digest: True)
        with store.begin(self.flow, self.content, TOKENS["who"], TOKENS["ticket"]) as opened:
            driver = HandingOver(opened.session, source, clock.pass_by, opened.folder)
            try:
                for _ in range(most):
                    if not driver.advance():
                        break
            except (Refused, CaseFailed) as problem:
                print(f"{name}: {problem}", file=sys.stderr)
            if opened.seal:
                paper_files.seal(opened.folder, opened.session.state, opened.seal)
            papers = {p.name: p.read_bytes() for p in opened.folder.glob("*.md")}
            journal = (opened.folder / NAME).read_bytes()
            return Template(opened.name, self.flow.digest, journal, papers, bool(opened.seal))


@dataclass(frozen=True, slots=True)
class Shop:
    """Writes sessions into a home by a seed. ``serials``: those of before, each with its day; ``last``: the last id;
    ``laptops``: of each person, who has one alone, the last session there with its last seal.
    """

    home: Home
    templates: tuple[Template, ...]
    rng: Random
    days: int
    serials: list[tuple[str, str, int]]
    last: list[str]
    laptops: dict[str, tuple[str, str]] = field(default_factory=dict)

    def write(self, number: int, of: int) -> str:
        """One session; its id. They are spread evenly over the days, and numbered on each."""
        rng = self.rng
        day = self.days * number // of
        template = self.templates[number] if of == len(self.templates) else rng.choice(self.templates)
        mark = "".join(rng.choice(session_name.MARK_LETTERS) for _ in range(session_name.MARK_LENGTH))
        when = FIRST_DAY + timedelta(days=day)
        name = self.last[0] = session_name.new_name(when, self.last, mark)
        maker, serial = rng.choice(MAKERS), f"{rng.randrange(10**7):07d}{rng.choice('ABCDEFGH')}"
        old = [s for s in self.serials[-400:] if 2 <= day - s[2] <= 60] if rng.random() < 0.05 else []
        if old:
            maker, serial, _day = rng.choice(old)
        self.serials.append((maker, serial, day))
        who = rng.choice(PEOPLE)
        own = {
            template.session: name, TOKENS["who"]: who, TOKENS["ticket"]: f"T-{10_000 + number}",
            TOKENS["maker"]: maker, TOKENS["serial"]: serial,
            TOKENS["model"]: f"{maker[:2].upper()}{rng.randrange(400, 980)}",
            COMPLAINT: f"{rng.choice(WHO_SAYS)} {rng.choice(DOES)}.{rng.choice(BESIDE)}",
        }  # fmt: skip
        self._put(name, template, own, when, who)
        return name

    def _put(self, name: str, template: Template, own: Mapping[str, str], when: date, who: str) -> None:
        folder = self.home.sessions / name
        folder.mkdir(parents=True)
        journal = _dated(_written(template.journal, own), when)
        papers = {}
        for paper, data in template.papers.items():
            data, writer = _dated(_written(data, own), when), writer_for(paper)
            if is_handover(paper):
                data = paper_seal.split(data)[0] + writer.seal_line(paper_seal.seal_of(""))
                was, now = paper_seal.digest(template.papers[paper]), paper_seal.digest(data)
            else:
                was, now = sha256(template.papers[paper]).hexdigest(), sha256(data).hexdigest()
            journal, papers[paper] = journal.replace(was.encode(), now.encode()), data
        if who in self.laptops:
            session, seal_then = self.laptops[who]
            journal = journal.replace(FIRST, f'session = "{session}"\nseal = "{seal_then}"\n'.encode())
        journal, chain = resealed(journal)
        self.laptops[who] = (name, chain)
        for paper, data in papers.items():
            sealed = is_handover(paper) and template.closed
            (folder / paper).write_bytes(
                paper_seal.sealed(data, chain, writer_for(paper)) if sealed else data
            )
        (folder / NAME).write_bytes(journal)
        if template.closed and self.rng.random() < 0.2:
            at = f"{(when + timedelta(days=2)).isoformat()}T08:00:00Z"
            signed = SignOff("C. Marsh", at, chain, journal.count(HEADER), "Looked through.")
            (folder / REVIEW).write_bytes(dumps(Review(signed=(signed,))))


_DAY = re.compile(rb"\b2\d{3}-\d{2}-\d{2}(?=T\d{2}:)")


def _written(data: bytes, own: Mapping[str, str]) -> bytes:
    for was, now in own.items():
        data = data.replace(was.encode(), tomli_w.dumps({"x": now})[5:-2].encode())
    return data


def _dated(data: bytes, when: date) -> bytes:
    """Every moment moved by whole days, the first to ``when``."""
    days = sorted(set(_DAY.findall(data)))
    if not days:
        return data
    first = date.fromisoformat(days[0].decode())
    return _DAY.sub(lambda m: (when + (date.fromisoformat(m[0].decode()) - first)).isoformat().encode(), data)


def resealed(journal: bytes) -> tuple[bytes, str]:
    """The same blocks with seals that hold, and the last chain value."""
    chain, blocks = START, []
    for part in journal.split(HEADER)[1:]:
        body = HEADER + part[: part.index(SEAL) + len(SEAL)]
        chain = seal(chain, body)
        blocks.append(body + CHAIN + chain.encode() + CLOSE)
    return b"".join(blocks), chain


def make(
    root: Path, sessions: int, seed: int, templates: int = TEMPLATES, days: int = 0, cases: int = 0
) -> tuple[str, ...]:
    """Sessions in a home, spread over so many days (55 a day, if none are given); their ids. ``templates``: jobs played
    at practice machines, ``cases``: as cases have it. Where there are as many sessions, each is of another job, else
    they are drawn. The same seed makes the same bytes.
    """
    names = iter(f"{n:06d}".translate(str.maketrans("01", "xy")) for n in range(10**5))
    drawn, session_name.fresh_mark = session_name.fresh_mark, lambda: next(names)
    durable, os.fsync = os.fsync, lambda _descriptor: None
    work = Path(tempfile.mkdtemp(prefix="made-"))
    try:
        player = Player.at(work)
        jobs = (*player.practised(templates, seed), *player.scripted(cases, seed))
        home = Home(root)
        shutil.copytree(work / "kept", root / "kept", dirs_exist_ok=True)
        days = days or max(1, min(360, sessions * 360 // 20_000))
        shop = Shop(home, jobs, Random(seed), days, [], [""])
        return tuple(shop.write(number, sessions) for number in range(sessions))
    finally:
        session_name.fresh_mark, os.fsync = drawn, durable
        shutil.rmtree(work, ignore_errors=True)


def make_true(root: Path, seed: int) -> tuple[str, ...]:
    """``TRUE`` sessions, each of a job of its own: what rows are drawn from where there are to be many."""
    return make(root, TRUE, seed, TEMPLATES, cases=TRUE - TEMPLATES)


def main() -> None:
    """Make them, and say how long it took."""
    asked = argparse.ArgumentParser(description="Make a shop's sessions by a seed.")
    asked.add_argument("home", type=Path, help="a home folder, which may not be there yet")
    asked.add_argument("--sessions", type=int, default=3_000)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--days", type=int, default=0, help="over which they are spread; by default 55 a day")
    asked.add_argument(
        "--templates", type=int, default=TEMPLATES, help="jobs that are played through the engine"
    )
    asked.add_argument("--cases", type=int, default=0, help="and so many as cases of the flow have it")
    given = asked.parse_args()
    began = time.monotonic()
    made = make(given.home, given.sessions, given.seed, given.templates, given.days, given.cases)
    print(f"{len(made)} sessions in {given.home}, {time.monotonic() - began:.0f} s")


if __name__ == "__main__":
    main()
