"""``steadfoot recording``: what a recording of a whole spin says."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Callable

import click

from wizard.cli.output import as_json, examples, write_json, write_lines, write_table
from wizard.errors import UsageError
from wizard.foreign.file_reader import typed_path
from wizard.foreign.harmless import harmless
from wizard.measure.mechanics.bearing_geometry import FORMS

_NARROWEST, _WIDEST = 40, 160


@click.group(
    epilog=examples(
        "steadfoot recording show spin.csv",
        "steadfoot recording show spin.wav --bearing 6205",
    )
)
def recording() -> None:
    """Recordings of a whole spin: a phone's motion or sound."""


@recording.command(
    epilog=examples(
        "steadfoot recording show spin.csv --plate-rpm 1200",
        "steadfoot recording show spin.wav --bearing 6205",
        "steadfoot recording show spin.csv --json",
    )
)
@click.argument("file", metavar="FILE")
@click.option(
    "--plate-rpm",
    type=float,
    metavar="N",
    help="The top spin speed on the machine's plate, rpm: what was found is held against it.",
)
@click.option(
    "--bearing",
    metavar="NUMBER",
    help=f"The drum's bearing, if it was read: its tones are looked for. {FORMS[0].upper()}{FORMS[1:]}.",
)
@click.option("--plain", is_flag=True, help="Keep to ASCII. So does a terminal that knows nothing else.")
@as_json
def show(file: str, plate_rpm: float | None, bearing: str | None, plain: bool, as_json: bool) -> None:
    """Say what a recording of a whole spin shows: speed over time, peaks, bangs, knocks, roar, and how each is known.

    FILE is a phone's motion (CSV, TSV) or sound (WAV, FLAC, OGG, MP3; that of a video with the extra video), 10 s to
    20 min long. The phone lies still on the machine, or is taped to it, from rest to rest. Nothing is written, and no
    fault is named: that is the job's.
    """
    from wizard.cli.recordings import spin_text
    from wizard.documents.charts.spin_chart import spin_chart
    from wizard.engine.messages.spin_record import spin_record
    from wizard.recordings.spin_report import spin_report

    going = _progress()
    try:
        report = spin_report(typed_path(file), plate_rpm, bearing, going)
    except ValueError as problem:
        raise UsageError(_option(str(problem))) from None
    except OSError as problem:
        why = problem.strerror or str(problem)
        raise UsageError(f"{harmless(file)}: can't be read ({why}). Look at its name.") from None
    finally:
        if going:
            click.echo("\r" + " " * 20 + "\r", nl=False, err=True)
    if as_json:
        write_json(spin_text.table_of(report))
        return
    write_lines(spin_text.lines_of(report))
    write_lines([""])
    write_table(spin_text.rows_of(report), spin_text.HEADS)
    write_lines(["", *spin_chart(spin_record(report), _width(), 8, plain or not _draws())], whole=True)


def _progress() -> Callable[[float], None] | None:
    """Return what shows how far the reading is, where somebody looks; Ctrl-C stops it."""
    if not sys.stderr.isatty():
        return None
    return lambda share: click.echo(f"\rReading ... {share:4.0%}", nl=False, err=True)


def _option(problem: str) -> str:
    """Return what is wrong with an option by its name on the command line."""
    for argument, option in (("plate_rpm: ", "--plate-rpm "), ("designation: ", "--bearing: ")):
        if problem.startswith(argument):
            return f"{option}{problem.removeprefix(argument)}."
    return problem


def _width() -> int:
    """Return the columns of the terminal; 80 where the lines go into a file or a pipe."""
    return max(_NARROWEST, min(_WIDEST, shutil.get_terminal_size((80, 24)).columns))


def _draws() -> bool:
    """Return whether standard output can take dots of braille and lines."""
    try:
        "⣿│".encode(sys.stdout.encoding or "ascii")
    except (LookupError, UnicodeEncodeError):
        return False
    return True
