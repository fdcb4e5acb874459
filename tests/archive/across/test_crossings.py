"""What stands in several sessions: found in an index of rows made for it, and in one of sessions on a disk."""

import shutil

import pytest

from tests.archive.test_archive_query import SERVER
from tests.helpers.jobs import good
from tests.helpers.learned_home import learned_home
from tests.helpers.stored_sessions import flow_files, store_at
from wizard.archive.across.crossing import CrossingKind
from wizard.archive.across.crossings import crossing_lines, crossings
from wizard.archive.archive_index import ArchiveIndex
from wizard.archive.archive_query import ArchiveFilter
from wizard.archive.bringing_up import bring_up
from wizard.archive.session_facts import SessionFacts
from wizard.archive.traces.session_traces import KeptFile, ReadingRow, SessionTraces, WorkStretch
from wizard.archive.traces.traces_reading import PAUSE, mark_of, traces_of
from wizard.engine.messages import commands as c

SAME = "18 18.5 17 16.5 19"


def row(readings, grain=0.5, noise=0.3):
    return reading_row("suspension.pull", readings, grain, noise)


def reading_row(step, readings, grain, noise):
    return ReadingRow(step, readings, mark_of(step, readings), len(readings.split()), grain, noise, "N")


@pytest.fixture(
    params=["sqlite", pytest.param("postgresql", marks=pytest.mark.skipif(not SERVER, reason="no server"))]
)
def index(request, tmp_path):
    url = SERVER if request.param == "postgresql" else ""
    with ArchiveIndex.open(tmp_path, url) as opened:
        opened.clear()
        yield opened


def put(index, *of):
    """Sessions named by their letters: serial, traces."""
    index.put(
        [
            (
                letter,
                SessionFacts(
                    f"2026-03-02-{letter}", "2026-03-02", maker="Ostara", serial=serial, traces=left
                ),
            )
            for letter, serial, left in of
        ]
    )


def found(index, kind):
    return crossings(index, (kind,))


def test_the_same_photo_at_different_machines_is_found_and_at_one_machine_is_not(index):
    """A photo of an earlier visit at one machine is its own; where no serial was noted the machine isn't known."""
    photo, other = KeptFile("a" * 64, True), KeptFile("b" * 64, True)
    put(index, ("a", "X1", SessionTraces((photo, other))), ("b", "X2", SessionTraces((photo,))),
        ("c", "X1", SessionTraces((other,))))  # fmt: skip
    (one,) = found(index, CrossingKind.PHOTO)
    assert one.sessions == ("2026-03-02-a", "2026-03-02-b") and one.count == 2
    assert "Ostara X1" in one.evidence and "Ostara X2" in one.evidence and "aaaa" in one.evidence
    assert not found(index, CrossingKind.RECORDING)
    put(
        index,
        ("d", "", SessionTraces((KeptFile("c" * 64, False),))),
        ("e", "", SessionTraces((KeptFile("c" * 64, False),))),
    )
    assert "no serial number noted" in found(index, CrossingKind.RECORDING)[0].evidence


def test_rows_of_readings_are_found_where_chance_would_not_make_them(index):
    """Five readings to half a newton among twenty rows that differ by some newtons; the unit is the step's."""
    rows = [
        (
            "abcdefghijklmnopqrst"[n],
            f"S{n}",
            SessionTraces(rows=(row(f"{10 + n} {11 + n} {10.5 + n} {12 + n} {9 + n}"),)),
        )
        for n in range(18)
    ]
    put(
        index,
        *rows,
        ("s", "S90", SessionTraces(rows=(row(SAME),))),
        ("t", "S91", SessionTraces(rows=(row(SAME),))),
    )
    (one,) = found(index, CrossingKind.READINGS)
    assert one.sessions == ("2026-03-02-s", "2026-03-02-t")
    assert "suspension.pull: 18 N, 18.5 N" in one.evidence and "among 20 by chance" in one.evidence


@pytest.mark.parametrize("slip", ["12000 11 10 12 11", "1e300 1 1 1 1", "inf 1 1 1 1"])
def test_one_slip_in_the_archive_hides_no_row_that_was_met_again(index, slip):
    """A row typed in another unit is no spread of the others: a robust one leaves it out."""
    rows = [
        (letter, f"S{n}", SessionTraces(rows=(row(f"{10 + n} {11 + n} {10.5 + n} {12 + n} {9 + n}"),)))
        for n, letter in enumerate("abcdefghijklmnopqr")
    ]
    put(index, *rows, ("z", "S80", SessionTraces(rows=(row(slip),))),
        ("s", "S90", SessionTraces(rows=(row(SAME),))), ("t", "S91", SessionTraces(rows=(row(SAME),))))  # fmt: skip
    (one,) = found(index, CrossingKind.READINGS)
    assert one.sessions == ("2026-03-02-s", "2026-03-02-t")


