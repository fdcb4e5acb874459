"""What a check of a journal finds, where, and what it calls it."""

import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.helpers.flows.examples import examples
from wizard.errors import JournalError, UsageError
from wizard.journal import tamper_check
from wizard.journal.journal_verification import Verification, grouped, verify
from wizard.journal.sealed_block import CHAIN, SEAL, START, encode, seal
from wizard.journal.splitter import cut
from wizard.journal.tamper_check import TamperCheck

Put = Callable[[bytes], Path]
Make = Callable[[list[dict[str, Any]]], list[bytes]]


def found(checked: Verification) -> list[tuple[str, int]]:
    """Kinds and blocks of the problems."""
    return [(problem.kind, problem.block) for problem in checked.problems]


def chain_of(block: bytes) -> str:
    """The chain value that stands in a block."""
    return block[-66:-2].decode("ascii")


def numbered(count: int, text: str = "") -> list[dict[str, Any]]:
    """Events that carry their number."""
    return [{"sequence": number, "text": text} for number in range(1, count + 1)]


def test_an_untouched_journal_is_whole(put: Put, blocks: list[bytes]) -> None:
    """No problem, every block counted, the last chain value given."""
    checked = verify(put(b"".join(blocks)))
    assert checked.ok and checked.problems == () and checked.printed is None and checked.after == 0
    assert checked.blocks == len(blocks) and checked.last_chain == chain_of(blocks[-1])


def test_every_truncation_is_reported(put: Put, blocks: list[bytes]) -> None:
    """Cut inside a block: torn, in that block. Cut between blocks: only the printed value can tell."""
    data = b"".join(blocks)
    ends = {sum(map(len, blocks[:count])) for count in range(1, len(blocks))}
    for size in range(1, len(data)):
        path = put(data[:size])
        checked = verify(path, chain_of(blocks[-1]))
        assert not checked.ok
        kinds = found(checked)
        if size in ends:
            assert kinds == [("cut-off", checked.blocks + 1)] and verify(path).ok
            continue
        number = sum(end <= size for end in ends) + 1
        assert kinds[0] == ("torn", number), size
        assert checked.problems[0].line == data.count(b"\n", 0, max([0, *(e for e in ends if e <= size)])) + 1
        assert kinds[1:] == ([] if size == len(data) - 1 else [("cut-off", checked.blocks + 1)])


@pytest.mark.parametrize("bit", range(8))
def test_every_flipped_bit_is_reported_in_its_block(put: Put, blocks: list[bytes], bit: int) -> None:
    """Each single bit, anywhere: one problem, at the block and line where it is, and none elsewhere.

    Only the number of the last block has no neighbour to tell that it was altered.
    """
    data = b"".join(blocks)
    number_of_last = len(data) - len(blocks[-1]) + len("[[event]]\nsequence = ")
    starts = [sum(map(len, blocks[:count])) for count in range(len(blocks))]
    lines = [data.count(b"\n", 0, start) + 1 for start in starts]
    for at in range(len(data)):
        checked = verify(put(data[:at] + bytes([data[at] ^ 1 << bit]) + data[at + 1 :]))
        assert len(checked.problems) == 1, (at, checked.problems)
        problem = checked.problems[0]
        number = sum(start <= at for start in starts)
        assert (problem.block, problem.line) == (number, lines[number - 1]), at
        assert problem.kind == "altered" or at == number_of_last, at


@given(st.data())
@settings(max_examples=examples(80), deadline=None)
def test_no_other_bytes_are_taken_for_the_journal(tmp_path_factory: Any, data: st.DataObject) -> None:
    """Any few bytes replaced, put in or taken out anywhere are noticed, given the printed value."""
    chain, whole = START, b""
    for event in numbered(4, "[[event]]\n"):
        block, chain = encode(event, chain)
        whole += block
    start = data.draw(st.integers(0, len(whole)))
    stop = data.draw(st.integers(start, min(len(whole), start + 200)))
    other = data.draw(st.binary(max_size=20) | st.sampled_from([b"\n", b"\r\n", b"[[event]]\n", SEAL, CHAIN]))
    changed = whole[:start] + other + whole[stop:]
    path = tmp_path_factory.mktemp("any") / "journal.toml"
    path.write_bytes(changed)
    assert b"".join(piece.raw for piece in cut(changed)) == changed
    assert verify(path, chain).ok == (changed == whole)


