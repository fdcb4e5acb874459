"""A sound read in a process of its own: an MP3, or what may be one.

The library behind MP3 writes what it thinks of a file to standard error by itself, past all that makes text harmless,
and the full screen is drawn there. It does so into the nothing here, and within limits of memory and time. Run as
``python -m wizard.foreign.sound_apart PATH`` this reads the sound and writes its head in JSON, then a block at a time;
a block without bytes is the last, and what went wrong follows it. Linux limits memory and time on the processor, macOS
the time; on every system whoever started it ends it by the clock.
"""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from threading import Timer
from typing import IO, Any

import numpy as np
from numpy.typing import NDArray

from wizard.foreign.harmless import harmless
from wizard.foreign.json_reader import read_json
from wizard.foreign.limits import MB, SOURCE_LIMITS, Source, TooLarge, Unreadable
from wizard.foreign.process_limits import limit_process, process_environment
from wizard.foreign.sound_file import SoundFile, SoundHead, fair, within

SECONDS = 120.0
"""How long the process may take by the clock; half of it on the processor where that is told."""

MEMORY = 1_000 * MB
"""The most bytes of address space that it may have, where the platform limits that."""

_MARKS = (b"RIFF", b"RIFX", b"RF64", b"fLaC", b"OggS", b"FORM")
"""How the sounds begin that are read by readers which keep to themselves."""

_SIZE, _MOST_HEAD, _MOST_BLOCK = 4, 10_000, 16 * MB


def opened_sound(path: Path) -> SoundFile | SoundApart:
    """A sound opened, here or apart. OSError if it can't be read; Unreadable, in words, for what is no sound."""
    fair(path)
    with path.open("rb") as file:
        begins = file.read(4)
    return SoundFile(path) if begins.startswith(_MARKS) else SoundApart(path)


class SoundApart:
    """A sound file that another process reads: a context, as ``SoundFile``."""

    def __init__(self, path: Path, seconds: float = SECONDS) -> None:
        command = [sys.executable, "-P", "-m", __spec__.name, str(path.absolute())]
        self._process = subprocess.Popen(
            command,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            env=process_environment(),
        )
        assert self._process.stdout is not None
        self._output: IO[bytes] = self._process.stdout
        self._timer = Timer(seconds, self._process.kill)
        self._timer.daemon = True
        self._timer.start()
        try:
            self.head = _head(self._told("its sound can't be read"))
        except BaseException:
            self.__exit__()
            raise

    def __enter__(self) -> SoundApart:
        try:
            within(self.head)
        except Unreadable:
            self.__exit__()
            raise
        return self

    def __exit__(self, *_error: object) -> None:
        self._timer.cancel()
        self._process.kill()
        self._output.close()
        self._process.wait()

    def blocks(self) -> Iterator[NDArray[np.float32]]:
        """Yield the sound, as ``SoundFile.blocks``."""
        most, count = SOURCE_LIMITS[Source.SOUND].values, 0
        while size := self._size(_MOST_BLOCK):
            block = np.frombuffer(self._whole(size), dtype="<f4").reshape(-1, self.head.channels)
            count += len(block)
            if count > most:
                raise TooLarge(f"it has over {most} samples: too long for a {Source.SOUND}")
            yield block.astype(np.float32)
        self._told("its sound breaks off")

    def _told(self, what: str) -> dict[str, Any]:
        """What the process says; Unreadable where it says what is wrong."""
        told: dict[str, Any] = read_json(self._whole(self._size(_MOST_HEAD), what), Source.REPORT)
        if told["wrong"]:
            raise Unreadable(harmless(str(told["wrong"]))[:200])
        return told

    def _size(self, most: int) -> int:
        size = int.from_bytes(self._whole(_SIZE), "little")
        if size > most:
            raise Unreadable("its sound can't be read (the process that reads it is none of ours)")
        return size

    def _whole(self, size: int, what: str = "its sound can't be read") -> bytes:
        data = self._output.read(size)
        if len(data) < size:
            raise Unreadable(
                f"{what}: reading it was ended, as it took more time or memory than is given to it"
            )
        return data


def _head(told: dict[str, Any]) -> SoundHead:
    return SoundHead(
        int(told["rate"]), int(told["channels"]), str(told["form"]), int(told["frames"]), bool(told["cut"])
    )


def _say(output: IO[bytes], **told: Any) -> None:
    data = json.dumps(told).encode("utf-8")
    output.write(len(data).to_bytes(_SIZE, "little") + data)


def main() -> int:
    """Read the sound that the command line names, and write it."""
    limit_process(MEMORY, SECONDS / 2)
    output, head = sys.stdout.buffer, False
    try:
        with SoundFile(Path(sys.argv[1])) as file:
            one = file.head
            _say(
                output,
                wrong="",
                rate=one.rate,
                channels=one.channels,
                form=one.form,
                frames=one.frames,
                cut=one.cut,
            )
            head = True
            for block in file.blocks():
                data = block.astype("<f4").tobytes()
                output.write(len(data).to_bytes(_SIZE, "little") + data)
        wrong = ""
    except (ValueError, OSError) as error:
        wrong = str(error)
    if head:
        output.write(bytes(_SIZE))
    _say(output, wrong=wrong)
    return 0


if __name__ == "__main__":
    sys.exit(main())
