"""Many sessions brought in at once: from files, and from folders into which laptops put what they export."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from traceback import format_exception

from wizard.errors import JournalError, SteadfootError, UsageError
from wizard.foreign.harmless import harmless
from wizard.sessions.import_memory import NAME, ImportMemory
from wizard.sessions.many_sessions import ManySessions, NoClock
from wizard.sessions.parcel_reader import digest_of
from wizard.sessions.session_placing import Imported
from wizard.sessions.session_store import Store
from wizard.sessions.session_verification import SessionVerification, verified
from wizard.sessions.transfer import Reader, import_

ENDING = ".zip"


@dataclass(frozen=True, slots=True)
class ImportedParcel:
    """What became of one parcel. ``done`` and ``checked``: how it was put and what its verification says; without
    ``done``, ``known`` names the session that it became before, or ``trouble`` says why it was not taken. With
    ``done``, ``trouble`` says why it could not be verified.
    """

    source: Path
    done: Imported | None = None
    checked: SessionVerification | None = None
    known: str = ""
    trouble: SteadfootError | None = None


def parcels(sources: Iterable[Path]) -> tuple[tuple[Path, bool], ...]:
    """Every parcel that is named, or lies in a folder that is, or below that, and whether a folder led to it.

    Links in a folder are not followed. UsageError where a source is neither, or a folder holds none.
    """
    found: dict[Path, bool] = {}
    for source in sources:
        if not source.is_dir():
            found.setdefault(source, False)
            continue
        try:
            below = [p for p in sorted(source.rglob(f"*{ENDING}")) if p.is_file() and not p.is_symlink()]
        except OSError as error:
            why = error.strerror or str(error)
            raise UsageError(
                f"{harmless(str(source))}: can't be looked through ({why}). Look at its permissions."
            ) from error
        if not below:
            raise UsageError(
                f"{harmless(str(source))}: no zip of a session lies in this folder, or below it."
            )
        for path in below:
            found.setdefault(path, True)
    return tuple(found.items())


def import_many(
    store: Store, sources: Iterable[Path], read: Reader | None = None
) -> Iterator[ImportedParcel]:
    """Bring in every parcel, one after the other; each that changed something, or was named itself, is verified.

    One of a folder that came in before with the same bytes is not read again while its session is here. What is wrong
    with one keeps no other from coming in. UsageError as ``parcels`` has it.
    """
    memory = ImportMemory(store.root / NAME)
    before = memory.load()
    many = ManySessions(store.root, NoClock(), store.known, store.ledger)
    here = set(store.home.list_ids())
    for path, from_folder in parcels(sources):
        try:
            digest = digest_of(path)
            if from_folder and before.get(digest) in here:
                yield ImportedParcel(path, known=before[digest])
                continue
            done = import_(store, path, read)
        except SteadfootError as trouble:
            yield ImportedParcel(path, trouble=trouble)
            continue
        except Exception as error:  # A defect of ours met by one parcel: the others still come in.
            yield ImportedParcel(path, trouble=_defect(path, error))
            continue
        many.forget()
        here.add(done.session)
        if before.get(digest) != done.session:
            before[digest] = done.session
            memory.add(digest, done.session)
        yield _checked(many, path, done)


def _checked(many: ManySessions, path: Path, done: Imported) -> ImportedParcel:
    """What came in, with its verification, or why that could not be made."""
    try:
        return ImportedParcel(path, done, verified(many, done.session))
    except SteadfootError as trouble:
        return ImportedParcel(path, done, trouble=trouble)
    except Exception as error:
        return ImportedParcel(path, done, trouble=_defect(path, error))


def _defect(path: Path, error: Exception) -> SteadfootError:
    """What is said of a parcel that met a fault of the program's own; the traceback is a note of it."""
    problem = JournalError(
        f"{harmless(str(path))}: it led to a fault of the program's own ({type(error).__name__})."
    )
    problem.add_note("".join(format_exception(error)))
    return problem
