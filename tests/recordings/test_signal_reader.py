"""What a recording's file holds is read, or refused in one line; what its sampling can't tell is said."""

import io
import tracemalloc
import wave
from pathlib import Path

import numpy as np
import pytest
import scipy
import soundfile
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.helpers.flows.examples import examples
from wizard.domain.recording_vocabulary import SignalKind
from wizard.foreign import limits
from wizard.foreign.limits import Source, Unreadable
from wizard.foreign.sound_apart import SoundApart
from wizard.recordings.reading import gain_change
from wizard.recordings.reading.recorded_signal import SoundFrames
from wizard.recordings.reading.signal_reader import read_signal

RATE = 50.0


def motion(seconds=15.0, rate=RATE, head="t (s),x (m/s2),y (m/s2),z (m/s2)", seed=1, times=None):
    """A phone that lies on something that hums a little."""
    rng = np.random.default_rng(seed)
    times = np.arange(0, seconds, 1 / rate) if times is None else times
    rows = [
        f"{t:.5f},{0.1 * rng.standard_normal():.4f},{np.sin(9 * t):.4f},{9.81 + 0.02 * np.cos(7 * t):.4f}"
        for t in times
    ]
    return "\n".join(([head] if head else []) + rows) + "\n"


def tone(seconds=12.0, rate=8000, seed=1):
    """A tone in noise."""
    time = np.arange(0, seconds, 1 / rate)
    return 0.1 * np.sin(2 * np.pi * 300 * time) + 0.01 * np.random.default_rng(seed).standard_normal(
        len(time)
    )


def put(folder, data, name="r.csv"):
    """Write a text or bytes, and read it as a recording."""
    path = folder / name
    path.write_bytes(data if isinstance(data, bytes) else data.encode("utf-8"))
    return read_signal(path)


@pytest.mark.parametrize(
    ("name", "form"), [("a.wav", "WAV"), ("a.flac", "FLAC"), ("a.ogg", "OGG"), ("a.mp3", "MP3")]
)
def test_sound_is_read_by_what_is_in_it(tmp_path, name, form):
    """Four forms, and whatever the file is called: the tone of 300 Hz comes back."""
    soundfile.write(tmp_path / name, tone(), 8000, format=form)
    called = (tmp_path / name).rename(tmp_path / "spin.csv")
    got = read_signal(called)
    assert (
        got.kind is SignalKind.SOUND and got.file_rate == 8000 and got.seconds == pytest.approx(12, abs=0.2)
    )
    spectrum = np.abs(np.fft.rfft(got.values[:, 0]))
    assert np.fft.rfftfreq(len(got.values), 1 / got.rate)[int(np.argmax(spectrum))] == pytest.approx(
        300, abs=1
    )
    assert not got.calibrated and "gives no m/s2" in got.doubts[-1]


def test_blocks_give_what_the_whole_gives(tmp_path):
    """Source: scipy.signal on the whole sound at once. Filters go on over the edges of blocks."""
    from scipy.signal import butter, sosfilt

    soundfile.write(tmp_path / "a.wav", tone(30.0, 16000), 16000, subtype="FLOAT")
    whole = sosfilt(butter(6, 400, "lowpass", fs=16000, output="sos"), tone(30.0, 16000).astype(np.float32))[
        ::16
    ]
    got = read_signal(tmp_path / "a.wav")
    assert got.values[:, 0] == pytest.approx(whole - whole.mean(), abs=1e-6)


def test_a_motion_is_read_about_its_level(tmp_path):
    """Three axes, gravity taken off; the unit is known by it, or by the header."""
    got = put(tmp_path, motion())
    assert got.kind is SignalKind.MOTION and got.rate == pytest.approx(RATE) and got.calibrated
    assert got.values.shape == (750, 3) and np.median(got.values, axis=0) == pytest.approx(
        [0, 0, 0], abs=1e-9
    )
    assert "can't hear a bearing" in got.doubts[-1]
    assert put(tmp_path, motion(head="")).calibrated, "9.81 in all is gravity in m/s2"


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (lambda t: t + 0.1 / RATE * np.random.default_rng(2).standard_normal(len(t)), "uneven by"),
        (lambda t: np.where(t > 7, t + 1.5, t), "1 gap of 1.5 s at 7.0 s"),
        (lambda t: np.where(t > 7.5, 7.5 + (t - 7.5) * 2, t), "two rates: 50 readings a second at first, 25"),
    ],
    ids=["jitter", "gap", "two rates"],
)
def test_what_the_sampling_can_not_tell_is_said(tmp_path, change, says):
    """Of a phone's steps less than 3 % (sd) is asked for (Android compatibility definition)."""
    times = np.sort(change(np.arange(0, 15, 1 / RATE)))
    assert says in " ".join(put(tmp_path, motion(times=times)).doubts)