def test_an_altered_block_is_named(put: Put, blocks: list[bytes]) -> None:
    """A changed answer in the middle: that block, its line, and the rest is sound."""
    data = b"".join(blocks).replace(b'answer = "rocks"', b'answer = "still"')
    checked = verify(put(data))
    assert found(checked) == [("altered", 2)]
    assert checked.problems[0].line == blocks[0].count(b"\n") + 1
    assert checked.blocks == 5 and checked.last_chain == chain_of(blocks[-1])


def test_an_altered_seal_is_told_from_an_altered_block(put: Put, blocks: list[bytes]) -> None:
    """If the next block still fits what the block's bytes give, only the seal was changed."""
    data = b"".join(blocks).replace(chain_of(blocks[1]).encode(), b"0" * 64)
    checked = verify(put(data))
    assert (
        found(checked) == [("altered", 2)] and "block itself is as it was written" in checked.problems[0].text
    )


def test_a_block_altered_and_sealed_anew_shows_at_the_next(put: Put, blocks: list[bytes]) -> None:
    """Who forges one seal must forge all that follow: the break moves to the next block."""
    forged, _ = encode({"sequence": 2, "kind": "answered", "answer": "still"}, chain_of(blocks[0]))
    checked = verify(put(b"".join([blocks[0], forged, *blocks[2:]])))
    assert found(checked) == [("altered", 3)]


def test_a_journal_forged_to_its_end_is_seen_against_the_printed_value(put: Put, make_blocks: Make) -> None:
    """All seals made anew hold; the value on paper is in no block."""
    true, forged = make_blocks(numbered(3, "rocks")), make_blocks(numbered(3, "still"))
    path = put(b"".join(forged))
    assert verify(path).ok
    checked = verify(path, grouped(chain_of(true[-1])))
    assert found(checked) == [("cut-off", 4)] and checked.printed == "absent" and checked.after == 0
    assert "rewritten" in checked.problems[0].text


@pytest.mark.parametrize("gone", [(0,), (2,), (1, 2), (3,)])
def test_missing_blocks_are_told_by_the_numbers(put: Put, blocks: list[bytes], gone: tuple[int, ...]) -> None:
    """Blocks left out before others: 'missing', at the block after the gap."""
    kept = [block for index, block in enumerate(blocks) if index not in gone]
    checked = verify(put(b"".join(kept)))
    assert found(checked) == [("missing", gone[0] + 1)]
    assert checked.problems[0].text.startswith("1 block is" if len(gone) == 1 else "2 blocks are")


def test_without_numbers_a_gap_is_altered_or_spliced(put: Put, make_blocks: Make) -> None:
    """The chain alone can't tell a missing block from an altered one, and the text says both."""
    blocks = make_blocks([{"a": 1}, {"a": 2}, {"a": 3}])
    checked = verify(put(blocks[0] + blocks[2]))
    assert found(checked) == [("altered", 2)] and "another journal" in checked.problems[0].text


@pytest.mark.parametrize(
    ("order", "problems"),
    [
        ((0, 2, 1, 3, 4), [("reordered", 2)]),
        ((1, 0, 2, 3, 4), [("reordered", 1)]),
        ((0, 1, 2, 4, 3), [("reordered", 4)]),
        ((0, 2, 3, 1, 4), [("reordered", 2)]),
        ((0, 3, 1, 2, 4), [("reordered", 2)]),
        ((0, 1, 1, 2, 3, 4), [("repeated", 3)]),
        ((0, 1, 2, 0, 1, 3, 4), [("repeated", 4), ("repeated", 5)]),
        ((0, 1, 2, 3, 4, 4), [("repeated", 6)]),
    ],
)
def test_moved_and_repeated_blocks(
    put: Put, blocks: list[bytes], order: tuple[int, ...], problems: list[tuple[str, int]]
) -> None:
    """The block that was moved or repeated is named, and the others are not."""
    checked = verify(put(b"".join(blocks[index] for index in order)))
    assert found(checked) == problems


