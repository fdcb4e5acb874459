"""The stopwatch, the counter of swings and the falling voltage, as plain data: the screens hand in the time."""

from __future__ import annotations

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass, replace

from wizard.domain.counting import plural
from wizard.measure.quantities import units
from wizard.measure.water_electrical import electrical


@dataclass(frozen=True, slots=True)
class Stopwatch:
    """``began`` and ``ended`` by a clock that only goes forward, s; None: not yet."""

    began: float | None = None
    ended: float | None = None

    @property
    def running(self) -> bool:
        """True between start and stop."""
        return self.began is not None and self.ended is None

    def press(self, now: float) -> Stopwatch:
        """Started, then stopped, then from the beginning."""
        if self.running:
            return replace(self, ended=now)
        return Stopwatch(now)

    def seconds(self, now: float) -> float:
        """What it shows."""
        if self.began is None:
            return 0.0
        return max(0.0, (now if self.ended is None else self.ended) - self.began)


def watch_face(seconds: float) -> str:
    """'0:07.3', '12:04.0'."""
    tenths = round(seconds * 10)
    return f"{tenths // 600}:{tenths // 10 % 60:02d}.{tenths % 10}"


TAPPING = 0.02
"""Standard uncertainty of a time that is tapped, s, where no tool says another: an estimate of a hand's own delay."""


@dataclass(frozen=True, slots=True)
class Taps:
    """Times of the taps, s, one at the top of each swing."""

    times: tuple[float, ...] = ()

    def tap(self, now: float) -> Taps:
        """One more. A tap within a twentieth of a second of the last is the same one: keys bounce."""
        if self.times and now - self.times[-1] < 0.05:
            return self
        return Taps((*self.times, now))

    @property
    def swings(self) -> int:
        """Whole swings between the first tap and the last."""
        return max(0, len(self.times) - 1)

    @property
    def period(self) -> float:
        """Mean time of a swing, s; 0 before the second tap."""
        return (self.times[-1] - self.times[0]) / self.swings if self.swings else 0.0

    @property
    def spread(self) -> float:
        """Sample standard deviation of the swings' times, s; 0 with fewer than two swings."""
        each = [b - a for a, b in zip(self.times, self.times[1:], strict=False)]
        return statistics.stdev(each) if len(each) > 1 else 0.0

    def off(self, own: float) -> float:
        """Standard uncertainty of the mean time, s: ``own``, that of tapping as such, and what the taps show."""
        # Only the first and the last tap make the mean, each off by what the taps in between show.
        return math.hypot(own, self.spread / self.swings) if self.swings else own

    def words(self, own: float = TAPPING) -> tuple[str, ...]:
        """How many swings, how long each with its uncertainty, and the spin speed that comes once a swing."""
        if not self.swings:
            return ("Tap at the top of each swing.",)
        each = units.text(self.period, "s", self.off(own))
        count = plural(self.swings, "swing")
        return (f"{count}, {each} each", f"once a turn at {60 / self.period:.0f} rpm")


@dataclass(frozen=True, slots=True)
class Bleed:
    """Voltages read one after the other: (time by a clock that only goes forward, s; V). ``safe``: V.

    ``parts``: what bleeds it and what holds the charge, ohm and farad, where they are known.
    """

    safe: float
    read: tuple[tuple[float, float], ...] = ()
    parts: tuple[float, float] | None = None

    def add(self, now: float, volts: float) -> Bleed:
        """One more reading."""
        return replace(self, read=(*self.read, (now, volts)))

    @property
    def left(self) -> float | None:
        """Seconds to wait after the last reading; infinite if it doesn't fall; None before the second reading."""
        if self.read and self.read[-1][1] <= self.safe:
            return 0.0
        if len(self.read) < 2:
            return None
        (before, high), (now, low) = self.read[-2:]
        return electrical.wait_left(high, low, now - before, self.safe) if now > before else None

    def words(self, now: float | None = None) -> str:
        """What follows from the readings, as a sentence; at ``now`` of the same clock, less what has gone by."""
        left = self.left
        if left is None and self.read and self.parts is not None:
            return self._by_parts(self.parts, now)
        if not self.read:
            return "Type the voltage now. Take the tips off, hands out, wait a minute, and measure again."
        if left is None:
            return "Hands out. Wait a minute, then measure and type the voltage again."
        if left == 0:
            return f"Down to {units.text(self.read[-1][1], 'V')}. Take this reading."
        if math.isinf(left):
            return "It doesn't fall: it never bleeds down by itself. Stop work."
        return self._wait("", left, now)

    def _wait(self, named: str, left: float, now: float | None) -> str:
        """The wait, less what has gone by since the last reading; over, it is only time to read again."""
        safe = units.text(self.safe, "V")
        rest = left - max(0.0, now - self.read[-1][0]) if now is not None else left
        if rest <= 0:
            return f"{named}It should be at {safe} by now. Reckoned, not proof: read it again."
        about = f"{named}{'about' if named else 'About'} {minutes(rest)} until it is at {safe}"
        return f"{about}. Reckoned, not proof: hands out until then, and read it again."

    def _by_parts(self, parts: tuple[float, float], now: float | None) -> str:
        """The wait by what is printed on the parts; what the voltage does in a minute says more."""
        wait = electrical.discharge_time(*parts, self.read[-1][1], self.safe)
        return self._wait(f"By {units.text(parts[0], 'kohm')} and {units.text(parts[1], 'uF')} ", wait, now)


def bleeding(text: str) -> tuple[float, float]:
    """Resistance and capacitance, SI, from '220 kohm 470 uF'. ValueError that says what is wrong."""
    words = text.split()
    for at in range(1, len(words)):
        first, second = " ".join(words[:at]), " ".join(words[at:])
        try:
            parts = units.read(first, "ohm"), units.read(second, "F")
        except ValueError:
            continue
        if (
            all(part.value > 0 for part in parts)
            and words[at - 1][-1:].isalpha()
            and words[-1][-1:].isalpha()
        ):
            return parts[0].value, parts[1].value
    raise ValueError(
        "parts: write what bleeds it and the capacitor with their units, such as 220 kohm 470 uF"
    )


def minutes(seconds: float) -> str:
    """'45 s', '2 min 30 s', rounded up to 5 s: it is better to wait a little longer."""
    whole = math.ceil(seconds / 5) * 5
    parts = [f"{whole // 60} min" if whole >= 60 else "", f"{whole % 60} s" if whole % 60 else ""]
    return " ".join(part for part in parts if part) or "0 s"


def safe_volts(tops: Sequence[float | None]) -> float:
    """What is safe by a limit: the edge of its first band; 50 V where it has none (29 CFR 1910.303(g)(2)(i))."""
    return next((top for top in tops if top is not None), 50.0)
