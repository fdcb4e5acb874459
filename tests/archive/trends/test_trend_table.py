"""Trends of an index against plain loops over the same sessions, on SQLite and, where a server is named, PostgreSQL."""

import math
import os
from collections import defaultdict
from datetime import date, timedelta
from itertools import pairwise
from random import Random

import pytest

from wizard.archive.archive_index import ArchiveIndex
from wizard.archive.archive_query import ArchiveFilter
from wizard.archive.callbacks import callbacks
from wizard.archive.session_appraisal import SessionAppraisal
from wizard.archive.session_facts import UNDER_WAY, SessionFacts, SessionTag, TagKind
from wizard.archive.session_tally import session_wide
from wizard.archive.tally_kinds import SessionTally, TallyKind
from wizard.archive.trend_cell import GROUPS, TrendGroup, TrendKind
from wizard.archive.trends.rate_interval import wilson
from wizard.archive.trends.trend_table import TrendAsked, trend_table
from wizard.archive.trends.trend_words import MEANS, notes, row_sentences, title_of
from wizard.errors import UsageError

SERVER = os.environ.get("STEADFOOT_TEST_POSTGRES", "")
FIRST = date(2026, 1, 5)
TODAY = date(2026, 12, 31).toordinal()
FAULTS, PARTS, KINDS = (
    ("dampers", "bearings", "feet"),
    ("damper", "bearing-set"),
    ("front-loader", "top-hung"),
)


def made_facts(rng, number):
    day = FIRST + timedelta(days=rng.randrange(150))
    tags = [SessionTag(TagKind.FAULT, f) for f in rng.sample(FAULTS, rng.randrange(3))]
    tags += [SessionTag(TagKind.PART, p) for p in rng.sample(PARTS, rng.randrange(2))]
    tags += [SessionTag(TagKind.PERSON, rng.choice(("R. Vale", "S. Ash")))]
    ended = day + timedelta(days=rng.choice((0, 0, 0, 9)))
    return SessionFacts(
        f"{day}-{'abcdefgh'[number % 8]}-{number:06d}", str(day), flow="shake", kind=rng.choice(KINDS),
        maker=rng.choice(("Ostara", "OSTARA", "Velum")), serial=rng.choice(("", "00-1 A", *map(str, range(40)))),
        outcome=rng.choice(("proved", "proved", "declined", UNDER_WAY)), version=rng.choice(("0a1b", "2c3d")),
        ended=str(ended), tags=tuple(tags),
    )  # fmt: skip


def made_tallies(rng):
    found = []
    for step in ("dampers.pull", "feet.rock", "legs.look"):
        if rng.random() < 0.8:
            own = rng.choice((0, 120))
            found.append(SessionTally(TallyKind.STEP, step, rng.random() < 0.2, rng.randrange(-90, 90), own))
    found.append(SessionTally(TallyKind.LIMIT, rng.choice(("rock", "slope")), rng.random() < 0.3))
    found.append(SessionTally(TallyKind.RANKED, rng.choice(FAULTS), rng.random() < 0.25, 70))
    if rng.random() < 0.6:
        failed = rng.random() < 0.2
        found.append(SessionTally(TallyKind.PROOF, "", failed))
        found.append(SessionTally(TallyKind.PROOF_FAULT, rng.choice(FAULTS), failed))
        found.append(SessionTally(TallyKind.PROOF_PART, rng.choice(PARTS), failed))
    found.append(SessionTally(TallyKind.INSPECTION, "dampers", rng.random() < 0.2))
    return (*found, *session_wide(found))


@pytest.fixture(
    scope="module",
    params=["sqlite", pytest.param("postgresql", marks=pytest.mark.skipif(not SERVER, reason="no server"))],
)
def shop(request, tmp_path_factory):
    """An index with 160 sessions, what they are, and what each says."""
    rng = Random(4)
    facts = [made_facts(rng, number) for number in range(160)]
    says = {one.session: made_tallies(rng) for one in facts}
    url = SERVER if request.param == "postgresql" else ""
    with ArchiveIndex.open(tmp_path_factory.mktemp("trends"), url) as index:
        index.clear()
        index.put([("mark", one) for one in facts])
        index.appraised(
            [SessionAppraisal(one.session, "", (), 0, (), says[one.session]) for one in facts[:150]]
        )
        looked = {one.session for one in facts[:150]}
        yield index, facts, {name: some for name, some in says.items() if name in looked}


