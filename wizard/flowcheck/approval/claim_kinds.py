"""What a flow may claim, in which words, and when one claim asks for less than another."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum, unique


@unique
class Bearing(StrEnum):
    """Which way a claim works."""

    DEMAND = "demand"
    """It asks for something: without it less keeps people safe."""
    ALLOWANCE = "allowance"
    """It lets something be: with it less keeps people safe."""


@unique
class Measure(StrEnum):
    """How the values of a claim are compared with those that the same claim had."""

    ONLY = "only"
    """Nothing but these: fewer say more."""
    ANY = "any"
    """Each of these: more say more."""
    ORDER = "order"
    """In this order: it says the same while what was there keeps its order, and more with more in it."""
    LEAST = "least"
    """Numbers, so many at least: each larger one says more."""
    MOST = "most"
    """Numbers, so many at most: each smaller one says more."""
    GRAVITY = "gravity"
    """Signal words, the gravest first: more of them, or graver ones, say more."""
    REACH = "reach"
    """A reach: one that needs all that the other does, and more, says more."""
    EXACT = "exact"
    """As it is: whatever differs, and one that is new, has to be judged by a person."""


@unique
class ClaimKind(StrEnum):
    """What is claimed. The values are the words of a claim's line."""

    VALUES = "may be"
    HOLDS_WHILE = "holds while"
    ALONE = "left alone may turn from"
    LATCH = "is latched at"
    PASSING = "holds for one work"
    LAST = "is asked last"
    ONLY_WHERE = "is left out but where"
    HANDS = "takes hands at least as far, at"
    CONTRADICTED = "if it is contradicted stops for"
    BADGE = "shows on the badge"
    URGENT = "shows first on the badge"
    PAPER = "is on the customer's paper at"
    NEEDS = "needs"
    BEGINS = "begins where"
    MAY = "may change"
    WARNS = "warns at every step"
    VERBS = "is worded only by"
    SHOWN = "is shown at reach"
    LEAST_REACH = "is used at reach"
    REACH_BESIDES = "needs besides what is needed at reach"
    CAUTION = "warns of"
    WAIT = "waits, in minutes, since"
    WAIT_WHERE = "waits only where"
    TAKES = "takes at least, in seconds"
    UNABLE = "if nobody is able stops for"
    VOUCHED = "has words that its reach would not take"
    UNATTENDED = "is believed without a key, in minutes"
    MANY = "takes several answers"
    READS_FROM = "reads from"
    READS_TO = "reads to"
    READS_PLACE = "reads at"
    READS_WAY = "reads in the way"
    READS_EACH = "reads each of"
    READS_OFTEN = "reads each so often"
    READS_WITH = "reads with"
    JUDGED = "is judged by"
    COMPUTED = "is computed by"
    INPUT = "is computed from"
    SETS = "sets"
    SAYS = "says that"
    STOPS = "stops for"
    STOPS_AFTER = "after so often stops for"
    ONE_OF = "is one of"
    LATER = "is asked again later"
    SIGHT = "is asked again where"
    OPEN = "may be left open"
    APPLIES = "is for machines where"
    OWED = "is owed before a decision"
    PROVES_ONLY = "proves only the repair of"
    PROVED = "is proved by"
    LEFT = "is left by"
    HANDED_OVER = "is handed over by"
    ASKING_ORDER = "asks in the order"
    PROCEDURES = "asks by the procedures"
    CONSENT = "takes in or orders a part only with"
    HAZARD = "names its hazard"
    CONFIRMED = "is confirmed by one of"
    RECHECK = "is measured again by"
    KNOWN_BY = "is known by"
    PUTS = "puts"
    AGAIN = "is over only with"
    OUTDOORS = "sends everybody outdoors"
    RELEASE = "is over when:"
    MAKE_SAFE = "asks for:"
    CALL = "calls:"
    UNCERTAIN = "is uncertain by at least"
    BAND = "has the band"
    DONE = "is done by the words:"
    EXPECTED = "is told by the words:"
    ANSWERED = "is chosen by the words:"
    ASKED = "is asked by the words:"
    WARNED = "warns by the words:"
    CALLED = "is called:"
    VALUE_READ = "has a value read as:"
    BADGE_READ = "has a word of the badge read as:"
    PAPER_READ = "has a word of the paper read as:"
    KNOWN_AS = "is known as"
    KNOWN_OF = "tells what is known of"
    LEAVES_OUT = "leaves out what its inspection is for"
    LACKS = "is for machines without"


