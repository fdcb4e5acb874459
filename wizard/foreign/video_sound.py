"""The sound of a video from elsewhere, by the extra ``video``: the only place that opens one. No picture is decoded.

The file is handed over open and its form named by its first bytes, so that nothing in it can have another file opened.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any, BinaryIO

import numpy as np
from numpy.typing import NDArray

from wizard.foreign.harmless import harmless
from wizard.foreign.limits import SOURCE_LIMITS, Source, TooLarge, Unreadable
from wizard.foreign.sound_file import LEAST_RATE, MOST_CHANNELS, MOST_RATE, SoundHead

SUFFIXES = frozenset({".mp4", ".mov", ".m4v", ".3gp", ".mkv", ".webm", ".avi", ".m4a"})
"""What may be a video, or a sound in the form of one."""

_EBML = b"\x1aE\xdf\xa3"
_MOST_WRONG = 20  # pieces in a row that can't be decoded


def form_of(begins: bytes) -> str:
    """The form of a video by its first twelve bytes, as its library calls it; empty for what is none."""
    if begins[4:8] == b"ftyp":
        return "mov"
    if begins.startswith(_EBML):
        return "matroska"
    return "avi" if begins[:4] == b"RIFF" and begins[8:12] == b"AVI " else ""


def is_video(path: Path) -> bool:
    """Whether a file begins as a video does, whatever its name. OSError if it can't be read."""
    if not path.is_file():
        return False
    with path.open("rb") as file:
        return bool(form_of(file.read(12)))


class VideoSound:
    """The sound of a video that is open: a context. OSError if it can't be read; Unreadable, in words, for one without
    a sound, or where the extra isn't installed.
    """

    def __init__(self, path: Path) -> None:
        library = _library()
        self._evener: Any = None
        self._wrong: tuple[type[Exception], ...] = (library.error.FFmpegError, ValueError, RuntimeError)
        self._source: BinaryIO = path.open("rb")
        try:
            form = form_of(self._source.read(12))
            self._source.seek(0)
            self._video: Any = library.open(self._source, mode="r", format=form or None)
        except self._wrong as error:
            self._source.close()
            raise Unreadable(f"its video can't be read ({_reason(error)})") from None
        try:
            self._stream: Any = next(iter(self._video.streams.audio), None)
            self.head = self._headed(form)
        except BaseException:
            self.__exit__()
            raise

    def _headed(self, form: str) -> SoundHead:
        """What the video says of its sound; how long it is isn't believed."""
        stream = self._stream
        if stream is None:
            raise Unreadable("there is no sound in this video. Record it again with the sound on")
        if stream.codec_context is None:
            raise Unreadable("its sound is in a form that nothing here decodes")
        rate, channels = int(stream.codec_context.sample_rate or 0), int(stream.codec_context.channels or 0)
        if not LEAST_RATE <= rate <= MOST_RATE:
            raise Unreadable(f"{rate} samples a second, which no sound of a machine has")
        if not 1 <= channels <= MOST_CHANNELS:
            raise Unreadable(f"its sound has {channels} channels; 1 to {MOST_CHANNELS} are read")
        seconds = float(self._video.duration or 0) / 1e6
        return SoundHead(rate, channels, f"{form} video", max(0, int(seconds * rate)), False)

    def __enter__(self) -> VideoSound:
        return self

    def __exit__(self, *_error: object) -> None:
        self._video.close()
        self._source.close()

    def blocks(self) -> Iterator[NDArray[np.float32]]:
        """Yield the sound, shape (frames, channels), 1 being full scale, as much as is there. Unreadable where nothing
        of it can be decoded; TooLarge.
        """
        most, count = SOURCE_LIMITS[Source.SOUND].values, 0
        for frame in self._frames():
            for block in self._evened(frame):
                count += len(block)
                if count > most:
                    raise TooLarge(f"it has over {most} samples: too long for a {Source.SOUND}")
                yield block

    def _frames(self) -> Iterator[Any]:
        """Yield the decoded pieces; a few that are broken are passed over, many in a row end it."""
        wrong, why = 0, ""
        packets = self._video.demux(self._stream)
        while wrong < _MOST_WRONG:
            try:
                packet = next(packets, None)
                if packet is None:
                    return
                yield from packet.decode()
                wrong = 0
            except self._wrong as error:
                wrong, why = wrong + 1, _reason(error)
        raise Unreadable(f"its sound breaks off ({why})")

    def _evened(self, frame: Any) -> Iterator[NDArray[np.float32]]:
        """Yield a piece as numbers of one form."""
        import av  # late: it loads a library of the system

        if self._evener is None:
            self._evener = av.AudioResampler(format="fltp", layout=frame.layout.name, rate=self.head.rate)
        for even in self._evener.resample(frame):
            yield np.asarray(even.to_ndarray(), dtype=np.float32).T


def _library() -> Any:
    """Return av. Unreadable where it isn't there, so that all else is still read."""
    try:
        import av  # late: it loads a library of the system
    except (ImportError, OSError):
        raise Unreadable(
            "this computer can't read a video: the extra video isn't installed. Export its sound as WAV"
        ) from None
    return av


def _reason(error: Exception) -> str:
    """Return what the library said, without the path."""
    return harmless(str(getattr(error, "strerror", None) or error).rpartition("] ")[2])[:80].rstrip(".")
