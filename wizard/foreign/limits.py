"""How much of each kind of foreign data is taken: one table."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

MB = 1_000_000


class Source(StrEnum):
    """Where data comes from that this program didn't make in this run."""

    FLOW_FILE = "file of a flow, case or service sheet"
    EVENT = "event of a journal"
    JOURNAL = "journal"
    PARCEL = "zip of a session"
    MANIFEST = "list in a zip"
    REPORT = "report of the process that reads a zip"
    REVIEW = "review"
    FLAGS = "thresholds of flags"
    CHECKED = "remembered checks"
    RECORDING = "recording"
    SOUND = "sound"
    ATTACHMENT = "photo or other attachment"
    PAPER = "paper of a handover"
    PROPOSAL = "what was learned of a flow"
    OBSERVED = "remembered sessions"
    APPROVAL = "approval of a flow"
    IMPORTED = "remembered imports"
    SHOP = "file with a shop's details"
    CUSTOMER = "file with a customer's details"
    LOGO = "logo of the shop"
    PICTURE = "photo in a report"
    KEY = "key of this computer"
    TRUSTED = "file of what a shop trusts"
    SIGNATURE = "signatures of a session"
    LEDGER = "ledger of seals"
    PROOF = "proof of a ledger"
    WAITING = "jobs that wait for the ledger"
    BEGUN = "name of the session begun last"


@dataclass(frozen=True, slots=True)
class Limits:
    """The most that is taken of a source.

    ``size`` in bytes, of one file; ``depth`` of tables and lists in each other; ``key_parts`` of one dotted key or
    header; ``values`` counts every key and entry (events of a journal, files in a zip, lines of a recording, samples
    of a sound, pixels of a picture); ``text`` in characters, of one text or key (of a recording, one line).
    """

    size: int
    depth: int = 0
    key_parts: int = 0
    values: int = 0
    text: int = 0


SOURCE_LIMITS: Mapping[Source, Limits] = {
    Source.FLOW_FILE: Limits(1 * MB, depth=40, key_parts=16, values=50_000, text=100_000),
    # A block's headers name every table on the way to a value, and an event may nest 32 deep (sealed_block).
    Source.EVENT: Limits(1 * MB, depth=40, key_parts=40, values=50_000, text=200_000),
    Source.JOURNAL: Limits(50 * MB, values=100_000),
    Source.PARCEL: Limits(500 * MB, values=2_000),
    Source.MANIFEST: Limits(1 * MB, depth=4, key_parts=4, values=10_000, text=1_000),
    Source.REPORT: Limits(4 * MB, depth=6, values=10_000, text=1 * MB),
    Source.REVIEW: Limits(1 * MB, depth=4, key_parts=4, values=20_000, text=100_000),
    Source.FLAGS: Limits(100_000, depth=4, key_parts=4, values=1_000, text=1_000),
    Source.CHECKED: Limits(100_000, depth=4, values=1_000, text=1_000),
    Source.RECORDING: Limits(20 * MB, values=500_000, text=4_000),
    # Twenty minutes at 48000 samples a second, of 24 bits on two channels.
    Source.SOUND: Limits(400 * MB, values=60_000_000),
    Source.ATTACHMENT: Limits(50 * MB),
    Source.PAPER: Limits(4 * MB),
    Source.OBSERVED: Limits(100 * MB, depth=6, values=5_000_000, text=4_000),
    Source.APPROVAL: Limits(4 * MB, depth=3, key_parts=4, values=50_000, text=4_000),
    Source.IMPORTED: Limits(100 * MB, values=1_000_000, text=200),
    Source.SHOP: Limits(100_000, depth=3, key_parts=4, values=2_000, text=4_000),
    Source.CUSTOMER: Limits(100_000, depth=3, key_parts=4, values=2_000, text=4_000),
    Source.LOGO: Limits(1 * MB, values=4_000_000),
    Source.PICTURE: Limits(8 * MB, values=64_000_000),
    Source.KEY: Limits(10_000),
    Source.TRUSTED: Limits(1 * MB, depth=3, key_parts=4, values=20_000, text=1_000),
    Source.SIGNATURE: Limits(100_000, depth=3, key_parts=4, values=2_000, text=1_000),
    Source.LEDGER: Limits(200 * MB, values=1_000_000, text=200),
    Source.WAITING: Limits(1 * MB, values=10_000, text=100),
    Source.BEGUN: Limits(1_000),
    Source.PROOF: Limits(100_000, depth=3, key_parts=4, values=500, text=1_000),
    Source.PROPOSAL: Limits(4 * MB, depth=5, key_parts=4, values=100_000, text=4_000),
}
"""The one table. DEVELOPERS.md says what a person is told; a test compares the two."""

LARGEST_IN_PARCEL = SOURCE_LIMITS[Source.ATTACHMENT].size
"""The most bytes that one file of a zip may have unpacked, as it may beside a journal; all together may have PARCEL's.
"""

NAME_LENGTH = 80
"""Characters of a person's name or a ticket that a field takes."""

LINE_LENGTH = 300
"""Characters that a field of one line takes: a reading, a path, a caption."""

TEXT_LENGTH = 4_000
"""Characters that a field of several lines takes: a complaint, a note, a reason."""

IMPORT_SECONDS = 120.0
"""How long the process that reads a zip may take, on any platform; half of it on the processor where that is told."""

IMPORT_MEMORY = 3_000 * MB
"""The most bytes of address space that the process which reads a zip may have, where the platform limits that."""


class Unreadable(ValueError):
    """Foreign data goes beyond its limits, or has not the form that it should have. A sentence's end says why."""


class TooLarge(Unreadable):
    """A file has more bytes than its kind may have."""