def test_one_slip_makes_no_row_of_a_coarse_tool_rare(index):
    """What is alike by the tool's steps stays alike beside a row that somebody mistyped."""
    coarse = reading_row("suspension.pull", "20 20 20", 10.0, 3.0)
    put(index, *((letter, f"S{letter}", SessionTraces(rows=(coarse,))) for letter in "abcdefghijkl"),
        ("z", "S80", SessionTraces(rows=(reading_row("suspension.pull", "2e6 20 20", 10.0, 3.0),))))  # fmt: skip
    assert not found(index, CrossingKind.READINGS)


def test_a_coarse_tool_makes_the_same_row_anywhere(index):
    """Of a tool that shows steps of 10 N the same three readings are no wonder: nothing is listed."""
    coarse = reading_row("suspension.pull", "20 20 20", 10.0, 3.0)
    put(index, *((letter, f"S{letter}", SessionTraces(rows=(coarse,))) for letter in "abcdefghijkl"))
    assert not found(index, CrossingKind.READINGS)


def test_of_two_sessions_alone_the_tools_uncertainty_decides(index):
    """Three readings could be chance; three rows of five are not: their chances are multiplied."""
    short = reading_row("suspension.pull", "18 18.5 17", 0.5, 0.3)
    put(index, ("a", "X1", SessionTraces(rows=(short,))), ("b", "X2", SessionTraces(rows=(short,))))
    assert not found(index, CrossingKind.READINGS)
    more = tuple(reading_row(f"suspension.pull-{n}", SAME, 0.5, 0.3) for n in range(3))
    put(index, ("c", "X3", SessionTraces(rows=more)), ("d", "X4", SessionTraces(rows=more)))
    (one,) = found(index, CrossingKind.READINGS)
    assert one.sessions == ("2026-03-02-c", "2026-03-02-d") and "3 rows of readings" in one.says


def test_one_person_at_two_machines_at_once(index):
    """Twelve minutes shared, whoever wrote the name how; two people at once are no wonder."""
    put(index, ("a", "X1", SessionTraces(stretches=(WorkStretch("R. Vale", 0, 2400),))),
        ("b", "X2", SessionTraces(stretches=(WorkStretch("r. vale", 1680, 3000),))),
        ("c", "X3", SessionTraces(stretches=(WorkStretch("S. Ash", 0, 3000),))))  # fmt: skip
    (one,) = found(index, CrossingKind.OVERLAP)
    assert "12 min 00 s" in one.says and "1970-01-01 00:28 to 00:50" in one.evidence
    assert one.sessions == ("2026-03-02-a", "2026-03-02-b")


def test_two_jobs_that_overlap_twice_are_one_crossing(index):
    """Whichever of the two began first the second time; the times are those of the longer one."""
    theirs = {"a": ((0, 600), (9300, 12000)), "b": ((300, 900), (9000, 12000))}
    put(
        index,
        *(
            (
                name,
                f"X{name}",
                SessionTraces(stretches=tuple(WorkStretch("R. Vale", *span) for span in spans)),
            )
            for name, spans in theirs.items()
        ),
    )
    (one,) = found(index, CrossingKind.OVERLAP)
    assert "45 min 00 s" in one.says
    assert one.evidence.index("2026-03-02-b 1970-01-01 02:30") < one.evidence.index(
        "2026-03-02-a 1970-01-01 02:35"
    )


def test_a_session_that_is_gone_and_one_that_two_name(index):
    """b names a, which is here; c and d name x, which isn't, so both are said, and that it is named twice."""
    link = {"b": "2026-03-02-a", "c": "2026-03-02-x", "d": "2026-03-02-x"}
    left = {letter: SessionTraces(earlier=name, earlier_seal="4f" * 32) for letter, name in link.items()}
    put(index, ("a", "X1", SessionTraces()), *((letter, "X1", one) for letter, one in left.items()))
    assert [one.sessions[0][-1] for one in found(index, CrossingKind.GONE)] == ["d", "c"]
    assert all(
        "names the seal 4f4f 4f4f 4f4f 4f4f of a session that isn't here" in one.says
        for one in found(index, CrossingKind.GONE)
    )
    (twice,) = found(index, CrossingKind.DOUBLED)
    assert twice.sessions == ("2026-03-02-c", "2026-03-02-d")
    lines = crossing_lines(crossings(index))
    assert lines[0] == "Met again: 2 named and not here, 1 named twice."