@pytest.mark.parametrize(
    ("taken", "place", "spliced"),
    [((0, 1), 3, [4, 5]), ((3,), 2, [3]), ((2, 3), 1, [2, 3]), ((1, 2), 4, [5, 6]), ((0,), 1, [2])],
)
def test_blocks_put_in_from_another_journal(
    put: Put, make_blocks: Make, blocks: list[bytes], taken: tuple[int, ...], place: int, spliced: list[int]
) -> None:
    """Each block of the other session is named; the blocks after them are sound."""
    other = make_blocks(numbered(5, "another machine"))
    mixed = [*blocks[:place], *(other[index] for index in taken), *blocks[place:]]
    checked = verify(put(b"".join(mixed)))
    assert found(checked) == [("spliced", number) for number in spliced]
    assert checked.last_chain == chain_of(blocks[-1])


def test_an_end_from_another_journal(put: Put, make_blocks: Make, blocks: list[bytes]) -> None:
    """An end exchanged for another session's: the first strange block is named."""
    other = make_blocks(numbered(6, "another machine"))
    assert found(verify(put(b"".join([*blocks[:3], *other[3:]])))) == [("altered", 4)]
    assert found(verify(put(b"".join([*blocks[:3], *other[4:]])))) == [("missing", 4)]
    assert found(verify(put(b"".join([*blocks[:3], *other[1:]])))) == [("spliced", 4)]


def test_two_journals_of_one_beginning(put: Put, make_blocks: Make) -> None:
    """A copy worked on apart and pasted after the first: the second branch is spliced."""
    one = make_blocks([*numbered(2), {"sequence": 3, "text": "one"}, {"sequence": 4}])
    two = make_blocks([*numbered(2), {"sequence": 3, "text": "two"}])
    checked = verify(put(b"".join([*one, two[2]])))
    assert (
        found(checked) == [("spliced", 5)] and "written after block 2, as another" in checked.problems[0].text
    )
    other = make_blocks([{"sequence": 1, "text": "two"}])
    checked = verify(put(b"".join([*one, *other])))
    assert (
        found(checked) == [("spliced", 5)]
        and "written after the start, as another" in checked.problems[0].text
    )


def test_several_damages_are_all_reported(put: Put, make_blocks: Make) -> None:
    """The check goes on after each damage."""
    blocks = make_blocks(numbered(9, "text"))
    blocks[1] = blocks[1].replace(b"text", b"test", 1)
    mixed = [*blocks[:4], *blocks[5:7], blocks[6], b"scribble\n", *blocks[7:], b"[[event]]\nsequ"]
    checked = verify(put(b"".join(mixed)))
    assert found(checked) == [("altered", 2), ("missing", 5), ("repeated", 7), ("stray", 8), ("torn", 11)]
    assert [p.line for p in checked.problems] == sorted(p.line for p in checked.problems)


def test_a_block_after_a_ruined_one_is_unlinked(put: Put, blocks: list[bytes]) -> None:
    """With block and seal both changed, what follows can't be tied to it, and that is what is said."""
    blocks[1] = blocks[1].replace(b"rocks", b"still").replace(chain_of(blocks[1]).encode(), b"0" * 64)
    assert found(verify(put(b"".join(blocks)))) == [("altered", 2), ("unlinked", 3)]


