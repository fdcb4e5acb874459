"""Edits of a closed session by somebody who can seal it again: each a name, what it does, and the edit itself."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from dataclasses import dataclass, replace
from hashlib import sha256

from tests.trust.edited_homes import OTHER, OTHER_PHOTO, SESSION, EditedHome, Event, Told, play_again
from wizard.documents.files import paper_seal
from wizard.flow.parsing import flow_files
from wizard.trust.ed25519 import key_of_seed
from wizard.trust.seal_ledger import HEADER, NAME
from wizard.trust.seal_signature import NAME as SIGNATURES
from wizard.trust.seal_signature import SealSignature, dump_signatures, load_signatures

Act = Callable[[EditedHome], None]


@dataclass(frozen=True, slots=True)
class SessionEdit:
    """``group``: what is edited; ``says``: how, in a line."""

    group: str
    says: str
    act: Act


EDITS: list[SessionEdit] = []


def edit(group: str, says: str) -> Callable[[Act], Act]:
    """List an edit."""

    def listed(act: Act) -> Act:
        EDITS.append(SessionEdit(group, says, act))
        return act

    return listed


def changed(group: str, says: str, wanted: Callable[[Event], bool], change: Callable[[Event], Event | None],
            every: bool = False) -> None:  # fmt: skip
    """List an edit of the first event that is wanted, or of every one, with all seals made again."""

    def act(home: EditedHome) -> None:
        found = [0]

        def one(event: Event) -> Event | None:
            if not wanted(event) or (found[0] and not every):
                return event
            found[0] += 1
            return change(event)

        home.change(one)
        assert found[0], f"{says}: no event of that kind"

    EDITS.append(SessionEdit(group, says, act))


def kind(name: str, **more: object) -> Callable[[Event], bool]:
    """Events of a kind, with these values."""
    return lambda event: event["kind"] == name and all(event.get(key) == value for key, value in more.items())


def set_to(**values: object) -> Callable[[Event], Event]:
    """The event with other values."""
    return lambda event: {**event, **values}


def asked(**values: object) -> Callable[[Event], Event]:
    """The event with other values, and the command that it came of with those that it has of them."""
    return lambda event: {
        **event, **values, "asked": {**event["asked"], **{k: v for k, v in values.items() if k in event["asked"]}},
    }  # fmt: skip


PULL = kind("reading", step="pull", run=3)
JUDGED = kind("answered", step="pull", run=3)

# ---- readings
R = "reading"
changed(R, "the value of one", PULL, set_to(value=62.0))
changed(R, "value and typed text of one", PULL, set_to(value=62.0, typed="62"))
changed(R, "value, typed text and command of one", PULL, asked(value=62.0, typed="62"))
changed(
    R, "value, typed text and command of one, by 1 N in the same band", PULL, asked(value=23.0, typed="23")
)
changed(
    R, "value, typed text and command of all of the step", PULL, asked(value=62.0, typed="62"), every=True
)
changed(R, "the tool", PULL, set_to(tool="Another scale"))
changed(R, "the place", PULL, set_to(place="damper 2, out"))
changed(R, "the unit", PULL, set_to(unit="kg"))
changed(R, "one taken out", PULL, lambda _event: None)
changed(R, "one of the proof, to pass better", kind("reading", step="run"), asked(value=0.0, typed="0"))

# ---- verdicts, evidence, answers
V = "verdict and evidence"
changed(V, "fail made pass", JUDGED, set_to(verdict="pass"))
changed(V, "fail made pass, and the answer with it", JUDGED, set_to(verdict="pass", chosen=["pass"]))
changed(V, "the evidence of a finding", JUDGED, set_to(evidence={"pull-weak": 0.0}))
changed(V, "the answer's words", JUDGED, set_to(says="damper 1, out 62 N"))
changed(V, "where the answer leads", JUDGED, set_to(goes="end"))
changed(
    V, "a look answered otherwise, its command too", kind("answered", step="bounce"), asked(chosen=["holds"])
)
changed(
    V,
    "what an answer says of the machine",
    kind("answered", step="plug"),
    set_to(belief={"supply": ["locked"]}),
)
changed(V, "the words of a safety answer", kind("answered", step="plug"), set_to(says="Locked off"))
changed(V, "what showing a step may change", kind("shown", step="plug"), set_to(belief={}))

# ---- time
T = "time"
changed(T, "one event an hour earlier", JUDGED, set_to(at="2026-03-02T08:00:00+00:00"))
changed(T, "one event an hour later", JUDGED, set_to(at="2026-03-02T23:00:00+00:00"))
changed(
    T,
    "every event a day earlier",
    lambda _e: True,
    lambda e: {**e, "at": e["at"].replace("-02T", "-01T")},
    True,
)
changed(T, "the seconds before one event", JUDGED, set_to(since=1.0))
changed(T, "how long nobody was seen before one", kind("answered", step="plug"), set_to(when={"idle": 1.0}))

# ---- events
E = "events"


@edit(E, "a safety question and its answer dropped")
def _(home: EditedHome) -> None:
    home.change(lambda e: None if e.get("run") == 5 else e)


@edit(E, "the proof dropped, from the repair to the handover")
def _(home: EditedHome) -> None:
    home.change(lambda e: None if e.get("run") in range(23, 33) else e)


@edit(E, "the closing event cut off")
def _(home: EditedHome) -> None:
    home.write(home.events()[:-1])


@edit(E, "the last ten cut off, the paper taken away")
def _(home: EditedHome) -> None:
    home.write(home.events()[:-10])
    for paper in home.folder.glob("*.md"):
        paper.unlink()


@edit(E, "blocks cut off the end, nothing sealed again, the paper taken away")
def _(home: EditedHome) -> None:
    head = b"[[event]]\n"
    parts = home.journal.read_bytes().split(head)[1:]
    home.journal.write_bytes(head + head.join(parts[:-3]))
    for paper in home.folder.glob("*.md"):
        paper.unlink()


@edit(E, "two swapped")
def _(home: EditedHome) -> None:
    events = home.events()
    events[60], events[61] = events[61], events[60]
    home.write(events)


@edit(E, "one repeated")
def _(home: EditedHome) -> None:
    events = home.events()
    home.write([*events[:60], events[59], *events[60:]])


@edit(E, "a note put in")
def _(home: EditedHome) -> None:
    events = home.events()
    note = next(e for e in events if e["kind"] == "note")
    more = {
        **note,
        "text": "The customer was told.",
        "asked": {**note["asked"], "text": "The customer was told."},
    }
    at = events.index(note) + 1
    home.write([*events[:at], more, *events[at:]])


changed(E, "the note dropped", kind("note"), lambda _event: None)
changed(E, "the photo's event dropped", kind("photo"), lambda _event: None)
changed(E, "an event of a kind that there is not", kind("note"), set_to(kind="remark"))


@edit(E, "one word of the note, nothing sealed again")
def _(home: EditedHome) -> None:
    home.journal.write_bytes(home.journal.read_bytes().replace(b"Oil on the floor", b"Oil on the wall", 1))


# ---- people, words, facts
P = "people and words"
changed(P, "the technician, in the visit", kind("visit"), set_to(technician="S. Ash"))
changed(P, "the ticket", kind("visit"), set_to(ticket="T-9"))
changed(P, "the complaint", kind("complaint"), set_to(words="It is loud"))
changed(P, "the complaint, its command too", kind("complaint"), asked(words="It is loud"))
changed(P, "the serial number, its command too", kind("fact", fact="serial"), asked(value="4471"))
changed(P, "the kind of machine, its command too", kind("fact", fact="kind"), asked(value="top-loader"))
changed(P, "the note", kind("note"), set_to(text="All dry."))
changed(P, "the note, its command too", kind("note"), asked(text="All dry."))
changed(P, "the photo's caption", kind("photo"), set_to(caption="The right damper"))
changed(P, "the photo's caption, its command too", kind("photo"), asked(caption="The right damper"))
changed(P, "the program's version", kind("began"), set_to(program="0.0.9"))
changed(P, "the session's own name", kind("began"), set_to(session=OTHER))

# ---- decision and repair
D = "decision and repair"
changed(D, "the fault that was decided", kind("decided"), set_to(faults=[]))
changed(D, "fitted made declined", kind("repaired"), set_to(outcome="declined"))
changed(D, "how the job ended", kind("closed"), set_to(outcome="no-fault"))

# ---- files beside the journal
F = "files"


@edit(F, "the photo's bytes, in its place")
def _(home: EditedHome) -> None:
    next((home.folder / "attachments").iterdir()).write_bytes(OTHER_PHOTO)


@edit(F, "the photo swapped for one of another job, the journal made to fit")
def _(home: EditedHome) -> None:
    (photo,) = (home.folder / "attachments").iterdir()
    digest = sha256(OTHER_PHOTO).hexdigest()
    name = f"{digest[:16]}{photo.suffix}"
    photo.unlink()
    photo.with_name(name).write_bytes(OTHER_PHOTO)

    def fits(event: Event) -> Event:
        return asked(name=name, sha256=digest)(event) if event["kind"] == "photo" else event

    home.change(fits)


@edit(F, "the photo taken away")
def _(home: EditedHome) -> None:
    next((home.folder / "attachments").iterdir()).unlink()


@edit(F, "a sentence of the customer's paper")
def _(home: EditedHome) -> None:
    paper = home.folder / "HANDOVER.md"
    paper.write_bytes(b"All well.\n" + paper.read_bytes())


@edit(F, "a sentence of the customer's paper, the journal made to fit")
def _(home: EditedHome) -> None:
    paper = home.folder / "HANDOVER.md"
    paper.write_bytes(b"All well.\n" + paper.read_bytes())
    digest = paper_seal.digest(paper.read_bytes())

    def fits(event: Event) -> Event:
        return asked(sha256=digest)(event) if event["kind"] == "handed-over" else event

    home.change(fits)


@edit(F, "the technician's record, in its place")
def _(home: EditedHome) -> None:
    record = home.folder / "RECORD.md"
    record.write_bytes(record.read_bytes() + b"- And the pump was new.\n")


@edit(F, "the papers taken away")
def _(home: EditedHome) -> None:
    for paper in home.folder.glob("*.md"):
        paper.unlink()


@edit(F, "one word of the kept flow")
def _(home: EditedHome) -> None:
    file = next(home.store.home.kept.rglob("dampers.toml"))
    file.write_bytes(file.read_bytes().replace(b"Press the tub", b"Pull the tub"))


@edit(F, "a limit of the kept flow eased, kept under its new digest, the journal made to fit")
def _(home: EditedHome) -> None:
    (kept,) = home.store.home.kept.iterdir()
    files = home.store.home.kept_files(kept.name)
    files = {name: data.replace(b"Press the tub", b"Pull the tub") for name, data in files.items()}
    digest = flow_files.digest(files)
    home.store.home.keep_files(digest, files)

    def fits(event: Event) -> Event:
        return asked(digest=digest)(event) if event["kind"] == "began" else event

    home.change(fits)


@edit(F, "the kept flow taken away")
def _(home: EditedHome) -> None:
    shutil.rmtree(next(home.store.home.kept.iterdir()))


@edit(F, "the signature taken away")
def _(home: EditedHome) -> None:
    (home.folder / SIGNATURES).unlink()


@edit(F, "the signature of another job put in its place")
def _(home: EditedHome) -> None:
    shutil.copy(home.store.home.sessions / OTHER / SIGNATURES, home.folder / SIGNATURES)


@edit(F, "signed anew with a key of one's own")
def _(home: EditedHome) -> None:
    (one,) = load_signatures(home.folder)
    key = key_of_seed(bytes(32))
    bare = SealSignature(one.session, one.chain, one.events, one.at)
    forged = replace(bare, key=key.public, signature=key.sign(bare.message))
    (home.folder / SIGNATURES).write_bytes(dump_signatures([forged]))


# ---- the job told otherwise, by every rule
A = "played again"


def again(says: str, told: Told) -> None:
    """List an edit that plays the whole job once more."""
    EDITS.append(SessionEdit(A, says, lambda home: play_again(home, told)))


again("readings that were never made, still failing", Told(newtons=20.0))
again("better readings after the repair", Told(after=70.0))
again("another technician", Told(technician="S. Ash"))
again("another ticket", Told(ticket="T-9"))
again("another photo", Told(photo=OTHER_PHOTO))
again("another note", Told(note="Nothing seen."))
again("the same, a second later", Told(days=1 / 86_400))

# ---- whole sessions, and the ledger itself
W = "whole sessions and ledger"


@edit(W, "the session removed")
def _(home: EditedHome) -> None:
    shutil.rmtree(home.folder)


@edit(W, "another session in its place, under its name")
def _(home: EditedHome) -> None:
    shutil.rmtree(home.folder)
    shutil.copytree(home.store.home.sessions / OTHER, home.folder)


@edit(W, "another session in its place, its own name changed to fit")
def _(home: EditedHome) -> None:
    shutil.rmtree(home.folder)
    shutil.copytree(home.store.home.sessions / OTHER, home.folder)

    def fits(event: Event) -> Event:
        return asked(session=SESSION)(event) if event["kind"] == "began" else event

    home.change(fits)


@edit(W, "the session removed, and its line taken out of the ledger")
def _(home: EditedHome) -> None:
    shutil.rmtree(home.folder)
    ledger = home.store.root / NAME
    lines = ledger.read_bytes().splitlines(keepends=True)
    ledger.write_bytes(b"".join(line for line in lines if SESSION.encode() not in line))


@edit(W, "played again, and its line in the ledger made to fit")
def _(home: EditedHome) -> None:
    from wizard.sessions.trusting.ledger_sessions import seals_of

    play_again(home, Told(newtons=20.0))
    events, chain = seals_of(home.store.home, SESSION).seals[-1]
    ledger = home.store.root / NAME
    lines = [line.split() for line in ledger.read_text(encoding="ascii").splitlines()[1:]]
    fits = [(at, name, events, chain) if name == SESSION else (at, name, n, c) for at, name, n, c in lines]
    text = "".join(f"{' '.join(map(str, line))}\n" for line in fits)
    ledger.write_bytes(HEADER + text.encode("ascii"))


@edit("nothing", "a number typed at the machine that nobody measured")
def _(home: EditedHome) -> None:
    assert home.journal.is_file()  # The record is as it was written: nothing in it says that it is not so.
