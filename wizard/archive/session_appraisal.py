"""What a closer look at a session finds: its verification, its flags, and from both its risk. Many times as slow."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.archive.risk import reasons, risk_of
from wizard.archive.session_facts import SessionFacts, clean
from wizard.archive.session_tally import session_tallies
from wizard.archive.tally_kinds import SessionTally
from wizard.errors import UNSOUND, SteadfootError, unsound_words
from wizard.journal.folder_digest import session_digest
from wizard.review.flags.flag_id import FlagId
from wizard.review.flags.flag_rules import flags
from wizard.review.flags.thresholds import Thresholds
from wizard.review.replay import Replay
from wizard.sessions.session_store import Store
from wizard.sessions.session_verification import SessionVerification, verified


@dataclass(frozen=True, slots=True)
class SessionAppraisal:
    """What was found. ``wrong``: the first thing that does not verify, empty where all does; ``flags``: the rules that
    raised one; ``reasons``: why it is worth reading, the gravest first; ``tallies``: what it says of what trends
    are of; ``digest``: of all that its folder held, empty where it could not be read.
    """

    session: str
    wrong: str
    flags: tuple[FlagId, ...]
    risk: int
    reasons: tuple[str, ...]
    tallies: tuple[SessionTally, ...] = ()
    digest: str = ""


def appraise(store: Store, facts: SessionFacts, thresholds: Thresholds) -> SessionAppraisal:
    """Look at a session. Never raises for what a person or a disk did to it."""
    digest = session_digest(store.home, facts.session)
    wrong, raised, tallies = _found(store, facts, thresholds)
    why = reasons(facts, raised, wrong)
    return SessionAppraisal(
        facts.session, clean(wrong), raised, risk_of(why), tuple(r.says for r in why), tallies, digest
    )


def _found(
    store: Store, facts: SessionFacts, thresholds: Thresholds
) -> tuple[str, tuple[FlagId, ...], tuple[SessionTally, ...]]:
    try:
        checked = verified(store, facts.session)
        wrong = first_wrong(checked)
        if facts.trouble:
            return wrong or facts.trouble, (), ()
        loaded = store.load(facts.session)
        replay = Replay(loaded.flow, loaded.records)
        found = flags(replay, _without_rules(thresholds))
        tallies = () if wrong else session_tallies(replay)
    except SteadfootError as problem:
        return str(problem).splitlines()[0], (), ()
    except UNSOUND as problem:
        return f"What it holds can't be followed{unsound_words(problem).rstrip('.')}.", (), ()
    broken = checked.breaches and thresholds.on(FlagId.AGAINST_RULES)
    raised = (*((FlagId.AGAINST_RULES,) if broken else ()), *(flag.rule for flag in found))
    return wrong, tuple(dict.fromkeys(raised)), tallies


def _without_rules(thresholds: Thresholds) -> Thresholds:
    """The same without the look at the rules: verifying has decided every event again, which takes the most time."""
    return Thresholds({**thresholds.rules, FlagId.AGAINST_RULES: {"on": False}})


def first_wrong(checked: SessionVerification) -> str:
    """The first thing that is wrong with a session, in words; empty where all is as it should be."""
    parts = (*((checked.flow,) if checked.flow else ()), *checked.attachments, *checked.papers)
    words = (
        *(problem.text for problem in checked.chain.problems),
        *(f"event {breach.seq}: {breach.says}" for breach in checked.breaches),
        *(f"{part.name}: {part.trouble}" for part in parts if not part.ok),
        *checked.unsigned,
        checked.departed,
        *(checked.trust.troubles if checked.trust else ()),
        checked.read,
    )
    return next((one for one in words if one), "")