@dataclass(frozen=True, slots=True)
class ClaimRule:
    """Which way claims of a kind work, how their values are compared, and whether what follows their words is a text
    of the flow's, whole.
    """

    bearing: Bearing
    measure: Measure
    text: bool = False


_DEMANDS: Mapping[Measure, tuple[ClaimKind, ...]] = {
    Measure.ONLY: (
        ClaimKind.HOLDS_WHILE, ClaimKind.NEEDS, ClaimKind.BEGINS, ClaimKind.VERBS, ClaimKind.CONFIRMED,
        ClaimKind.CONSENT, ClaimKind.AGAIN,
    ),
    Measure.ANY: (
        ClaimKind.VALUES, ClaimKind.ALONE, ClaimKind.LATCH, ClaimKind.PASSING, ClaimKind.LAST, ClaimKind.BADGE,
        ClaimKind.URGENT, ClaimKind.PAPER, ClaimKind.MAY, ClaimKind.WARNS, ClaimKind.LATER, ClaimKind.SIGHT,
        ClaimKind.OWED, ClaimKind.PROVED, ClaimKind.HAZARD, ClaimKind.RECHECK, ClaimKind.OUTDOORS, ClaimKind.LEAVES_OUT,
    ),
    Measure.ORDER: (ClaimKind.ASKING_ORDER, ClaimKind.PROCEDURES),
    Measure.LEAST: (
        ClaimKind.WAIT, ClaimKind.TAKES, ClaimKind.READS_FROM, ClaimKind.READS_OFTEN, ClaimKind.UNCERTAIN,
    ),
    Measure.MOST: (ClaimKind.READS_TO, ClaimKind.STOPS_AFTER),
    Measure.GRAVITY: (ClaimKind.CAUTION,),
    Measure.REACH: (ClaimKind.HANDS, ClaimKind.LEAST_REACH, ClaimKind.REACH_BESIDES),
    Measure.EXACT: (
        ClaimKind.UNABLE, ClaimKind.CONTRADICTED, ClaimKind.STOPS, ClaimKind.LEFT, ClaimKind.HANDED_OVER,
        ClaimKind.KNOWN_BY,
    ),
}  # fmt: skip
_ALLOWANCES: Mapping[Measure, tuple[ClaimKind, ...]] = {
    Measure.ONLY: (
        ClaimKind.ONLY_WHERE, ClaimKind.WAIT_WHERE, ClaimKind.SETS, ClaimKind.PROVES_ONLY, ClaimKind.VOUCHED,
        ClaimKind.OPEN,
    ),
    Measure.ANY: (ClaimKind.LACKS,),
    Measure.MOST: (ClaimKind.UNATTENDED,),
    Measure.REACH: (ClaimKind.SHOWN,),
    Measure.EXACT: (
        ClaimKind.SAYS, ClaimKind.PUTS, ClaimKind.MANY, ClaimKind.ONE_OF, ClaimKind.APPLIES, ClaimKind.READS_EACH,
        ClaimKind.READS_WITH, ClaimKind.JUDGED, ClaimKind.COMPUTED, ClaimKind.INPUT, ClaimKind.BAND,
        ClaimKind.KNOWN_AS, ClaimKind.KNOWN_OF,
    ),
}  # fmt: skip
_TEXTS = (
    ClaimKind.RELEASE, ClaimKind.MAKE_SAFE, ClaimKind.CALL, ClaimKind.READS_PLACE, ClaimKind.READS_WAY,
    ClaimKind.DONE, ClaimKind.EXPECTED, ClaimKind.ANSWERED, ClaimKind.ASKED, ClaimKind.WARNED, ClaimKind.CALLED,
    ClaimKind.VALUE_READ, ClaimKind.BADGE_READ, ClaimKind.PAPER_READ,
)  # fmt: skip

RULES_OF: Mapping[ClaimKind, ClaimRule] = {
    **{kind: ClaimRule(Bearing.DEMAND, measure) for measure, kinds in _DEMANDS.items() for kind in kinds},
    **{
        kind: ClaimRule(Bearing.ALLOWANCE, measure)
        for measure, kinds in _ALLOWANCES.items()
        for kind in kinds
    },
    **{kind: ClaimRule(Bearing.DEMAND, Measure.ANY, True) for kind in _TEXTS},
}
"""Kind -> its rule. An answer that SETS puts what its step may change, so that without it more may be so; one that
SAYS narrows what is believed, and contradicts it where nothing would be left: either way of changing it loses
something, so it is EXACT. The same holds of what a stop PUTS, and of what a person judged as a whole.
"""
