"""A zip is read in a process of its own, within limits; every event in it is decided; nothing of it is obeyed."""

import io
import json
import signal
import sys
import time
import zipfile

import pytest

from tests.helpers.stored_sessions import SESSION, home_at, store_at
from tests.sessions.test_transfer import contents, resealed, rezip, tree
from wizard.cli.main import main
from wizard.errors import FlowError, JournalError, UsageError
from wizard.sessions import parcel_process, transfer
from wizard.sessions.archive_format import MANIFEST
from wizard.sessions.transfer import export, import_

DOTTED = ".".join(["a"] * 50_000) + " = 1\n"


@pytest.fixture
def zipped(tmp_path):
    return export(home_at(tmp_path / "here"), SESSION, tmp_path / "sent.zip")


@pytest.fixture
def there(tmp_path):
    return store_at(tmp_path / "there")


def hostile(tmp_path, data):
    path = tmp_path / "hostile.zip"
    path.write_bytes(data)
    return path


def test_a_session_comes_in_through_the_other_process(tmp_path, there, zipped):
    """All its files are there, nothing is left beside them, and nothing is to be known of it."""
    done = import_(there, zipped)
    assert done.new and done.found == ()
    assert tree(there.root) == tree(tmp_path / "here")
    assert [p.name for p in there.home.sessions.iterdir()] == [SESSION]


@pytest.mark.parametrize("where", [MANIFEST, "session/review.toml", "session/journal.toml", "flow/flow.toml"])
def test_one_key_of_many_parts_is_refused_at_once(tmp_path, there, zipped, where):
    """Wherever in the zip it stands. Such a zip, of 91 kB, took two minutes and 15 GB."""
    files = {**contents(zipped), where: DOTTED.encode()}
    path = hostile(tmp_path, rezip(files, manifest=where != MANIFEST))
    began = time.monotonic()
    with pytest.raises(JournalError):
        import_(there, path)
    assert time.monotonic() - began < 20 and tree(there.root) == {}


def test_an_event_with_such_a_key_is_refused_at_once(tmp_path, there, zipped):
    """Under seals that hold."""
    from wizard.journal.sealed_block import CHAIN, CLOSE, SEAL, START, seal

    body = b"[[event]]\n" + DOTTED.encode() + SEAL
    block = body + CHAIN + seal(START, body).encode() + CLOSE
    path = hostile(tmp_path, rezip({**contents(zipped), "session/journal.toml": block}))
    began = time.monotonic()
    with pytest.raises(JournalError, match="a key of more than 40 parts"):
        import_(there, path)
    assert time.monotonic() - began < 20


def forged(events):
    """Cut off where an inspection is entered, and that is one which no flow has."""
    last = max(n for n, event in enumerate(events) if event["kind"] == "entered")
    return [*events[:last], {**events[last], "inspection": "nowhere"}]


def test_every_event_is_decided_and_what_is_found_is_said(tmp_path, zipped, capsys):
    """An inspection that the flow hasn't came in without a word, and ended the program when it was taken up."""
    path = hostile(tmp_path, resealed(zipped, forged))
    assert main(["--home", str(tmp_path / "there"), "session", "import", str(path)]) == 4
    said = capsys.readouterr()
    assert "against the rules of its flow" in said.out and "Don't trust it as it stands" in said.out
    assert "1 session of 1 came in and does not verify" in said.err
    assert main(["--home", str(tmp_path / "there"), "session", "import", str(path), "--json"]) == 4
    (table,) = json.loads(capsys.readouterr().out)
    assert any("against the rules" in line for line in table["found"])
    assert not table["verified"]["whole"] and table["verified"]["breaches"]


@pytest.mark.parametrize(
    ("error", "kind"),
    [
        ("UsageError", UsageError),
        ("JournalError", JournalError),
        ("FlowError", FlowError),
        ("defect", JournalError),
    ],
)
def test_the_errors_of_the_other_process_are_this_ones(tmp_path, monkeypatch, error, kind):
    """Their kind and their words; a defect has its traceback as a note."""
    report = {"error": error, "says": "It has:\nx.toml:1:1: wrong", "problems": ["x.toml:1:1: wrong"]}
    ended(monkeypatch, json.dumps(report).encode())
    with pytest.raises(kind) as caught:
        parcel_process.read_apart(tmp_path / "x.zip", tmp_path)
    if error == "defect":
        assert caught.value.__notes__ == [report["says"]]
    else:
        assert str(caught.value) == report["says"]