def keys(one, group, name):
    tagged = {TrendGroup.FAULT: TagKind.FAULT, TrendGroup.PART: TagKind.PART}
    if group in tagged:
        return [t.value for t in one.tags if t.kind is tagged[group]]
    return [{TrendGroup.MONTH: one.day[:7], TrendGroup.MACHINE: one.kind,
             TrendGroup.FLOW: f"{one.flow} {one.version}"}.get(group, name)]  # fmt: skip


OWN = {
    (TrendKind.RANKED, TrendGroup.FAULT): TallyKind.RANKED, (TrendKind.LEFT_OUT, TrendGroup.STEP): TallyKind.STEP,
    (TrendKind.LEFT_OUT, TrendGroup.INSPECTION): TallyKind.INSPECTION,
    (TrendKind.NEAR, TrendGroup.LIMIT): TallyKind.LIMIT,
    (TrendKind.PROOF, TrendGroup.FAULT): TallyKind.PROOF_FAULT,
    (TrendKind.PROOF, TrendGroup.PART): TallyKind.PROOF_PART,
}  # fmt: skip
WHOLE = {TrendKind.RANKED: TallyKind.RANKED, TrendKind.PROOF: TallyKind.PROOF}


def tally_kind(kind, group):
    return OWN.get((kind, group)) or WHOLE[kind]


def loop_tallies(kind, group, facts, says):
    """What a loop finds: (hits, of) by key."""
    wanted = tally_kind(kind, group)
    found = defaultdict(lambda: [0, 0])
    for one in facts:
        for tally in says.get(one.session, ()):
            if tally.kind is wanted:
                named = [tally.name] if (kind, group) in OWN else keys(one, group, "")
                for key in named:
                    found[key][0] += tally.hit
                    found[key][1] += 1
    return {key: tuple(counts) for key, counts in found.items()}


def loop_back(group, facts, within, until):
    """The same of callbacks, by the rows' own days."""
    machines = defaultdict(list)
    for one in facts:
        if serial := "".join(x for x in one.serial if x.isalnum()).lower():
            machines[one.maker.lower(), serial].append(one)
    came = set()
    for visits in machines.values():
        visits.sort(key=lambda one: (one.day, len(one.session), one.session))
        for before, after in pairwise(visits):
            if date.fromisoformat(after.day) - date.fromisoformat(before.ended) <= timedelta(days=within):
                came.add(before.session)
    found = defaultdict(lambda: [0, 0])
    for visits in machines.values():
        for one in visits:
            if one.outcome != UNDER_WAY and date.fromisoformat(one.ended).toordinal() <= until - within:
                for key in keys(one, group, ""):
                    found[key][0] += one.session in came
                    found[key][1] += 1
    return {key: tuple(counts) for key, counts in found.items()}


def last_day(facts):
    return max(date.fromisoformat(one.day).toordinal() for one in facts)


@pytest.mark.parametrize(
    ("kind", "group"),
    [(k, g) for k, groups in GROUPS.items() for g in groups if k not in (TrendKind.MINUTES, TrendKind.BACK)],
)
def test_shares_are_those_of_a_loop_over_the_sessions(shop, kind, group):
    """Every row, its interval, and the sessions that it opens down to."""
    index, facts, says = shop
    table = trend_table(index, TrendAsked(kind, TODAY, group))
    wanted = loop_tallies(kind, group, facts, says)
    assert {row.key: (row.hits, row.of) for row in table.rows} == wanted and wanted
    assert table.unlooked == 10
    if group is not TrendGroup.MONTH:
        assert [row.over for row in table.rows] == sorted((row.over for row in table.rows), reverse=True)
    every = [[t.hit for t in some if t.kind is tally_kind(kind, group)] for some in says.values()]
    assert (table.whole.hits, table.whole.of) == (sum(map(any, every)), sum(map(bool, every)))
    assert index.find(ArchiveFilter(cell=table.cell(None, True))).count == table.whole.hits
    for row in table.rows:
        assert (row.low, row.high) == wilson(row.hits, row.of) and 0 <= row.over <= 1
        for hits, count in ((True, row.hits), (False, row.of)):
            assert index.find(ArchiveFilter(cell=table.cell(row, hits))).count == count


