"""A job begun on a flow, and one that was closed put into the archive, without a screen."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from wizard.errors import JournalChanged, JournalLost, UsageError

if TYPE_CHECKING:
    from wizard.sessions.session_handle import Opened
    from wizard.sessions.session_store import Store

WHO, YOUR_NAME = "Who does this job?", "Your name, as it shall stand in the record."
WHICH_JOB = "Which job?"
NO_FLOW = "There is no flow to begin. The installation is not whole, or HOME/flows is empty."
LEAVE, KEPT = (
    "Leave the program?",
    "The job is kept as it stands. How the machine stands is asked anew when it is taken up again.",
)


def begin_job(store: Store, flows: Mapping[str, Path], name: str, technician: str) -> Opened:
    """Begin a job on the flow of a name, or in a folder. UsageError where there is none, FlowError for its problems."""
    from wizard.flow.loading.flow_loader import load
    from wizard.flow.parsing import flow_files

    folder = flows.get(name, Path(name))
    if not (folder / flow_files.MAIN).is_file():
        raise UsageError(f"There is no flow {name}. There are: {', '.join(flows) or 'none'}.")
    flow = load(folder, store.known)
    return store.begin(flow, flow_files.read_folder(folder), technician)


def into_archive(store: Store, session: str) -> None:
    """Bring the index up for one job that was closed. SteadfootError where it can't be; the job is not touched by
    that, and whoever opens the archive next brings it up.
    """
    from wizard.archive.archive_index import ArchiveIndex
    from wizard.archive.bringing_up import take

    with ArchiveIndex.open(store.root) as index:
        take(index, store, session)


LOST_TITLE = "THE RECORD CAN'T BE WRITTEN"


def lost_words(lost: JournalLost) -> tuple[str, ...]:
    """What is to be known where an event could not be kept: what happened, what is safe, how to go on."""
    remedy = (
        "put the record back as the words above say"
        if isinstance(lost, JournalChanged)
        else "make room on the disk, or put the drive back"
    )
    return (
        str(lost),
        "What you answered before this was written to the record. The last key may not be: look when you take the job "
        "up again.",
        "First see that the machine is safe: this program no longer keeps track of it.",
        f"Then {remedy}, and start the program again. It takes the job up where it was, and asks anew how the machine "
        "stands.",
    )