def ended(monkeypatch, out):
    """Whatever process is started has written this."""
    import subprocess

    done = subprocess.CompletedProcess([], 0, out, b"killed")
    monkeypatch.setattr(subprocess, "run", lambda *a, **k: done)


@pytest.mark.parametrize("out", [b"", b"{", b"[]", b'{"error": ""}', b"\xff"])
def test_a_process_that_says_nothing_sensible_was_ended(tmp_path, monkeypatch, out):
    """By its limits, mostly: the zip is refused."""
    ended(monkeypatch, out)
    with pytest.raises(JournalError, match="more than is given to it"):
        parcel_process.read_apart(tmp_path / "x.zip", tmp_path)


def test_a_process_that_takes_too_long_is_ended(there, zipped):
    """The time is limited on every platform."""
    with pytest.raises(JournalError, match="takes longer than 0 s"):
        parcel_process.read_apart(zipped, there.root, seconds=0.01)


@pytest.mark.skipif(sys.platform != "linux", reason="only there is a process's memory surely limited")
def test_a_process_that_takes_too_much_memory_is_ended(tmp_path, there, zipped, monkeypatch):
    """By its own limit, and the zip is refused in words."""
    source = (
        "from wizard.foreign import limits; limits.IMPORT_MEMORY = 100_000_000\n"
        "import runpy; runpy.run_module('{}', run_name='__main__')"
    )
    real = parcel_process.subprocess.run

    def small(command, **options):
        code = source.format(parcel_process.__spec__.name)
        return real([sys.executable, "-c", code, *command[-2:]], **options)

    monkeypatch.setattr(parcel_process.subprocess, "run", small)
    large = hostile(tmp_path, rezip({**contents(zipped), "session/torn-1.toml": bytes(49_000_000)}))
    with pytest.raises(JournalError, match="more than is given to it"):
        import_(there, large)
    assert tree(there.root) == {}


@pytest.mark.skipif(sys.platform != "linux", reason="only there is a process's time surely limited")
def test_a_process_that_is_busy_for_too_long_is_ended_by_itself(tmp_path, there, zipped, monkeypatch):
    """By its own limit on the processor's time, long before the clock of whoever started it."""
    source = (
        "from wizard.foreign import limits; limits.IMPORT_SECONDS = 4\n"
        "from wizard.sessions import parcel_reader\n"
        "def endless(*_): \n while True: pass\n"
        "parcel_reader.read_parcel = endless\n"
        "import runpy; runpy.run_module('{}', run_name='__main__')"
    )
    real, codes = parcel_process.subprocess.run, []

    def busy(command, **options):
        code = source.format(parcel_process.__spec__.name)
        done = real([sys.executable, "-c", code, *command[-2:]], **options)
        codes.append(done.returncode)
        return done

    monkeypatch.setattr(parcel_process.subprocess, "run", busy)
    with pytest.raises(JournalError, match="more than is given to it"):
        import_(there, zipped)
    assert codes == [-signal.SIGXCPU] and tree(there.root) == {}


ESCAPE = "\x1b[2J\x1b]0;owned\x07"


@pytest.mark.parametrize(
    "name", [f"session/{ESCAPE}.md", f"session/HANDOVER.md\n{ESCAPE}", f"flow/inspections/{ESCAPE}.toml"]
)
def test_a_name_in_a_zip_is_never_obeyed(tmp_path, zipped, capsys, name):
    """A name cleared the screen, in the zip's own list or in the manifest."""
    for files in ({**contents(zipped), name: b"x"}, listed(contents(zipped), name)):
        path = hostile(tmp_path, rezip(files, manifest=name in files))
        assert main(["--home", str(tmp_path / "there"), "session", "import", str(path)]) == 4
        said = capsys.readouterr().err
        assert "\x1b" not in said and "\\x1b[2J" in said and said.count("\n") == 1


def listed(files, name):
    """The files with one more on their list that isn't there."""
    import tomllib

    import tomli_w

    table = tomllib.loads(files[MANIFEST].decode())
    table["file"].append({"name": name, "size": 1, "sha256": "0"})
    return {**files, MANIFEST: tomli_w.dumps(table).encode()}


def test_a_zip_whose_own_list_is_endless_is_refused_before_it_is_read(tmp_path, there):
    """A hundred thousand entries would be objects before the first is looked at."""
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as archive:
        for number in range(20_000):
            archive.writestr(f"{number:0100}", b"")
    with pytest.raises(JournalError, match="its list of files is longer"):
        transfer.import_(there, hostile(tmp_path, made.getvalue()))
