"""The recordings in a folder, and what was found in one, as lines. The screens draw them."""

from __future__ import annotations

import math
import os
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from wizard.documents.text.limit_text import good_range
from wizard.domain.measure_vocabulary import MotionQuantity
from wizard.engine.measuring import judging
from wizard.engine.messages.decay_record import DecayFit
from wizard.engine.state.job_view import JobView
from wizard.errors import UsageError
from wizard.flow.model import MeasureStep, Step
from wizard.foreign.file_reader import typed_path
from wizard.foreign.folder_entry import file_at, folder_at
from wizard.foreign.harmless import harmless
from wizard.foreign.video_sound import SUFFIXES as VIDEOS
from wizard.measure.quantities import units
from wizard.measure.uncertainty import conformity
from wizard.measure.vibration.recording_units import CLOCK_TIME
from wizard.screens.text.charset import plain
from wizard.screens.text.verdict_signs import verdict_word
from wizard.screens.text.wrapping import wrapped

if TYPE_CHECKING:
    from wizard.measure.vibration.recording_columns import Column
    from wizard.measure.vibration.recording_file import Recording

SUFFIXES = frozenset({".csv", ".tsv", ".txt", ".dat"})
"""What may be a recording, whatever its capitals."""

SPINS = SUFFIXES | {".wav", ".flac", ".ogg", ".oga", ".mp3"} | VIDEOS
"""What may be the recording of a spin: motion, sound, or a video with sound."""

MOST = 200


@dataclass(frozen=True, slots=True)
class RecordingFacts:
    """A file that may be a recording: when it was last written (seconds since 1970), and its bytes."""

    path: Path
    written: float
    size: int


def newest(
    folders: Iterable[Path], named: bool = False, suffixes: frozenset[str] = SUFFIXES
) -> tuple[RecordingFacts, ...]:
    """The files of these folders that may be recordings, the newest first. A folder that isn't there has none.

    ``named``: somebody typed the folder, so UsageError says why it can't be looked into.
    """
    found: dict[Path, RecordingFacts] = {}
    for folder in folders:
        try:
            with os.scandir(folder) as entries:
                for entry in entries:
                    if Path(entry.name).suffix.lower() in suffixes and (seen := file_at(entry)) is not None:
                        found[Path(entry.path).resolve()] = RecordingFacts(
                            Path(entry.path), seen.st_mtime, seen.st_size
                        )
        except OSError as error:
            if named:
                why = error.strerror or str(error)
                raise UsageError(f"{folder}: can't be looked into ({why}). Look at its name.") from error
    return tuple(sorted(found.values(), key=lambda f: (-f.written, f.path.name))[:MOST])


def completed(typed: str, suffixes: frozenset[str] = SUFFIXES) -> tuple[str, int]:
    """What was typed of a path, completed as far as it is certain, and how many names begin so."""
    try:
        path = typed_path(typed)
    except UsageError:
        return typed, 0
    folder, begun = (path, "") if typed.endswith(("/", os.sep)) else (path.parent, path.name)
    try:
        with os.scandir(folder) as entries:
            names = sorted(
                e.name + (os.sep if folder_at(e) else "")
                for e in entries
                if e.name.startswith(begun)
                and (begun or not e.name.startswith("."))
                and (folder_at(e) or Path(e.name).suffix.lower() in suffixes)
            )
    except (OSError, ValueError):
        names = []
    if not names:
        return typed, 0
    first, last = names[0], names[-1]  # sorted: what these two share, all share
    common = first[
        : next((n for n, (a, b) in enumerate(zip(first, last, strict=False)) if a != b), len(first))
    ]
    return str(folder / common) + (os.sep if common.endswith(os.sep) else ""), len(names)


def sampling(recording: Recording) -> str:
    """'1000 readings in 10.0 s, 100 a second, time in s, parted by commas.'"""
    mark = ", decimal comma" if recording.comma else ""
    unit = "the time of day" if recording.time_unit == CLOCK_TIME else f"time in {recording.time_unit}"
    return (
        f"{len(recording.stamps)} readings in {recording.seconds:.1f} s, {recording.rate:.0f} a second, {unit}, "
        f"parted by {recording.separator}{mark}."
    )