def test_a_sensor_at_its_end_is_said(tmp_path):
    """Peaks that are cut off."""
    time = np.arange(0, 15, 1 / RATE)
    rows = "\n".join(f"{t:.3f},{np.clip(30 * np.sin(5 * t), -19.6, 19.6):.3f}" for t in time)
    assert "end of its range" in " ".join(put(tmp_path, f"t (s),x (m/s2)\n{rows}\n").doubts)


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "it is empty"),
        ("nothing here\nbut words\n", "no line of it has a time"),
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", "this is no text"),
        (motion().replace("\n6.00000,", "\n6.00000,nan,"), "line 302"),
        ("t (s),x (g)\n" + "".join(f"{9 - n / 50:.2f},1.{n}\n" for n in range(400)), "the time goes back"),
        ("t (s),x (g)\n0.1," + "9" * 5000 + "\n", "more than 4000 characters"),
        (motion(5.0), "it lasts 5 s, 10 s or more are needed"),
        (motion(20.0, rate=10.0), "10 readings a second, 20 or more are needed"),
        (motion(head="t (s),x (mm),y (mm),z (mm)"), "it has displacements"),
        (b"RIFF\x10\0\0\0WAVEfmt nonsense", "its sound can't be read"),
        (b"fLaC" + bytes(range(256)) * 20, "its sound can't be read"),
        (b"OggS" + b"\0" * 400, "its sound can't be read"),
    ],
    ids=[
        "empty",
        "words",
        "picture",
        "nan",
        "backwards",
        "endless cell",
        "short",
        "slow",
        "lengths",
        "wav",
        "flac",
        "ogg",
    ],
)
def test_a_hostile_file_gets_one_line(tmp_path, data, says):
    """It begins with the file's name, and says what is wrong."""
    with pytest.raises(ValueError, match=r"^r\.csv: ") as caught:
        put(tmp_path, data)
    assert says in str(caught.value) and "\n" not in str(caught.value)


