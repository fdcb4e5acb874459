"""What reviewers said of flags goes along with the session, and of two copies each word is kept once."""

from dataclasses import replace

import pytest

from tests.helpers.stored_sessions import SESSION, import_
from tests.sessions.test_transfer import contents, refused, rezip
from wizard.archive.archive_index import ArchiveIndex
from wizard.archive.bringing_up import bring_up
from wizard.archive.facts_reading import facts_of
from wizard.engine.messages import commands as c
from wizard.review.flags.flag_id import FlagId
from wizard.sessions.judged_flags import NAME, JudgedFlag, judge, load, standing
from wizard.sessions.session_placing import ImportOutcome
from wizard.sessions.transfer import export

ONE = JudgedFlag("C. Marsh", "2026-03-04T09:00:00Z", FlagId.STEP_QUICK.value, 9, True, 0.25)
TWO = JudgedFlag("S. Ash", "2026-03-03T09:00:00Z", FlagId.NO_PROVING.value, 3, False)


def folder(store):
    return store.home.session_folder(SESSION)


def test_a_mark_comes_in_with_its_session(here, there, tmp_path):
    """And counts in the archive there."""
    judge(folder(here), ONE)
    done = import_(there, export(here, SESSION, tmp_path))
    assert NAME in done.added and load(done.folder) == (ONE,) == facts_of(there, SESSION).judged


def test_a_mark_that_comes_later_is_seen_by_the_archive(here, there, zipped, tmp_path):
    """The session is read again: its files changed."""
    import_(there, zipped)
    with ArchiveIndex.open(there.root) as index:
        bring_up(index, there, processes=1)
        judge(folder(here), ONE)
        import_(there, export(here, SESSION, tmp_path / "second.zip"))
        assert bring_up(index, there, processes=1).read == 1


def test_words_of_both_are_put_together_and_the_last_stands(here, there, zipped, tmp_path):
    """In the order of their times, whoever imports; a second import adds nothing."""
    there_folder = import_(there, zipped).folder
    judge(there_folder, ONE)
    judge(folder(here), TWO)
    earlier = replace(ONE, by="S. Ash", at="2026-03-02T09:00:00Z", fair=False)
    judge(folder(here), earlier)
    second = export(here, SESSION, tmp_path / "second.zip")
    done = import_(there, second)
    assert done.added == (NAME,) and done.notes == ()
    assert load(there_folder) == (earlier, TWO, ONE)
    assert standing(load(there_folder))[ONE.rule, 9] == ONE
    assert import_(there, second).added == ()
    back = import_(here, export(there, SESSION, tmp_path / "back.zip"))
    assert back.added == (NAME,) and load(folder(here)) == load(there_folder)


def test_a_mark_comes_with_an_older_journal(here, there, zipped, tmp_path):
    """The job went on since it was sent: what was said of its flags reaches it all the same."""
    judge(import_(there, zipped).folder, ONE)
    back = export(there, SESSION, tmp_path / "back.zip")
    with here.resume(SESSION) as opened:
        opened.session.do(c.BeginVisit("S. Ash", "T-2"))
    done = import_(here, back)
    assert done.outcome is ImportOutcome.OLDER and done.added == (NAME,) and load(folder(here)) == (ONE,)


def test_marks_that_can_not_be_read_here_are_left_as_they_are(here, there, zipped, tmp_path):
    """It is no reason to refuse the session; that they differ is said."""
    there_folder = import_(there, zipped).folder
    (there_folder / NAME).write_text("[[", encoding="utf-8")
    judge(folder(here), ONE)
    done = import_(there, export(here, SESSION, tmp_path / "second.zip"))
    assert done.notes == (f"{NAME} here differs from the one that came; yours was kept.",)
    assert (there_folder / NAME).read_text(encoding="utf-8") == "[["


def test_marks_that_would_be_too_many_are_left_and_it_is_said(here, there, zipped, tmp_path):
    """Nothing of them is put in, and nothing is lost without a word."""
    many = "".join(
        f'[[judged]]\nby = "{"x" * 70}"\nat = "2026-03-04T09:00:00.{n:05d}Z"\nrule = "step-quick"\nevent = 1\n'
        "fair = true\n"
        for n in range(3_000)
    )
    there_folder = import_(there, zipped).folder
    (there_folder / NAME).write_text("format = 1\n" + many * 2, encoding="utf-8")
    (folder(here) / NAME).write_text("format = 1\n" + many.replace("xxx", "yyy"), encoding="utf-8")
    before = (there_folder / NAME).read_bytes()
    done = import_(there, export(here, SESSION, tmp_path / "second.zip"))
    assert done.added == () and done.notes == (
        f"{NAME} here differs from the one that came; yours was kept.",
    )
    assert (there_folder / NAME).read_bytes() == before


ROW = {"by": '"S. Ash"', "at": '"2026-03-04T09:00:00Z"', "rule": '"step-quick"', "event": "9", "fair": "true"}


@pytest.mark.parametrize(
    ("other", "says"),
    [
        ({"by": '" "'}, "nobody"), ({"by": '"' + "x" * 81 + '"'}, "nobody"), ({"at": '"today"'}, "no time"),
        ({"rule": '"../x"'}, "no rule"), ({"event": "0"}, "no event"), ({"event": "1000000"}, "no event"),
        ({"measure": "nan"}, "no finite"), ({"measure": "inf"}, "no finite"), ({"fair": "1"}, "can't be read"),
        ({"more": "1"}, "can't be read"),
    ],
)  # fmt: skip
def test_marks_that_are_none_are_refused(there, zipped, tmp_path, other, says):
    """Nothing of the session comes in; the file is named, and the row."""
    rows = "".join(f"{key} = {value}\n" for key, value in {**ROW, **other}.items())
    files = {**contents(zipped), f"session/{NAME}": f"format = 1\n[[judged]]\n{rows}".encode()}
    refused(there, rezip(files), tmp_path, says)


@pytest.mark.parametrize("data", [b"", b"[[", b"format = 2\n", b"\xff", b"x = 1\n" * 400_000])
def test_what_holds_no_marks_is_refused(there, zipped, tmp_path, data):
    files = {**contents(zipped), f"session/{NAME}": data}
    refused(there, rezip(files), tmp_path, NAME)