def test_a_lost_last_newline_is_torn(put: Put, blocks: list[bytes]) -> None:
    """Whole but for its newline: named, with what mends it, and its chain value counts."""
    checked = verify(put(b"".join(blocks)[:-1]), chain_of(blocks[-1]))
    assert found(checked) == [("torn", 5)] and "mends it" in checked.problems[0].text
    assert checked.last_chain == chain_of(blocks[-1]) and checked.printed == "last"


def test_crlf_and_byte_order_marks_are_named_and_seen_through(put: Put, blocks: list[bytes]) -> None:
    """The change to the whole file is one problem, not one a block; damage behind it is still found."""
    data = b"".join(blocks)
    for changed in (data.replace(b"\n", b"\r\n"), b"\xef\xbb\xbf" + data):
        checked = verify(put(changed))
        assert found(checked) == [("converted", 1)] and checked.last_chain == chain_of(blocks[-1])
        assert checked.problems[0].line == 1
    damaged = data.replace(b"rocks", b"still").replace(b"\n", b"\r\n")
    assert found(verify(put(damaged))) == [("converted", 1), ("altered", 2)]


def test_a_sealed_block_that_is_no_event(put: Put, blocks: list[bytes]) -> None:
    """A seal over what is not TOML holds, and the block is still refused."""
    body = b"[[event]]\nanswer = \n" + SEAL
    chain = seal(chain_of(blocks[0]), body)
    data = blocks[0] + body + CHAIN + chain.encode() + b'"\n'
    assert found(verify(put(data))) == [("unreadable", 2)]


def test_an_empty_journal_is_a_problem(put: Put) -> None:
    """Nothing at all is not a session."""
    checked = verify(put(b""))
    assert found(checked) == [("empty", 1)] and checked.last_chain == START and checked.blocks == 0
    assert checked.problems[0].line == 1


def test_another_file_is_no_journal(put: Put) -> None:
    """A photo or a letter holds no block."""
    for data in (b"Dear diary\n", b"\xff\xd8\xff\xe0" * 50, "[[event]]\n".encode("utf-16")):
        checked = verify(put(data))
        assert not checked.ok and checked.blocks == 0


def test_a_missing_file_is_an_error(tmp_path: Path) -> None:
    """There is nothing to check."""
    with pytest.raises(JournalError, match="no such file"):
        verify(tmp_path / "journal.toml")


@pytest.mark.parametrize(
    "form", [str, grouped, str.upper, lambda c: grouped(c).upper() + "  ", lambda c: c[:20]]
)
def test_the_printed_value_is_found(put: Put, blocks: list[bytes], form: Callable[[str], str]) -> None:
    """Typed from the report in any case and spacing, whole or in part."""
    path = put(b"".join(blocks))
    last = verify(path, form(chain_of(blocks[-1])))
    assert last.ok and last.printed == "last" and last.after == 0 and last.notes
    earlier = verify(path, form(chain_of(blocks[2])))
    assert earlier.ok and earlier.printed == "earlier" and earlier.after == 2
    assert "2 blocks were added after" in earlier.notes[0]


@pytest.mark.parametrize("value", ["", "abcd", "abcd ef01 2345 678", "abcd ef01 2345 678g", "0" * 65])
def test_a_mistyped_printed_value_is_said(put: Put, blocks: list[bytes], value: str) -> None:
    """A value that can't be one is the user's slip, not a cut-off journal."""
    with pytest.raises(UsageError, match="16 digits"):
        verify(put(b"".join(blocks)), value)


def test_an_event_with_a_key_chain_is_torn_like_any_other(put: Put) -> None:
    """A line that looks like a chain inside an event is not taken for its seal."""
    block, _ = encode({"sequence": 1, "chain": "ab" * 32, "more": 1}, START)
    end = block.index(b"more = ")
    assert found(verify(put(block[:end]))) == [("torn", 1)]


def test_verifying_alters_nothing(put: Put, blocks: list[bytes]) -> None:
    """Neither the file nor the folder changes."""
    path = put(b"".join(blocks) + b"[[ev")
    before = path.read_bytes()
    verify(path)
    assert path.read_bytes() == before and list(path.parent.iterdir()) == [path]


