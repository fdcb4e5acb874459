"""What ``steadfoot recording show`` says of a recording: sentences, a table by phase, a table for programs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from wizard.domain.recording_vocabulary import FigureKind, uncertainty_text
from wizard.recordings.figures.spin_figure import SpinFigure

if TYPE_CHECKING:
    from wizard.recordings.figures.spin_severity import PhaseLevel
    from wizard.recordings.spin_report import SpinReport

HEADS = ("phase", "from s", "to s", "rpm", "rms", "peak")


def lines_of(report: SpinReport) -> list[str]:
    """Return the sentences: what was read, what was found, what can't be told."""
    signal = report.signal
    head = f"{signal.name}: {signal.seconds:.0f} s of {signal.kind}, {signal.file_rate:.0f} a second. "
    head += "Behind +- stands the standard uncertainty."
    lines = [head, "", *_found(report)]
    silent = [figure.says for figure in report.figures if figure.value is None and figure.present is None]
    lines += [
        "",
        "Not told:",
        *(f"- {says}" for says in dict.fromkeys((*report.place, *report.doubts, *silent))),
    ]
    return lines


def _found(report: SpinReport) -> Iterator[str]:
    """Yield what was found, and what was looked for and isn't there, each with how it is known."""
    named = 0
    for figure in report.figures:
        if figure.value is None and figure.present is None:
            continue
        named += figure.kind is FigureKind.BANG
        yield f"- {figure.says}{_uncertain(figure)}"
    if report.bang_count > named:
        yield f"- It bangs {report.bang_count - named} times more, less loudly."
    if not report.figures:
        yield "- Nothing."


def _uncertain(figure: SpinFigure) -> str:
    """Return the standard uncertainty, and how the figure is known, in brackets."""
    if not figure.present and figure.kind is not FigureKind.SEVERITY:
        return f" ({figure.known_by})"
    doubt = uncertainty_text(figure.kind, figure.uncertainty, figure.unit).replace("±", "+-")
    return f" ({doubt}; {figure.known_by})"


def rows_of(report: SpinReport) -> list[list[str]]:
    """Return a row a phase, in the order of time."""
    return [_row(level) for level in report.levels]


def _row(level: PhaseLevel) -> list[str]:
    stretch = level.stretch
    speed = "not seen"
    if level.slowest is not None and level.fastest is not None:
        speed = f"{level.slowest:.0f} to {level.fastest:.0f}"
    form = ".1f" if level.unit == "dB" else ".2g"
    loud = [f"{value:{form}} {level.unit}" for value in (level.rms, level.peak)]
    return [str(stretch.phase), f"{stretch.start:.1f}", f"{stretch.end:.1f}", speed, *loud]


def table_of(report: SpinReport) -> dict[str, Any]:
    """Return all of it in plain dicts and lists; what isn't known is null."""
    signal, course = report.signal, report.course
    return {
        "file": signal.name,
        "sha256": signal.sha256,
        "kind": str(signal.kind),
        "seconds": _short(signal.seconds),
        "rate": _short(signal.file_rate),
        "jitter": _short(signal.jitter),
        "calibrated": signal.calibrated,
        "doubts": list(report.doubts),
        "place": list(report.place),
        "figures": [_figure(figure) for figure in report.figures],
        "bangs": report.bang_count,
        "phases": [_phase(level) for level in report.levels],
        "course": {
            "at": [_short(float(at)) for at in course.at],
            "rpm": [_rpm(float(speed)) for speed in course.speed],
            "rpm_u": [_rpm(float(known)) for known in course.speed_u],
            "level": [_short(float(level)) for level in report.level],
        },
    }


def _figure(figure: SpinFigure) -> dict[str, Any]:
    return {
        "kind": str(figure.kind),
        "value": None if figure.value is None else _short(figure.value),
        "uncertainty": None if figure.value is None else _short(figure.uncertainty),
        "bias": _short(figure.bias),
        "unit": figure.unit,
        "present": figure.present,
        "at": None if figure.at is None else _short(figure.at),
        "says": figure.says,
        "known_by": figure.known_by,
    }


def _phase(level: PhaseLevel) -> dict[str, Any]:
    stretch = level.stretch
    return {
        "phase": str(stretch.phase), "from": _short(stretch.start), "to": _short(stretch.end),
        "rpm": None if level.slowest is None else [_short(level.slowest), _short(level.fastest or level.slowest)],
        "rms": _short(level.rms), "rms_u": _short(level.rms_u), "peak": _short(level.peak), "unit": level.unit,
    }  # fmt: skip


def _rpm(speed: float) -> float | None:
    return None if speed != speed else _short(60 * speed)


def _short(value: float) -> float:
    return float(f"{value:.6g}")
