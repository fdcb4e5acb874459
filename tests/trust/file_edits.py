"""Edits of what lies beside a journal, of a review, of whole sessions, and jobs played again."""

from __future__ import annotations

import shutil
from dataclasses import replace
from hashlib import sha256

from tests.trust.edit_list import EDITS, SessionEdit, asked, edit
from tests.trust.edited_homes import OTHER, OTHER_PHOTO, SESSION, EditedHome, Event, Told, play_again
from wizard.documents.files import paper_seal
from wizard.flow.parsing import flow_files
from wizard.sessions import sign_off
from wizard.sessions.review_desk import ReviewDesk
from wizard.sessions.reviews.review_rows import Ruling, row_message
from wizard.trust.ed25519 import key_of_seed
from wizard.trust.seal_ledger import HEADER, NAME
from wizard.trust.seal_signature import NAME as SIGNATURES
from wizard.trust.seal_signature import SealSignature, dump_signatures, load_signatures

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


# ---- what lies beside it of a reviewer
O = "review"  # noqa: E741


def reviewed(home: EditedHome, ruling: Ruling = Ruling.RETURN) -> sign_off.Review:
    """A sign-off, signed by this home's key, before the edit."""
    loaded = home.store.load(SESSION)
    desk = ReviewDesk(home.store, SESSION)
    return desk.sign("C. Marsh", ruling, "Pull each once more.", loaded.chain, len(loaded.records))


def rewritten(home: EditedHome, review: sign_off.Review) -> None:
    """Put another review in its place."""
    (home.folder / sign_off.NAME).write_bytes(sign_off.dumps(review))


@edit(O, "a word of a sign-off")
def _(home: EditedHome) -> None:
    (one,) = reviewed(home).signed
    rewritten(home, sign_off.Review(signed=(replace(one, words="Well done."),)))


@edit(O, "a return made an acceptance")
def _(home: EditedHome) -> None:
    (one,) = reviewed(home).signed
    rewritten(home, sign_off.Review(signed=(replace(one, ruling=Ruling.ACCEPT),)))


@edit(O, "an acceptance written in, without a signature")
def _(home: EditedHome) -> None:
    (one,) = reviewed(home, Ruling.ACCEPT).signed
    rewritten(home, sign_off.Review(signed=(replace(one, key="", signature=""),)))


@edit(O, "an acceptance written in, signed with a key of one's own")
def _(home: EditedHome) -> None:
    (one,) = reviewed(home, Ruling.ACCEPT).signed
    key = key_of_seed(bytes(32))
    forged = replace(one, key=key.public, signature=key.sign(row_message(SESSION, one)))
    rewritten(home, sign_off.Review(signed=(forged,)))


@edit(O, "a return taken out")
def _(home: EditedHome) -> None:
    reviewed(home)
    rewritten(home, sign_off.Review())


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