def test_a_large_ruin_ends_soon(put: Put, make_blocks: Make) -> None:
    """Thousands of blocks that fit nothing are reported within bounds, not in hours."""
    blocks = make_blocks(numbered(3000, "x" * 200))
    data = b"".join(blocks[1::2])
    code = (
        "import sys, pathlib; from wizard.journal.journal_verification import verify;"
        "print(len(verify(pathlib.Path(sys.argv[1])).problems))"
    )
    out = subprocess.run(
        [sys.executable, "-c", code, str(put(data))], capture_output=True, timeout=60, text=True
    )
    assert out.stdout.strip() == "1500"


@pytest.mark.parametrize("end", [b"\0" * 40, b"[[eve\0\0\0\0\0\0", b"[[event]]\n\0\0\0"])
def test_zeros_at_the_end_are_a_torn_write(put: Put, blocks: list[bytes], end: bytes) -> None:
    """A power cut can leave a file longer than what was written in it."""
    assert found(verify(put(b"".join(blocks) + end))) == [("torn", 6)]


def test_the_last_sound_chain_is_not_that_of_an_altered_end(put: Put, blocks: list[bytes]) -> None:
    """What an altered last block says of itself counts for nothing."""
    checked = verify(put(b"".join(blocks).replace(b"re-level", b"re-lever")))
    assert found(checked) == [("altered", 5)] and checked.last_chain == chain_of(blocks[3])


def with_other_seals(blocks: list[bytes], places: range) -> bytes:
    """The journal with the seals of some blocks altered, the blocks themselves as they were."""
    return b"".join(
        block.replace(chain_of(block).encode(), f"{place:064x}".encode()) if place in places else block
        for place, block in enumerate(blocks)
    )


def test_several_altered_seals_in_a_row_are_seen_through_up_to_three(put: Put, make_blocks: Make) -> None:
    """Each doubles what may have been; at four the block behind them can't be tied any more."""
    blocks = make_blocks(numbered(8))
    three = verify(put(with_other_seals(blocks, range(1, 4))))
    assert [block for _, block in found(three)] == [2, 3, 4]
    four = verify(put(with_other_seals(blocks, range(1, 5))))
    assert [block for _, block in found(four)] == [2, 3, 4, 5, 6] and found(four)[-1][0] == "unlinked"


def test_each_piece_is_known_by_what_it_was_written_after(make_blocks: Make) -> None:
    """By its place from 0, -1 for the start; None for what hangs on nothing here."""
    blocks = make_blocks(numbered(5))

    def before(*order: int) -> list[int | None]:
        links = TamperCheck(cut(b"".join(blocks[place] for place in order)), "sequence")
        return [links.before[index] for index in range(len(order))]

    assert before(0, 1, 2) == [-1, 0, 1]
    assert before(0, 1, 1, 0, 2) == [-1, 0, 0, -1, 1]
    assert before(1, 0, 2) == [1, -1, 0]
    assert before(0, 2, 3) == [-1, None, 1]


@pytest.mark.parametrize("place", [0, 2, 4])
def test_a_block_whose_seal_is_no_seal_any_more_is_altered_and_those_around_it_are_not(
    put: Put, make_blocks: Make, place: int
) -> None:
    """A letter in the chain line that is no hex digit: what follows is tied to the block as it was written."""
    blocks = make_blocks(numbered(5))
    blocks[place] = blocks[place].replace(b'chain = "', b'chain = "g', 1)
    assert found(verify(put(b"".join(blocks)))) == [("altered", place + 1)]
    links = TamperCheck(cut(b"".join(blocks)), "sequence")
    assert links.before == {n: None if n == place else n - 1 for n in range(5)}