def asks(recording: Recording | None) -> str:
    """What the panel asks: which file, or whether what was found in it is right."""
    if recording is None:
        return "Which recording? The newest stands first. F2: type the path of another."
    how = "Is this right? Mark the column to fit; all axes together serve however the phone lay."
    return f"{recording.name}: {sampling(recording)} {how}"


def doubts(recording: Recording, column: int, width: int) -> list[str]:
    """What can't be told from a column, in lines."""
    from wizard.measure.vibration import recording_file  # late: numpy

    sentence = recording_file.doubts(recording, recording.columns[column])
    return [line for text in sentence for line in wrapped(text, width)]


def read(path: Path) -> Recording | str:
    """The recording in a file, or what is wrong with it, for the message line."""
    from wizard.measure.vibration import recording_file, swing_units  # late: numpy

    try:
        return swing_units.with_likely_units(recording_file.load(path))
    except ValueError as problem:
        return str(problem)
    except OSError as error:
        return f"{harmless(str(path))}: can't be read ({error.strerror or error}). Look at its name."


def other_unit(recording: Recording, column: int) -> Recording:
    """It with a column read in the next unit."""
    from wizard.measure.vibration.recording_units import VALUES

    return recording.with_units(column=column, value=_after(tuple(VALUES), recording.columns[column].unit))


def other_time(recording: Recording) -> Recording:
    """It with the times read in the next unit."""
    from wizard.measure.vibration.recording_units import TIMES

    return recording.with_units(time=_after(tuple(TIMES), recording.time_unit))


def _after(names: tuple[str, ...], name: str) -> str:
    return names[(names.index(name) + 1) % len(names)]


def column_line(column: Column) -> str:
    """'z   acceleration  m/s2  from the header  swings 4.9 m/s2 to each side'."""
    stated = "from the header" if column.sure else "a guess"
    unit = "m/s2" if column.quantity is MotionQuantity.ACCELERATION else "mm"
    swings = f"swings {units.from_si(column.swing, unit):.2g} {unit}"
    name = "all axes together" if column.parts else column.name[:18]
    return f"{name:<18}  {column.quantity:<12}  {column.unit:<5}  {stated:<15}  {swings}"


def drawn(found: DecayFit, verdict: str, width: int, rows: int, plain: bool) -> list[str]:
    """The picture of a fit and what it means, in lines."""
    from wizard.documents.charts.recorded_decay import recorded_decay

    chart = recorded_decay(found, min(64, width - 12), rows, plain)
    words = [line for text in (*chart.words, verdict) if text for line in wrapped(text, width)]
    return [*chart.lines, *words]


def likeliest(recording: Recording) -> int:
    """The column of all axes together, else that which swings most: accelerations before displacements."""
    columns = recording.columns
    accelerated = [column.quantity is MotionQuantity.ACCELERATION for column in columns]
    return max(range(len(columns)), key=lambda i: (bool(columns[i].parts), accelerated[i], columns[i].swing))


def means(view: JobView, step: Step, found: DecayFit) -> str:
    """What the number is by the step's limit: 'x fail: 0.083 +- 0.011; good is 0.305 or more.'"""
    limit = judging.limit_of(view, step)
    if limit is None or not isinstance(step, MeasureStep):
        return ""
    tool = view.flow.tools[step.reading.tool]
    both = conformity.combine([found.settles], tool.resolution, math.hypot(tool.uncertainty, found.settles_u))
    judged = judging.against("", both.mean, both.uncertainty, 1, limit)
    value = units.text(judged.mean, "1", judged.uncertainty).replace("±", "+-" if plain() else "±")
    return f"{verdict_word(judged.verdict, plain())}: {value}; good is {good_range(limit)}."


def plainly(problem: str) -> str:
    """What is wrong with a decay, without the name of an argument."""
    sentence = problem.partition(": ")[2] or problem
    subject = {
        "shows": "It shows",
        "is": "It is",
        "doesn't": "It doesn't",
        "never": "It never",
        "needs": "It needs",
    }
    first, _, rest = sentence.partition(" ")
    text = f"{subject[first]} {rest}" if first in subject else sentence[:1].upper() + sentence[1:]
    return text if text.endswith(".") else f"{text}."