@pytest.mark.parametrize("group", GROUPS[TrendKind.BACK])
@pytest.mark.parametrize("within", [0, 30, 60])
def test_machines_that_came_back_are_those_of_a_loop(shop, group, within):
    """Jobs that are younger than the days are left out on both sides, and counted."""
    index, facts, _says = shop
    until = last_day(facts)
    table = trend_table(index, TrendAsked(TrendKind.BACK, TODAY, group, within))
    assert {row.key: (row.hits, row.of) for row in table.rows} == loop_back(group, facts, within, until)
    over = [one for one in facts if one.outcome != UNDER_WAY]
    plain = [one for one in over if not one.serial]
    young = [one for one in over if one.serial and date.fromisoformat(one.ended).toordinal() > until - within]
    assert (table.young, table.plateless, table.until) == (len(young), len(plain), until)
    for row in table.rows:
        assert index.find(ArchiveFilter(cell=table.cell(row, True))).count == row.hits


def test_what_came_back_is_what_the_list_of_callbacks_has(shop):
    """The same machines as ``archive --back``, but for the young ones."""
    index, facts, _says = shop
    table = trend_table(index, TrendAsked(TrendKind.BACK, TODAY, within=30))
    listed = {one.before.session for one in callbacks(index.find(ArchiveFilter()).rows, 30)}
    old = {f.session for f in facts if date.fromisoformat(f.ended).toordinal() <= last_day(facts) - 30}
    shown = {row.session for row in index.find(ArchiveFilter(cell=table.cell(None, True))).rows}
    assert shown == listed & old and len(shown) == table.whole.hits


def test_no_session_of_tomorrow_makes_the_others_old(shop):
    """A computer whose clock ran ahead: what lies after today is no day up to which machines could come back."""
    index, facts, _says = shop
    today = date(2026, 3, 1).toordinal()
    table = trend_table(index, TrendAsked(TrendKind.BACK, today))
    assert table.until == today and sum(row.of for row in table.rows) == sum(
        one.outcome != UNDER_WAY
        and one.serial != ""
        and date.fromisoformat(one.ended).toordinal() <= today - 30
        for one in facts
    )


def test_times_are_those_of_a_loop(shop):
    """The middle of the logarithms; a step without minutes of its own says nothing of time."""
    index, _facts, says = shop
    table = trend_table(index, TrendAsked(TrendKind.MINUTES, TODAY))
    logs = defaultdict(list)
    for some in says.values():
        for one in some:
            if one.kind is TallyKind.STEP and one.own:
                logs[one.name].append(one.amount / 100)
    assert {row.key: row.of for row in table.rows} == {name: len(x) for name, x in logs.items()}
    for row in table.rows:
        assert row.value == pytest.approx(math.exp(sum(logs[row.key]) / row.of)) and row.own == 2.0
        assert row.low < row.value < row.high
    apart = [max(0.0, math.log(row.low), -math.log(row.high)) for row in table.rows]
    assert apart == sorted(apart, reverse=True)
    for row in table.rows:
        assert index.find(ArchiveFilter(cell=table.cell(row, False))).count == row.of


def test_each_is_of_those_that_are_asked_for(shop):
    """By flow version, kind of machine and technician, and of them together."""
    index, facts, says = shop
    for asked in (
        ArchiveFilter(version="0a"), ArchiveFilter(kind="top-hung"), ArchiveFilter(technician="ash"),
        ArchiveFilter(version="2c3d", kind="front-loader", technician="vale", since="2026-02"),
    ):  # fmt: skip
        some = {row.session for row in index.find(asked).rows}
        chosen = [one for one in facts if one.session in some]
        assert 0 < len(chosen) < len(facts)
        table = trend_table(index, TrendAsked(TrendKind.RANKED, TODAY, among=asked))
        assert {r.key: (r.hits, r.of) for r in table.rows} == loop_tallies(
            TrendKind.RANKED, TrendGroup.FAULT, chosen, says
        )
        back = trend_table(index, TrendAsked(TrendKind.BACK, TODAY, among=asked))
        # The job after may be anybody's, at whatever version: only the job before must be one of these.
        every = loop_back(TrendGroup.MONTH, facts, 30, last_day(facts))
        assert all(row.of <= every[row.key][1] for row in back.rows)
        shown = {r.session for r in index.find(ArchiveFilter(cell=back.cell(None, False))).rows}
        assert sum(row.of for row in back.rows) == len(shown & some)