def wav(samples, rate=8000):
    """The bytes of a WAV of 16 bits."""
    buffer = io.BytesIO()
    with wave.open(buffer, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(rate)
        file.writeframes((np.asarray(samples) * 32767).astype("<i2").tobytes())
    return buffer.getvalue()


def test_a_wav_that_lies_about_its_length_is_read_as_far_as_it_goes(tmp_path):
    """The head says 12 s; 11 are there. And one that says less than it has gives that."""
    whole = wav(tone())
    got = put(tmp_path, whole[: 44 + 11 * 16000], "a.wav")
    assert got.seconds == pytest.approx(11, abs=0.01) and "ends before its head says" in got.doubts[0]
    less = whole[:40] + (10 * 16000 + 2000).to_bytes(4, "little") + whole[44:]
    assert put(tmp_path, less, "b.wav").seconds < 12
    huge = whole[:40] + (0xFFFFFFF0).to_bytes(4, "little") + whole[44:]
    assert put(tmp_path, huge, "c.wav").seconds == pytest.approx(12, abs=0.01)


@pytest.mark.parametrize(
    ("samples", "says"),
    [
        (np.full(100_000, np.nan), "are no numbers"),
        (np.zeros(100_000), "silent from end to end"),
        (np.full(100_000, 1e9) * np.tile([1, -1], 50_000), "times full scale"),
        (tone(2.0), "it lasts 2 s"),
    ],
    ids=["nan", "silent", "huge", "short"],
)
def test_samples_that_no_microphone_gives_are_refused(tmp_path, samples, says):
    """In a file of floats anything may stand."""
    soundfile.write(tmp_path / "a.wav", samples.astype("float32"), 8000, subtype="FLOAT")
    with pytest.raises(ValueError, match=r"^a\.wav: ") as caught:
        read_signal(tmp_path / "a.wav")
    assert says in str(caught.value)


def test_a_clipped_sound_is_said(tmp_path):
    """Its peaks are too small."""
    soundfile.write(tmp_path / "a.wav", np.clip(20 * tone(), -1, 1), 8000)
    assert "clipped" in read_signal(tmp_path / "a.wav").doubts[0]


def test_no_more_is_read_than_the_limits_allow(tmp_path, monkeypatch):
    """Bytes and samples are counted; nothing is believed."""
    soundfile.write(tmp_path / "a.wav", tone(), 8000)
    table = dict(limits.SOURCE_LIMITS)
    for few in (limits.Limits(1000, values=60_000_000), limits.Limits(400_000_000, values=50_000)):
        monkeypatch.setitem(table, Source.SOUND, few)
        monkeypatch.setattr("wizard.foreign.sound_file.SOURCE_LIMITS", table)
        with pytest.raises(ValueError, match=r"^a\.wav: it has over .*Cut out the spin\.$"):
            read_signal(tmp_path / "a.wav")


JUNK = b"\xff\xfb\x90\x64" + bytes(range(256)) * 200


def test_what_the_library_of_mp3_thinks_reaches_no_terminal(tmp_path, capfd):
    """It writes to descriptor 2 by itself, where the full screen is drawn."""
    with pytest.raises(ValueError, match=r"^r\.mp3: its sound ") as caught:
        put(tmp_path, JUNK, "r.mp3")
    said = capfd.readouterr()
    assert (said.out, said.err) == ("", "")
    assert "not exist" not in str(caught.value) and "pipe" not in str(caught.value)


def test_a_broken_mp3_is_read_as_far_as_it_goes_in_silence(tmp_path, capfd):
    """Junk in its midst."""
    soundfile.write(tmp_path / "a.mp3", tone(30.0), 8000, format="MP3")
    data = (tmp_path / "a.mp3").read_bytes()
    half = len(data) // 2
    try:
        assert put(tmp_path, data[:half] + JUNK[4:9000] + data[half:], "b.mp3").seconds > 10
    except ValueError as problem:
        assert str(problem).startswith("b.mp3: ")
    assert capfd.readouterr().err == ""


def test_a_sound_that_another_process_reads_is_ended_by_the_clock(tmp_path):
    soundfile.write(tmp_path / "a.mp3", tone(), 8000, format="MP3")
    with pytest.raises(Unreadable, match="more time or memory than is given to it"):
        SoundApart(tmp_path / "a.mp3", seconds=0.0)


def test_an_mp3_has_no_more_samples_read_than_the_limits_allow(tmp_path, monkeypatch):
    soundfile.write(tmp_path / "a.mp3", tone(), 8000, format="MP3")
    table = {**limits.SOURCE_LIMITS, Source.SOUND: limits.Limits(400_000_000, values=50_000)}
    monkeypatch.setattr("wizard.foreign.sound_apart.SOURCE_LIMITS", table)
    with pytest.raises(ValueError, match=r"^a\.mp3: it has over 50000 samples.*Cut out the spin\.$"):
        read_signal(tmp_path / "a.mp3")


def test_a_sound_that_says_itself_that_it_is_too_long_is_not_read(tmp_path, monkeypatch):
    """61 million samples in 61 MB: neither digested nor decoded."""
    with wave.open(str(tmp_path / "a.wav"), "wb") as file:
        file.setparams((1, 1, 48_000, 0, "NONE", ""))
        for _ in range(61):
            file.writeframes(bytes(1_000_000))

    def never(*_args):
        raise AssertionError("it is read")

    monkeypatch.setattr("wizard.foreign.sound_file.digest", never)
    monkeypatch.setattr("wizard.foreign.sound_file.SoundFile.blocks", never)
    with pytest.raises(ValueError, match=r"^a\.wav: it has over 60000000 samples.*Cut out the spin\.$"):
        read_signal(tmp_path / "a.wav")


def test_of_a_sound_no_more_is_kept_than_is_needed(tmp_path):
    """Four minutes at 48000 a second: what is kept of a block does not keep the block."""
    soundfile.write(tmp_path / "a.wav", tone(240.0, 48_000), 48_000)
    tracemalloc.start()
    try:
        read_signal(tmp_path / "a.wav")
        most = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert most < 60_000_000  # 104 MB before: 92 of them the filtered sound


@pytest.mark.parametrize("name", ["a.wav", "a.csv"])
def test_reading_says_how_far_it_is_and_can_be_stopped(tmp_path, name):
    """What the callback raises ends it."""
    if name == "a.wav":
        soundfile.write(tmp_path / name, tone(40.0, 16000), 16000)
    else:
        (tmp_path / name).write_text(motion(200.0), "utf-8")
    shares = []
    read_signal(tmp_path / name, shares.append)
    assert len(shares) > 2 and shares == sorted(shares) and shares[0] >= 0 and shares[-1] <= 1

    def stop(share):
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        read_signal(tmp_path / name, stop)


AWKWARD = sorted((Path(scipy.__file__).parent / "io" / "tests" / "data").glob("*.wav"))


@pytest.mark.skipif(not AWKWARD, reason="scipy's own test data isn't installed")
def test_awkward_wavs_are_read_or_refused_in_words():
    """Source: the data of scipy's tests: odd sizes, byte orders, heads that lie. None is 10 s long."""
    assert len(AWKWARD) > 15
    for path in AWKWARD:
        with pytest.raises(
            ValueError, match=r"it lasts|can't be read|samples a second|silent|breaks off"
        ) as caught:
            read_signal(path)
        assert str(caught.value).startswith(f"{path.name}: ") and "\n" not in str(caught.value)


@given(st.sampled_from([b"RIFF", b"fLaC", b"OggS", b"ID3", b""]), st.binary(max_size=400))
@settings(
    max_examples=examples(100), deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_any_bytes_are_refused_in_words(tmp_path, mark, data):
    """Whatever a file begins with."""
    with pytest.raises(ValueError, match=r"^r\.csv: "):
        put(tmp_path, mark + data)


def test_a_gain_that_changes_by_itself_is_seen():
    """After each knock all is quieter for a second; a sound without that isn't taken for it."""
    rng = np.random.default_rng(4)
    frequencies = np.linspace(0, 4000, 257)
    power = rng.gamma(6, 1 / 6, (400, 257)) * 1e-6
    fixed = power.copy()
    for at in range(30, 390, 40):
        fixed[at] *= 300
        power[at] *= 300
        power[at + 1 : at + 6] *= 0.2
    assert gain_change.dips(SoundFrames(0.25, frequencies, power.astype(np.float32)))
    assert not gain_change.dips(SoundFrames(0.25, frequencies, fixed.astype(np.float32)))
