"""A recorded spin in a session: its figures, its phases and the points to draw, written into the journal and read back.

So the record, the replay, the comparison of before and after and the papers need neither the file nor the analysis.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from wizard.domain.recording_vocabulary import FigureKind, SignalKind, SpinPhase
from wizard.engine.messages.spin_setting import NOTHING_SAID, SpinSetting

if TYPE_CHECKING:
    from wizard.recordings.figures.spin_severity import PhaseLevel
    from wizard.recordings.spin_report import SpinReport

MOST_POINTS = 200
"""The most points that a journal may hold of one spin."""

MOST_FIGURES, MOST_STRETCHES = 60, 200
"""The most figures and stretches that it may hold of one."""

ANALYSIS = 3
"""Which analysis this version makes. 1: a sound's rest was taken for a tumble, its levels for less than they were.

2: the longest steady stretch was the spin, and a peak or a bang before its last ramp was lost.
"""

_DIGITS = 5


@dataclass(frozen=True, slots=True)
class KeptFigure:
    """A figure as the journal has it: ``told`` says whether there is a ``value``; ``there``, of what may be there or
    not, whether it was found, None where that can't be told. ``says``: its sentence, ``by``: how it is known. ``bias``:
    by how much the value may be off to one side.
    """

    figure: FigureKind
    says: str
    told: bool = False
    value: float = 0.0
    uncertainty: float = 0.0
    unit: str = "1"
    there: bool | None = None
    at: float | None = None
    bias: float = 0.0
    by: str = ""


@dataclass(frozen=True, slots=True)
class KeptStretch:
    """A stretch of one phase, s, with how loud it is (``unit`` of the record) and the standard uncertainty of that."""

    phase: SpinPhase
    start: float
    end: float
    rms: float
    rms_u: float
    peak: float


@dataclass(frozen=True, slots=True)
class SpinRecord:
    """What a recording of a spin said.

    ``rate`` readings a second, ``unit`` of the levels: m/s2 of a motion, dB of a sound. At ``times`` s the drum's
    ``speeds``, rpm (0 where it isn't seen), and the ``levels``, rms. ``place``: what speaks against the phone having
    lain where it should; ``doubts``: what can't be told. ``setting``: what was said of it. ``levelled``: a sound whose
    gain changed by itself, so that its own levels can't be set beside each other. ``analysis``: which one made it, 1
    where an earlier version did. ValueError for what no analysis gives.
    """

    signal: SignalKind
    seconds: float
    rate: float
    unit: str
    times: tuple[float, ...]
    speeds: tuple[float, ...]
    levels: tuple[float, ...]
    stretches: tuple[KeptStretch, ...]
    figures: tuple[KeptFigure, ...]
    place: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()
    setting: SpinSetting = NOTHING_SAID
    levelled: bool = False
    analysis: int = 1

    def __post_init__(self) -> None:
        """A journal may hold what the program never writes."""
        drawn = 2 <= len(self.times) == len(self.speeds) == len(self.levels) <= MOST_POINTS
        rising = drawn and all(a < b for a, b in pairwise(self.times)) and self.times[0] >= 0
        few = len(self.figures) <= MOST_FIGURES and len(self.stretches) <= MOST_STRETCHES
        whole = few and all(s.start < s.end and s.rms_u >= 0 for s in self.stretches)
        if not (rising and whole and self.seconds > 0 and self.rate > 0):
            raise ValueError("a recording of a spin holds what no analysis gives")
        if any(f.uncertainty < 0 or f.bias < 0 for f in self.figures) or min(*self.speeds, 0.0) < 0:
            raise ValueError("a recording of a spin holds what no analysis gives")

    def of(self, kind: FigureKind) -> tuple[KeptFigure, ...]:
        """The figures of one kind."""
        return tuple(figure for figure in self.figures if figure.figure is kind)


def spin_record(report: SpinReport, setting: SpinSetting | None = None) -> SpinRecord:
    """What is kept of a recording that was analysed; ``setting``: what was said of it."""
    signal = report.signal
    at = report.course.at
    step = max(1, -(-len(at) // MOST_POINTS))
    chosen = range(0, len(at), step)
    speeds = [60 * float(report.course.speed[n]) for n in chosen]
    return SpinRecord(
        signal=signal.kind, seconds=_short(signal.seconds), rate=_short(signal.file_rate),
        unit=report.levels[0].unit if report.levels else "", times=tuple(_short(float(at[n])) for n in chosen),
        speeds=tuple(_short(max(speed, 0.0)) if speed == speed else 0.0 for speed in speeds),
        levels=tuple(_short(float(report.level[n : n + step].max())) for n in chosen),
        stretches=tuple(_stretch(level) for level in report.levels),
        figures=tuple(_figures(report)), place=report.place, doubts=report.doubts,
        setting=setting or NOTHING_SAID, levelled=signal.levelled, analysis=ANALYSIS,
    )  # fmt: skip


def _stretch(level: PhaseLevel) -> KeptStretch:
    stretch = level.stretch
    numbers = map(_short, (stretch.start, stretch.end, level.rms, level.rms_u, level.peak))
    return KeptStretch(stretch.phase, *numbers)


def _figures(report: SpinReport) -> list[KeptFigure]:
    return [
        KeptFigure(
            figure.kind, figure.says, figure.value is not None, _short(figure.value or 0.0),
            _short(figure.uncertainty), figure.unit, figure.present, None if figure.at is None else _short(figure.at),
            _short(figure.bias), figure.known_by,
        )
        for figure in report.figures[:MOST_FIGURES]
    ]  # fmt: skip


def _short(value: float) -> float:
    """A number to five figures: more would only make the journal long."""
    return float(f"{value:.{_DIGITS}g}")
