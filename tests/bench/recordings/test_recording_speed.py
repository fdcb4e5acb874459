"""Speed of reading a recording as a ratio in one run: ten minutes of sound to its figures and pictures, against
scipy.signal's own transform of the same samples.
"""

import time
from pathlib import Path

import numpy as np
import soundfile
from scipy.signal import ShortTimeFFT

from tests.bench.budget import within
from tests.helpers.spin_recordings import Spin, sound
from wizard.documents.charts.spin_chart import spin_chart
from wizard.engine.messages.spin_record import spin_record
from wizard.recordings.spin_report import spin_report

RATE, MINUTES = 48_000, 10
WINDOW = 4096


def test_ten_minutes_of_sound_against_a_bare_transform(tmp_path: Path) -> None:
    """From the file to figures, course and pictures in at most eight times the processor's time of reading the samples
    and one transform of them (Hann, 4096, half overlapped, as power).
    """
    spin = Spin(top=1000.0, rate=6.0, rest=30.0, tumble=120.0, hold=230.0, slow=20.0)
    path = tmp_path / "spin.wav"
    made = sound(spin, 1, RATE)
    made = np.pad(made, (0, max(0, RATE * 60 * MINUTES - len(made))))[: RATE * 60 * MINUTES]
    soundfile.write(path, made + 1e-4 * np.random.default_rng(1).standard_normal(len(made)), RATE)
    start = time.process_time()
    samples, _rate = soundfile.read(path)
    transform = ShortTimeFFT(np.hanning(WINDOW), WINDOW // 2, RATE)
    power = np.abs(transform.stft(samples)) ** 2
    floor = time.process_time() - start
    assert power.shape[1] > RATE * 60 * MINUTES // WINDOW
    start = time.process_time()
    lines = spin_chart(spin_record(spin_report(path)), 80, 8, True)
    whole = time.process_time() - start
    assert lines
    print(
        f"ten minutes of sound: {whole:.1f} s of the processor, a bare transform {floor:.2f} s: {whole / floor:.1f}x"
    )
    within(
        "ten minutes of sound, file to pictures",
        whole / floor,
        8,
        "reading them and scipy.signal's transform",
    )
