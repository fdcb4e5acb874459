"""A recording of any kind that is read: by what is in it, not by its name."""

from __future__ import annotations

from pathlib import Path

from wizard.foreign import sound_file, video_sound
from wizard.recordings.reading.motion_reader import read_motion
from wizard.recordings.reading.recorded_signal import Going, RecordedSignal
from wizard.recordings.reading.sound_reader import read_sound


def read_signal(path: Path, going: Going | None = None) -> RecordedSignal:
    """Return the motion or the sound in a file. ValueError, one line that begins with the file's name; OSError."""
    heard = video_sound.is_video(path) or sound_file.is_sound(path)
    return read_sound(path, going) if heard else read_motion(path, going)
