"""Which sessions are worth reading: a plain rule of points, each with its reason.

Points are added: one for each thing that is so of a session, whatever its count, and the sum is its risk. A session
that cannot be read or does not verify comes before all others. What a reviewer signed off as it stands has none left:
it was read, until the technician answers. The points are an estimate, in the order of what a customer or a technician
could be hurt by: the record itself, then the machine as it was left, then the diagnosis, then how it was done.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from wizard.archive.session_facts import DAMAGED_END, TO_READ, UNDER_WAY, SessionFacts, SignStanding
from wizard.domain.vocabulary import JobOutcome, JobState
from wizard.review.flags.flag_id import FlagId


@dataclass(frozen=True, slots=True)
class RiskReason:
    """One thing that makes a session worth reading, and its points."""

    points: int
    says: str


UNREADABLE = RiskReason(200, "can't be read")
UNVERIFIED = RiskReason(200, "does not verify")
CHANGED = RiskReason(40, "record changed since it was signed")
ANSWERED = RiskReason(30, "answered since it was returned")
STOPPED = RiskReason(30, "work stopped, not closed")

OUTCOMES: Mapping[str, RiskReason] = {
    JobOutcome.STOPPED: RiskReason(30, "left with work stopped"),
    JobOutcome.PROOF_FAILED: RiskReason(30, "repaired, but its proof failed"),
    JobOutcome.NOT_PROVED: RiskReason(25, "repaired, not proved"),
    JobOutcome.UNEXPLAINED: RiskReason(25, "a fault showed, cause not found"),
    JobOutcome.NO_FAULT: RiskReason(15, "no fault confirmed"),
    JobOutcome.DECLINED: RiskReason(10, "repair declined"),
    JobOutcome.PUT_OFF: RiskReason(10, "repair put off"),
    UNDER_WAY: RiskReason(5, "not closed"),
    DAMAGED_END: RiskReason(5, "its end is damaged"),
}
"""By how the job ended; what is not here has no points."""

FLAGS: Mapping[FlagId, RiskReason] = {
    FlagId.AGAINST_RULES: RiskReason(100, "event against the rules"),
    FlagId.STORED_QUICK: RiskReason(60, "stored voltage measured too soon"),
    FlagId.ASKED_QUICK: RiskReason(40, "safety questions answered unread"),
    FlagId.ISOLATION_QUICK: RiskReason(40, "power cut off unread"),
    FlagId.PROOF_REPEATED: RiskReason(40, "proof repeated until it passed"),
    FlagId.FAIL_NO_ACTION: RiskReason(35, "fail that nothing was done about"),
    FlagId.AFTER_WORSE: RiskReason(35, "worse after the repair"),
    FlagId.NO_PROVING: RiskReason(30, "repair never proved"),
    FlagId.CLOCK_BACK: RiskReason(25, "clock ran backwards"),
    FlagId.PART_NO_FAIL: RiskReason(25, "part fitted that nothing spoke for"),
    FlagId.REASONS_EMPTY: RiskReason(20, "left out with reasons that say nothing"),
    FlagId.SET_INCOMPLETE: RiskReason(15, "set of parts incomplete"),
    FlagId.COMPANION_LEFT_OUT: RiskReason(15, "part left out of its set"),
    FlagId.OVERRIDE_NO_REASON: RiskReason(12, "overruled without a reason"),
    FlagId.LATE_EDIT: RiskReason(12, "put right late"),
    FlagId.STEP_QUICK: RiskReason(10, "steps done too quickly"),
    FlagId.SEARCH_OPEN: RiskReason(10, "search not finished"),
    FlagId.READINGS_SAME: RiskReason(8, "readings all the same"),
    FlagId.READINGS_MISSING: RiskReason(5, "readings left out"),
    FlagId.READING_FINER: RiskReason(4, "reading finer than its tool"),
    FlagId.READING_ON_LIMIT: RiskReason(3, "reading on its limit"),
}
"""By the flags raised; a test holds that every flag is here."""

_ALL = (UNREADABLE, UNVERIFIED, CHANGED, ANSWERED, STOPPED, *OUTCOMES.values(), *FLAGS.values())
POINTS = tuple((one.points, one.says) for one in _ALL)
"""The whole rule: where it is another one, sessions are looked at again."""


def reasons(facts: SessionFacts, flags: Iterable[FlagId], wrong: str) -> tuple[RiskReason, ...]:
    """Why a session is worth reading, the gravest first. ``wrong``: what its verification found, empty where nothing.

    None for what is signed off as it stands and verifies.
    """
    found = sorted(_reasons(facts, flags, wrong), key=lambda reason: -reason.points)
    read = facts.standing not in TO_READ and not (facts.trouble or wrong)
    return () if read else tuple(found)


def _reasons(facts: SessionFacts, flags: Iterable[FlagId], wrong: str) -> Iterator[RiskReason]:
    if facts.trouble:
        yield UNREADABLE
    elif wrong:
        yield UNVERIFIED
    if facts.standing is SignStanding.CHANGED:
        yield CHANGED
    if facts.standing is SignStanding.ANSWERED:
        yield ANSWERED
    if facts.job_state == JobState.STOPPED:
        yield STOPPED
    elif facts.outcome in OUTCOMES:
        yield OUTCOMES[facts.outcome]
    yield from (FLAGS[flag] for flag in dict.fromkeys(flags))


def risk_of(some: Iterable[RiskReason]) -> int:
    """The sum of their points."""
    return sum(reason.points for reason in some)
