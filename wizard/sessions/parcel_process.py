"""A parcel read in a process of its own, with limits on its memory and its time.

Where the platform limits a process (Linux, most of macOS) both are; Windows limits the time alone. Run as
``python -m wizard.sessions.parcel_process SOURCE STAGE [DIGEST]...`` it reads the parcel and writes a report in JSON.
A flow of one of these digests passed its check here before, and is not checked again.
"""

from __future__ import annotations

import json
import subprocess
import sys
import traceback
from collections.abc import Iterable, Mapping
from dataclasses import asdict
from pathlib import Path
from typing import Any

from wizard.errors import FlowError, JournalError, JournalLost, SteadfootError, UsageError
from wizard.foreign.harmless import harmless
from wizard.foreign.json_reader import read_json
from wizard.foreign.limits import IMPORT_MEMORY, IMPORT_SECONDS, MB, Source
from wizard.foreign.process_limits import limit_process, process_environment
from wizard.sessions.parcel_reader import ParcelReport

_ERRORS = {kind.__name__: kind for kind in (UsageError, JournalError, JournalLost)}


def read_apart(
    source: Path, stage: Path, seconds: float = IMPORT_SECONDS, sound: Iterable[str] = ()
) -> ParcelReport:
    """Prove a parcel and unpack it to ``stage`` in another process; what that says. ``sound``: digests of flows that
    passed their check before.

    The errors of ``parcel_reader.read_parcel``, and JournalError if it takes too much time or memory, or ends by a
    defect (whose traceback is a note of the error).
    """
    command = [sys.executable, "-P", "-m", __spec__.name, str(source.absolute()), str(stage), *sound]
    try:
        done = subprocess.run(
            command,
            capture_output=True,
            stdin=subprocess.DEVNULL,
            timeout=seconds,
            env=process_environment(),
            check=False,
        )
    except subprocess.TimeoutExpired:
        raise _refused(source, f"it takes longer than {seconds:.0f} s to read") from None
    except OSError as error:
        raise _refused(source, f"no process to read it could be started ({error.strerror})") from error
    try:
        report = read_json(done.stdout, Source.REPORT)
        return _taken(report, source)
    except (ValueError, KeyError, TypeError):
        # It was ended by the system: by its limits, mostly.
        most = f"{IMPORT_MEMORY // MB} MB or {seconds / 2:.0f} s"
        problem = _refused(source, f"reading it takes more than is given to it ({most})")
        problem.add_note(done.stderr.decode("utf-8", "replace"))
        raise problem from None


def _refused(source: Path, why: str) -> JournalError:
    return JournalError(f"{harmless(str(source))}: {why}, so it is not taken in. Nothing was changed.")


def _taken(report: Any, source: Path) -> ParcelReport:
    """The report of the process, or the error that it tells of."""
    error, says = report["error"], str(report["says"])
    if error == "":
        return ParcelReport(str(report["session"]), str(report["flow"]), tuple(map(str, report["found"])))
    if error == FlowError.__name__:
        problems = tuple(map(str, report["problems"]))
        raise FlowError(says.removesuffix("\n".join(("", *problems))), problems)
    if error in _ERRORS:
        raise _ERRORS[error](says)
    problem = _refused(source, "what it holds can't be gone through")
    problem.add_note(says)
    raise problem


def _report(source: Path, stage: Path, sound: frozenset[str]) -> Mapping[str, Any]:
    """What reading the parcel comes to, an error too."""
    from wizard.sessions.parcel_reader import read_parcel

    try:
        return {"error": "", "says": "", **asdict(read_parcel(source, stage, sound.__contains__))}
    except FlowError as problem:
        return {"error": FlowError.__name__, "says": str(problem), "problems": list(problem.problems[:200])}
    except SteadfootError as problem:
        return {"error": type(problem).__name__, "says": str(problem)}
    except (MemoryError, ImportError):  # A library that there is no memory for can't be loaded.
        raise
    except Exception:
        return {"error": "defect", "says": traceback.format_exc()}


def main() -> int:
    """Read the parcel that the command line names, and report."""
    limit_process(IMPORT_MEMORY, IMPORT_SECONDS / 2)
    report = _report(Path(sys.argv[1]), Path(sys.argv[2]), frozenset(sys.argv[3:]))
    sys.stdout.buffer.write(json.dumps(report).encode("utf-8"))
    return 0


if __name__ == "__main__":
    sys.exit(main())