def test_a_block_cut_short_in_the_middle_is_altered_and_not_torn(put: Put, make_blocks: Make) -> None:
    """Only the last write can have been cut off."""
    blocks = make_blocks(numbered(4, "text"))
    short = [blocks[0], b'[[event]]\nsequence = 2\ntext = "te\n', *blocks[2:]]
    assert found(verify(put(b"".join(short))))[0] == ("altered", 2)
    assert found(verify(put(b"".join(blocks[:3]) + short[1]))) == [("torn", 4)]


@pytest.mark.parametrize(("bytes_less", "kind"), [(0, "reordered"), (1, "altered")])
def test_the_search_for_a_place_ends_when_its_bytes_are_spent(
    put: Put, make_blocks: Make, monkeypatch: pytest.MonkeyPatch, bytes_less: int, kind: str
) -> None:
    """Held against the start, itself and the block that it was written after: three times its length, no less."""
    blocks = make_blocks([{"text": "one"}, {"text": "two"}, {"text": "three"}])
    data = blocks[1] + blocks[0] + blocks[2]
    monkeypatch.setattr(tamper_check, "_MOST_BYTES", 3 * len(cut(data)[0].body) - bytes_less)
    assert found(verify(put(data)))[0] == (kind, 1)


def test_a_block_is_named_for_one_thing(put: Put, blocks: list[bytes]) -> None:
    """Repeated at the end, where its last newline is missing too: that it is there once more says more."""
    assert found(verify(put(b"".join(blocks) + blocks[-1][:-1]))) == [("repeated", 6)]


@pytest.mark.parametrize("first", [0, 1])
@pytest.mark.parametrize("place", [0, 1, 3])
def test_an_altered_text_is_altered_wherever_it_stands(
    put: Put, make_blocks: Make, first: int, place: int
) -> None:
    """At the start too, whether a journal numbers from 0 or from 1: nothing is missing before it."""
    blocks = make_blocks([{"sequence": first + number, "text": "rocks"} for number in range(4)])
    blocks[place] = blocks[place].replace(b"rocks", b"rests")
    checked = verify(put(b"".join(blocks)))
    assert found(checked) == [("altered", place + 1)] and "Its seal does not fit" in checked.problems[0].text


def test_a_last_seal_is_torn_while_it_is_shorter_than_a_seal(put: Put, blocks: list[bytes]) -> None:
    """Whole in length with a letter in it that is no digit: altered. One byte less, and it may be a cut-off write."""
    broken = blocks[-1].replace(b'chain = "' + chain_of(blocks[-1])[:1].encode(), b'chain = "g', 1)
    assert len(broken) == len(blocks[-1])
    for less, kind in ((0, "altered"), (1, "torn"), (2, "torn"), (4, "torn")):
        data = b"".join(blocks[:-1]) + broken[: len(broken) - less]
        assert found(verify(put(data))) == [(kind, 5)], less


@pytest.mark.parametrize(("damaged", "whole"), [(4, True), (5, False)])
def test_the_line_before_a_seal_may_be_damaged_in_four_places(
    put: Put, blocks: list[bytes], damaged: int, whole: bool
) -> None:
    """Then the chain value below it still counts as one; with more it is a line of the event like any other."""
    line = SEAL[: len(SEAL) - 2 - damaged] + b"*" * damaged + SEAL[-2:]
    blocks[1] = blocks[1].replace(SEAL, line)
    checked = verify(put(b"".join(blocks)))
    assert found(checked)[0] == ("altered", 2)
    assert ("no whole seal" not in checked.problems[0].text) is whole


@pytest.mark.parametrize(("value", "count"), [(7, 7), (0, 0), (True, None), ("7", None), (7.0, None)])
def test_only_a_whole_number_counts(make_blocks: Make, value: object, count: int | None) -> None:
    (piece,) = cut(make_blocks([{"sequence": value}])[0])
    assert piece.count("sequence") == count and piece.count("other") is None


def test_a_file_that_begins_with_a_seal_s_line_is_altered(put: Put) -> None:
    """There is no block above it, and what stands below is longer than a seal."""
    assert found(verify(put(SEAL + b"x" * 100))) == [("altered", 1)]
