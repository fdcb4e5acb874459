"""The process of one reader under atheris: contents that reach new code are kept and changed further.

Run by ``guided_fuzz.py``: ``python -m tests.faults.guided.guided_child READER FOLDER [options of libFuzzer]``. What is
wrong is written to FOLDER as it is found, since a process that is ended by its limits says nothing any more.
"""

from __future__ import annotations

import hashlib
import importlib
import json
import os
import resource
import sys
import time
import traceback
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from tempfile import mkdtemp

import atheris

from tests.faults.guided.fuzz_limits import ADDRESS_SPACE, HANG, MARGIN

Reader = Callable[[Path, bytes], object]


def planted(_folder: Path, data: bytes) -> None:
    """No reader of the program: a fault that chance alone finds once in four thousand million contents."""
    if data[:1] == b"\x17" and data[1:2] == b"\xc4" and data[2:3] == b"\x99" and data[3:4] == b"\x02":
        raise RuntimeError("the planted fault")


def reader_of(name: str) -> Reader:
    """The reader of this name. Its modules are imported here, where they are instrumented."""
    if name == planted.__name__:
        return atheris.instrument_func(planted)  # type: ignore[no-any-return]
    module = importlib.import_module("tests.foreign.test_every_reader")
    return next(r for r in module.READERS if r.__name__ == name)  # type: ignore[no-any-return]


class Watched:
    """Calls a reader, and keeps what is wrong by where it was raised, and how long the longest took."""

    def __init__(self, reader: Reader, folder: Path) -> None:
        self._reader, self._folder = reader, folder
        self._work = Path(mkdtemp(prefix="guided-"))
        self._found: dict[str, str] = {}
        self._longest, self._count = 0.0, 0
        self._before = memory()

    def __call__(self, data: bytes) -> None:
        """One content."""
        began = time.process_time()
        try:
            self._reader(self._work, data)
        except Exception as error:
            self._keep(where(error), traceback.format_exc(), data)
        took = time.process_time() - began
        self._count += 1
        if took > HANG:
            self._keep("slow", f"{took:.1f} s of the processor", data)
        if took > self._longest or self._count % 500 == 0:
            self._longest = max(took, self._longest)
            self.tell()

    def _keep(self, place: str, why: str, data: bytes) -> None:
        if place in self._found:
            return
        name = hashlib.sha256(data).hexdigest()[:16]
        self._found[place] = f"{name}: {why[-1200:]}"
        (self._folder / f"found-{name}").write_bytes(data)
        self.tell()

    def tell(self) -> None:
        """Write down how it stands."""
        table = {
            "count": self._count, "longest": self._longest, "grown": memory() - self._before,
            "found": list(self._found.values()),
        }  # fmt: skip
        made = self._folder / "told.new"
        made.write_text(json.dumps(table), encoding="utf-8")
        made.replace(self._folder / "told.json")


def where(error: BaseException) -> str:
    """Kind and innermost line of the project, so that one defect is kept once."""
    frames = [f for f in traceback.extract_tb(error.__traceback__) if "site-packages" not in f.filename]
    last = frames[-1] if frames else None
    return f"{type(error).__name__} {last.filename}:{last.lineno}" if last else type(error).__name__


def memory() -> float:
    """The most that this process has taken, MB."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def begin_with(reader: Reader, start: Path) -> None:
    """Read each first content once, so that what is imported late is instrumented as well. What goes wrong is met
    again, and kept, when it is tried.
    """
    work = Path(mkdtemp(prefix="begin-"))
    for path in sorted(start.iterdir()):
        with suppress(Exception):
            reader(work, path.read_bytes())


def main() -> None:
    """Limit this process, and try contents until libFuzzer's options end it."""
    name, folder, *options = sys.argv[1:]
    seconds = next((int(o.partition("=")[2]) for o in options if o.startswith("-max_total_time=")), 0)
    resource.setrlimit(resource.RLIMIT_AS, (ADDRESS_SPACE, ADDRESS_SPACE))
    resource.setrlimit(resource.RLIMIT_CPU, (seconds + MARGIN, seconds + MARGIN))
    os.fsync = lambda _descriptor: None  # What is written here is thrown away.
    with atheris.instrument_imports(include=["wizard"]):
        reader = reader_of(name)
        begin_with(reader, Path(options[-1]))
    watched = Watched(reader, Path(folder))
    watched.tell()
    atheris.Setup([sys.argv[0], *options], watched)
    atheris.Fuzz()


if __name__ == "__main__":
    main()