def test_what_is_found_can_be_asked_for(index):
    put(index, *((letter, "X1", SessionTraces()) for letter in "abc"))
    asked = ArchiveFilter(among=("2026-03-02-a", "2026-03-02-c"))
    assert {row.session[-1] for row in index.find(asked).rows} == {"a", "c"}
    assert dict(asked.asked)["among"] == "2026-03-02-a, 2026-03-02-c"


def test_what_is_forgotten_is_met_no_more(index):
    photo = KeptFile("a" * 64, True)
    put(index, ("a", "X1", SessionTraces((photo,))), ("b", "X2", SessionTraces((photo,))))
    index.put((), ["2026-03-02-b"])
    assert not crossings(index)


def test_a_session_removed_from_a_home_is_missed_in_its_archive(tmp_path):
    """Whole sessions: each names the one before; with one of them gone its follower is named."""
    store = store_at(learned_home(tmp_path / "home"))
    names = sorted(store.home.list_ids())
    with ArchiveIndex.open(store.root) as index:
        bring_up(index, store, closely=False, processes=1)
        assert not found(index, CrossingKind.GONE) and not found(index, CrossingKind.DOUBLED)
        shutil.rmtree(store.home.session_folder(names[3]))
        bring_up(index, store, closely=False, processes=1)
        (one,) = found(index, CrossingKind.GONE)
    assert one.sessions == (names[4],) and names[3] in one.says


def test_the_next_session_is_looked_at_again_when_one_was_rewritten(tmp_path):
    """Somebody seals an earlier session anew: its follower, verified before, no longer verifies."""
    from tests.sessions.test_session_verification import resealed

    store = store_at(learned_home(tmp_path / "home"))
    first, second, *_rest = sorted(store.home.list_ids())
    with ArchiveIndex.open(store.root) as index:
        bring_up(index, store, processes=1)
        assert all(row.verified for row in index.find(ArchiveFilter()).rows)
        path = store.home.session_folder(first) / "journal.toml"
        resealed(path, lambda events: [{**e, "ticket": "T-2"} if e["kind"] == "visit" else e for e in events])
        bring_up(index, store, processes=1)
        wrong = {row.session: row.wrong for row in index.find(ArchiveFilter()).rows}
    assert "in none of its events" in wrong[second]


def test_what_a_session_leaves_is_what_its_journal_holds(tmp_path):
    """Times at work end where nobody pressed a key for five minutes, and where another person goes on."""
    store = store_at(tmp_path / "home")
    with store.begin(good(), flow_files(), "R.  Vale", "T-1") as opened:
        store.clock.move(60)
        opened.session.do(c.AddNote("The floor is wet."))
        store.clock.move(PAUSE + 1)
        opened.session.do(c.AddNote("It is dry."))
        store.clock.move(30)
        opened.session.do(c.TakeOver("S. Ash"))
        store.clock.move(90)
        opened.session.do(c.AddNote("It is warm."))
        photo = tmp_path / "p.jpg"
        photo.write_bytes(b"\xff\xd8 a picture")
        opened.attach(photo, "The plug")
        name = opened.name
    left = traces_of(store.load(name))
    assert [(s.person, s.end - s.begin) for s in left.stretches] == [("R. Vale", 60), ("S. Ash", 90)]
    assert [f.photo for f in left.files] == [True] and left.earlier == ""


def test_numbers_that_no_tool_shows_end_nothing(index):
    """A journal that somebody wrote may hold any number: what it says is listed or not, and nothing breaks."""
    odd = [row("1e300 -1e300 5e-324"), row("inf nan 1"), row("0 0 1e308")]
    for n in range(12):
        put(index, (chr(ord("a") + n), f"S{n}", SessionTraces(rows=tuple(odd))))
    assert all(one.kind is CrossingKind.READINGS for one in crossings(index))


def test_what_no_program_writes_of_the_earlier_session_is_left_out(tmp_path):
    """A text that is no session's name is kept in no index, which has room for a name alone."""
    from tests.sessions.test_session_verification import resealed

    store = store_at(learned_home(tmp_path / "home"))
    name = sorted(store.home.list_ids())[1]
    forged = {"session": "x" * 9000, "seal": "y" * 9000}
    path = store.home.session_folder(name) / "journal.toml"
    resealed(path, lambda events: [{**e, "earlier": forged} if e["kind"] == "began" else e for e in events])
    left = traces_of(store.load(name))
    assert left.earlier == "" and len(left.earlier_seal) == 64