def test_one_persons_jobs_are_held_against_the_same_faults_of_all(shop):
    """Who gets the hard jobs has more hits: expected is each fault's share over all people, by that person's faults."""
    index, _facts, _says = shop
    asked = TrendAsked(TrendKind.PROOF, TODAY, TrendGroup.MONTH, among=ArchiveFilter(technician="ash"))
    same = trend_table(index, asked).same_faults
    whole = trend_table(index, TrendAsked(TrendKind.PROOF, TODAY, TrendGroup.FAULT))
    theirs = trend_table(index, TrendAsked(TrendKind.PROOF, TODAY, TrendGroup.FAULT, among=asked.among))
    share = {row.key: row.drawn for row in whole.rows}
    assert (
        same.hits == sum(row.hits for row in theirs.rows)
        and same.of == sum(row.of for row in theirs.rows) > 0
    )
    assert same.expected == pytest.approx(sum(row.of * share[row.key] for row in theirs.rows))
    assert whole.same_faults is None and "of the same faults all people" in " ".join(
        notes(trend_table(index, asked))
    )


def test_what_is_forgotten_or_looked_at_anew_is_counted_once(tmp_path):
    """A session that is read again, or gone, leaves nothing behind."""
    rng = Random(7)
    facts = [made_facts(rng, n) for n in range(4)]
    says = (SessionTally(TallyKind.RANKED, "feet", True, 60),)
    with ArchiveIndex.open(tmp_path) as index:
        for _ in range(3):
            index.put([("mark", one) for one in facts])
            index.appraised([SessionAppraisal(one.session, "", (), 0, (), says) for one in facts])
            index.appraised([SessionAppraisal(one.session, "", (), 0, (), says) for one in facts])
        asked = TrendAsked(TrendKind.RANKED, TODAY)
        assert [(r.hits, r.of) for r in trend_table(index, asked).rows] == [(4, 4)]
        index.put((), [facts[0].session])
        assert trend_table(index, asked).rows[0].of == 3
        index.look_anew("other rules")
        table = trend_table(index, asked)
        assert table.rows == () and table.unlooked == 3 and table.whole.of == 0


@pytest.mark.parametrize("kind", TrendKind)
def test_an_empty_archive_has_no_rows_and_says_so(tmp_path, kind):
    """Nothing is divided by nothing."""
    with ArchiveIndex.open(tmp_path) as index:
        table = trend_table(index, TrendAsked(kind, TODAY))
    assert table.rows == () and list(notes(table)) and MEANS[kind] in list(notes(table))


def test_what_cant_be_asked_is_said():
    """A trend without such rows, a target that is none."""
    with pytest.raises(UsageError, match="no rows by part"):
        TrendAsked(TrendKind.RANKED, TODAY, TrendGroup.PART)
    with pytest.raises(UsageError, match="target"):
        TrendAsked(TrendKind.BACK, TODAY, target=0.0)
    with pytest.raises(UsageError, match="days"):
        TrendAsked(TrendKind.BACK, TODAY, within=-1)


def test_no_sentence_ranks_anybody(shop):
    """No row is a person, and every row says its interval."""
    index, _facts, _says = shop
    for kind, groups in GROUPS.items():
        for group in groups:
            table = trend_table(index, TrendAsked(kind, TODAY, group))
            said = " ".join(
                [title_of(table), *notes(table), *(s for r in table.rows for s in row_sentences(table, r))]
            )
            assert not {"Vale", "Ash", "best", "worst", "technician"} & set(said.replace(",", " ").split())
            assert all("95 %" in " ".join(row_sentences(table, row)) for row in table.rows)
