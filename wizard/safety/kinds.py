"""The closed lists of words that the package speaks in."""

from __future__ import annotations

from enum import StrEnum


class WideningReason(StrEnum):
    """Why less is believed of a machine than before."""

    LAPSE = "lapse"
    """Nobody pressed a key for longer than the lapse allows."""
    PAUSE = "pause"
    """A break was declared."""
    RESTART = "restart"
    """The program was started again, or a journal was loaded."""
    VISIT = "visit"
    """A new visit began."""
    PERSON = "person"
    """Another person took over."""
    SUSPENDED = "suspended"
    """The computer did not run for a while, as with its lid shut."""
    OTHER_WORK = "other-work"
    """Other work was done since: who was there to help may have left."""
    OTHER_REPAIR = "other-repair"
    """Another repair is made ready: what was agreed was agreed for the one before."""
    CLOCK = "clock"
    """A clock went back, so nobody knows how long the machine was left alone."""
    FACT = "fact"
    """A fact of the machine was put right, and what was believed rested on what it was taken for."""


UNATTENDED = frozenset(
    {
        WideningReason.LAPSE,
        WideningReason.PAUSE,
        WideningReason.RESTART,
        WideningReason.PERSON,
        WideningReason.SUSPENDED,
        WideningReason.CLOCK,
    }
)
"""Why less may be known while hands are in the machine."""


class BarredKind(StrEnum):
    """Why nothing can be asked that would bring a need about."""

    LATCH = "latch"
    """A latch stands: only its release ends it."""
    KNOWN_BAD = "known-bad"
    """It is known not to be so, and no step that may be asked on its own changes it."""
    STUCK = "stuck"
    """Nothing establishes it, or what does needs it first: a flaw of the library or the flow."""


class MoveKind(StrEnum):
    """What can happen to a belief."""

    SHOW = "show"
    ANSWER = "answer"
    AWAY = "away"
    ANEW = "anew"
    FORGET = "forget"


class ModelProblemKind(StrEnum):
    """What can be wrong with conditions, reaches and acts."""

    TWICE = "twice"
    """Two of them have the same id."""
    UNKNOWN = "unknown"
    """A condition or a value is named that isn't there."""
    EMPTY = "empty"
    """A set of values is empty, so nothing could ever satisfy it."""
    OPEN = "open"
    """What values turn into alone isn't closed: it lacks a value itself, or what its successor turns into."""
    CIRCLE = "circle"
    """Conditions rest on each other in a circle."""
    LATCH = "latch"
    """A latch is needed, may come of an act, or comes and goes alone; or an answer leaves open whether it stands."""
    USUAL = "usual"
    """More than one answer is the usual one, or the usual one stops work."""
    OUTSIDE = "outside"
    """An answer says that of an act came what its ``may`` doesn't name."""
