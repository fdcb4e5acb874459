"""Writing the papers of a visit and recording that in the journal: for the handover and for a stopped job."""

from __future__ import annotations

from datetime import tzinfo

from wizard.documents.document_tree import Document, Paragraph, phrase
from wizard.documents.files import paper_files
from wizard.documents.papers.customer_handover import customer_handover
from wizard.engine.messages import commands as cmd
from wizard.errors import UNSOUND, SteadfootError
from wizard.platform import crash_log
from wizard.screens.layout.question_host import QuestionHost

HANDOVER_ROWS = ("Write it to files", "Close this visit")
"""What can be done with the paper, in the order of the digits from 1 on."""


def handover_now(host: QuestionHost) -> Document:
    """The customer's paper as it stands now."""
    try:
        return customer_handover(host.controller.view, zone=zone_of(host))
    except UNSOUND as problem:
        return Document("The handover", (Paragraph((phrase(_unmade(host, problem)),)),))


def _unmade(host: QuestionHost, problem: Exception) -> str:
    """What to say where the record holds what no paper can be made of; the log has the traceback."""
    says = "The papers can't be made: the record holds what the program never writes. The job goes on."
    return crash_log.logged(host.store.root, problem, says)


def zone_of(host: QuestionHost) -> tzinfo:
    """The zone of this computer's clock."""
    zone = host.clock.wall().astimezone().tzinfo
    assert zone is not None
    return zone


def hand_over(host: QuestionHost) -> paper_files.Papers | None:
    """Write the papers and record the handover's SHA-256. None, and a sentence on screen, if the disk refuses."""
    controller = host.controller
    try:
        done = paper_files.write(controller.opened.folder, controller.view, zone_of(host))
    except SteadfootError as problem:
        host.say(str(problem))
        return None
    except UNSOUND as problem:
        host.say(_unmade(host, problem))
        return None
    host.act(cmd.RecordHandover(done.handover.name, done.sha256, done.beside))
    return done


def write_report_of(host: QuestionHost) -> None:
    """Write the report of the job into the home's folder of reports; a sentence on screen says where, or why not."""
    # Late: it brings the writer of pages with it.
    from wizard.sessions.report_writing import write_report

    try:
        done = write_report(host.store, host.controller.opened.name)
    except SteadfootError as problem:
        host.say(str(problem))
    except UNSOUND as problem:
        host.say(_unmade(host, problem))
    else:
        host.say(f"The report is in {done.path}")


def seal_paper(host: QuestionHost) -> None:
    """Write the seal on the paper of the visit that is closed; a sentence on screen if the disk refuses.

    It is done when the closed job comes on screen, so one whose program ended between closing and this gets it then.
    """
    controller = host.controller
    try:
        paper_files.seal(controller.opened.folder, controller.state, controller.opened.seal)
    except (SteadfootError, *UNSOUND) as problem:
        host.say(f"{problem} The seal isn't on the paper yet: write it by hand.")
    else:
        if says := " ".join(filter(None, (controller.opened.unsigned, controller.opened.unlisted))):
            host.say(says)
