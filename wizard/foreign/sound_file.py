"""Sound from elsewhere: the only place that opens it. WAV, FLAC, OGG and MP3, a block at a time, by libsndfile.

What a file says of its own length is not believed: blocks are read until none comes, and counted.
"""

from __future__ import annotations

import hashlib
import stat
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from wizard.foreign.file_reader import size_words
from wizard.foreign.harmless import harmless
from wizard.foreign.limits import SOURCE_LIMITS, Source, TooLarge, Unreadable

_MARKS = (b"RIFF", b"RIFX", b"RF64", b"fLaC", b"OggS", b"ID3", b"FORM")
_BLOCK = 1 << 16
_CHUNK = 1 << 20
_HEAD = 1 << 16
LEAST_RATE, MOST_RATE = 4_000, 200_000
"""Samples a second that a sound may have, from a telephone's to a studio's."""

MOST_CHANNELS = 16


@dataclass(frozen=True, slots=True)
class SoundHead:
    """What a sound file says of itself: ``rate`` samples a second, ``channels``, its ``form`` ('WAV', 'FLAC' ...), and
    the ``frames`` that are to come, which may be wrong. ``cut``: it ends before its own head says.
    """

    rate: int
    channels: int
    form: str
    frames: int
    cut: bool


def is_sound(path: Path) -> bool:
    """Whether a file begins as a sound does, whatever its name. OSError if it can't be read."""
    if not stat.S_ISREG(path.stat().st_mode):
        return False
    with path.open("rb") as file:
        begins = file.read(12)
    return begins.startswith(_MARKS) or _frame_of_mp3(begins)


def _frame_of_mp3(begins: bytes) -> bool:
    """Return whether a frame of MPEG layer III begins: eleven bits set, then its layer (a mark of UTF-16 has
    another).
    """
    return len(begins) > 1 and begins[0] == 0xFF and begins[1] & 0xE0 == 0xE0 and begins[1] & 0x06 == 0x02


def digest(path: Path) -> str:
    """The SHA-256 of a sound file of no more bytes than it may have. OSError; Unreadable; TooLarge."""
    most = SOURCE_LIMITS[Source.SOUND].size
    if not stat.S_ISREG(path.stat().st_mode):
        raise Unreadable("it is no plain file")
    seen, size = hashlib.sha256(), 0
    with path.open("rb") as file:
        while chunk := file.read(_CHUNK):
            size += len(chunk)
            if size > most:
                raise TooLarge(f"it has over {size_words(most)}: too large for a {Source.SOUND}")
            seen.update(chunk)
    return seen.hexdigest()


class SoundFile:
    """A sound file that is open: a context. OSError if it can't be read; Unreadable, in words, for what is no sound."""

    def __init__(self, path: Path) -> None:
        library = _library()
        self._wrong: type[Exception] = library.LibsndfileError
        with path.open("rb") as file:
            begins = file.read(_HEAD)
        try:
            self._file: Any = library.SoundFile(str(path))
        except (self._wrong, RuntimeError, TypeError) as error:
            raise Unreadable(f"its sound can't be read ({_reason(error)})") from None
        cut = _ends_early(begins, path.stat().st_size)
        self.head = SoundHead(
            int(self._file.samplerate), int(self._file.channels), harmless(str(self._file.format)),
            int(self._file.frames), cut,
        )  # fmt: skip

    def __enter__(self) -> SoundFile:
        if not LEAST_RATE <= self.head.rate <= MOST_RATE:
            self._file.close()
            raise Unreadable(f"{self.head.rate} samples a second, which no sound of a machine has")
        if self.head.channels > MOST_CHANNELS:
            self._file.close()
            raise Unreadable(f"it has {self.head.channels} channels; {MOST_CHANNELS} are read")
        return self

    def __exit__(self, *_error: object) -> None:
        self._file.close()

    def blocks(self) -> Iterator[NDArray[np.float32]]:
        """Yield the sound, shape (frames, channels), 1 being full scale, as many frames as are there. Unreadable where
        it breaks off in the midst, or has more frames than are taken.
        """
        most, count = SOURCE_LIMITS[Source.SOUND].values, 0
        while True:
            try:
                block = self._file.read(_BLOCK, dtype="float32", always_2d=True)
            except (self._wrong, RuntimeError) as error:
                raise Unreadable(f"its sound breaks off ({_reason(error)})") from None
            if not len(block):
                return
            count += len(block)
            if count > most:
                raise TooLarge(f"it has over {most} samples: too long for a {Source.SOUND}")
            yield block


def _library() -> Any:
    """Return soundfile. Unreadable where the system has none, so that motion is still read."""
    try:
        import soundfile  # late: it loads a library of the system
    except (ImportError, OSError):
        raise Unreadable("this computer can't read sound: the package soundfile doesn't load") from None
    return soundfile


def _reason(error: Exception) -> str:
    """Return what the library said, without the path."""
    return harmless(str(error).rpartition(": ")[2].rstrip("."))[:80]


def _ends_early(begins: bytes, size: int) -> bool:
    """Return whether a WAV's data would go on beyond the end of its file."""
    at = begins.find(b"data")
    if not begins.startswith((b"RIFF", b"RIFX")) or at < 0 or at + 8 > len(begins):
        return False
    stated = int.from_bytes(begins[at + 4 : at + 8], "little" if begins.startswith(b"RIFF") else "big")
    return at + 8 + stated > size
