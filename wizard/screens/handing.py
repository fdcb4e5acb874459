"""Writing the papers of a visit and recording that in the journal: for the handover and for a stopped job."""

from __future__ import annotations

from datetime import tzinfo

from wizard.engine import commands as cmd
from wizard.errors import SteadfootError
from wizard.review.handover import summary
from wizard.screens import papers
from wizard.screens.host import Host


def text_of(host: Host) -> str:
    """The customer's summary as it stands now."""
    desk = host.desk
    return summary(desk.flow, desk.state, zone=zone_of(host))


def zone_of(host: Host) -> tzinfo:
    """The zone of this computer's clock."""
    zone = host.clock.wall().astimezone().tzinfo
    assert zone is not None
    return zone


def hand_over(host: Host) -> papers.Papers | None:
    """Write the papers and record the summary's SHA-256. None, and a sentence on screen, if the disk refuses."""
    desk = host.desk
    try:
        done = papers.write(desk.opened.folder, desk.flow, desk.state, zone_of(host))
    except SteadfootError as problem:
        host.say(str(problem))
        return None
    host.act(cmd.RecordHandover(done.summary.name, done.sha256, done.beside))
    return done


def seal_paper(host: Host) -> None:
    """Write the seal on the paper of the visit that is closed; a sentence on screen if the disk refuses.

    It is done when the closed job comes on screen, so one whose program ended between closing and this gets it then.
    """
    desk = host.desk
    try:
        papers.seal(desk.opened.folder, desk.state, desk.opened.seal)
    except SteadfootError as problem:
        host.say(f"{problem} The seal isn't on the paper yet: write it by hand.")
