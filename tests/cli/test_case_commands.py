"""``steadfoot case``: cases played without a screen, and made of a session."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path

from tests.cli.conftest import Run, work
from tests.helpers.jobs import GOOD, good
from wizard.flow.loading.case_loader import load_cases
from wizard.flowcheck.cases.case_player import play
from wizard.flowcheck.cases.case_result import Played
from wizard.flowcheck.cases.effort import effort

WORN = GOOD / "cases" / "worn.toml"


@cache
def worn() -> Played:
    """That case, played."""
    return play(good(), next(case for case in load_cases(GOOD, good()) if case.id == "worn"))


def test_a_case_in_its_flow_is_played(run: Run) -> None:
    """One line a case: how it ended, the fault, minutes and answers."""
    said = run("case", "run", str(WORN))
    assert (said.code, said.err) == (0, "")
    decided, closed = effort(good(), worn().records)
    assert said.out == (
        f"as said  worn: proved; dampers-worn; {worn().minutes:g} min; {decided.asked} asked to decide, "
        f"{closed.asked} to close; {closed.keys} keys\n"
    )


def test_a_folder_stands_for_the_cases_in_it(run: Run) -> None:
    """All of them are played, in the order of their names."""
    said = run("case", "run", str(GOOD / "cases"))
    assert [line.split()[2].rstrip(":") for line in said.out.splitlines()] == ["hot-plug", "worn"]


def several(folder: Path) -> Path:
    """A file of two cases: worn dampers, and the same with no scale to hand."""
    path = folder / "dampers.toml"
    more = '\n[[case]]\nid = "no-scale"\nbase = "worn"\nattempt = []\n[case.after]\n'
    more += '"dampers.pull" = { unable = "No scale." }\n[case.expect]\noutcome = "not-proved"\n'
    path.write_text(WORN.read_text(encoding="utf-8") + more, encoding="utf-8")
    return path


def test_a_file_may_hold_several_cases(run: Run, tmp_path: Path) -> None:
    """Each is played, in the order of the file."""
    said = run("case", "run", str(several(tmp_path)), "--flow", str(GOOD))
    assert said.code == 0, said.out
    assert [line.split(":")[0] for line in said.out.splitlines()] == ["as said  worn", "as said  no-scale"]


def test_one_case_of_a_file_is_played_by_its_id(run: Run, tmp_path: Path) -> None:
    """The others are left out; an id that isn't there is told with the nearest, as wrong usage."""
    path = several(tmp_path)
    said = run("case", "run", str(path), "--flow", str(GOOD), "--case", "no-scale")
    assert said.code == 0 and [line.split(":")[0] for line in said.out.splitlines()] == ["as said  no-scale"]
    said = run("case", "run", str(path), "--flow", str(GOOD), "--case", "no-scales")
    assert said.code == 2 and 'Did you mean "no-scale"?' in said.err


def test_an_answer_that_is_never_asked_for_fails_the_case(run: Run, tmp_path: Path) -> None:
    """It tests nothing, whatever it says."""
    path = tmp_path / "worn.toml"
    text = WORN.read_text(encoding="utf-8")
    path.write_text(
        text.replace("[case.answers]", '[case.answers]\n"leave-waiting.tag" = "done"'), encoding="utf-8"
    )
    said = run("case", "run", str(path), "--flow", str(GOOD))
    assert said.code == 7 and '"leave-waiting.tag" is answered, and was never asked.' in said.out


def test_json_has_what_decided_it(run: Run) -> None:
    """Faults decided, minutes, path, how it was left and what is believed of the machine."""
    (table,) = json.loads(run("case", "run", str(WORN), "--json").out)
    assert table["decided"] == ["dampers-worn"]
    assert table["outcome"] == "proved" and table["minutes"] == worn().minutes
    assert table["left"] == "left-in-use" and table["machine"]["told"] == ["yes"]
    assert table["attempts"][0]["refused"] == "unknown"
    assert table["path"][1] == {
        "step": "quick.bolts", "phase": "before", "chosen": ["no"], "how": "answer", "verdict": "pass", "reach": "look",
        "condition": "",
    }  # fmt: skip
    assert len(table["path"]) == len(worn().path)


def test_a_case_that_ends_otherwise_is_code_7(run: Run, tmp_path: Path) -> None:
    """It says what came out otherwise; the other cases are played all the same."""
    other = tmp_path / "other.toml"
    text = WORN.read_text(encoding="utf-8")
    other.write_text(text.replace('outcome = "proved"', 'outcome = "declined"'), encoding="utf-8")
    said = run("case", "run", str(other), str(WORN), "--flow", str(GOOD))
    assert said.code == 7
    assert "NOT SO  worn: proved" in said.out
    assert "outcome is proved, not declined." in said.out
    assert "as said  worn" in said.out
    assert said.err == "steadfoot: 1 case of 2 ended otherwise than it says.\n"


def test_a_file_that_is_no_case_is_code_3_with_every_problem(run: Run, tmp_path: Path) -> None:
    """Each problem has file, line and column."""
    broken = tmp_path / "broken.toml"
    text = WORN.read_text(encoding="utf-8")
    broken.write_text(text.replace('"swings"', '"swing"').replace('"dampers-worn"', '"dampers-wrn"'), "utf-8")
    said = run("case", "run", str(broken), "--flow", str(GOOD))
    assert said.code == 3
    assert "broken.toml:8:" in said.err and 'Did you mean "swings"?' in said.err
    assert "Traceback" not in said.err


def test_a_case_without_a_flow_around_it_needs_one_named(run: Run, tmp_path: Path) -> None:
    """Exit code 2, and how to say it."""
    lost = tmp_path / "lost.toml"
    lost.write_bytes(WORN.read_bytes())
    said = run("case", "run", str(lost))
    assert said.code == 2 and "--flow" in said.err


def test_a_file_that_isnt_there_is_code_2(run: Run, tmp_path: Path) -> None:
    """It is named."""
    said = run("case", "run", str(tmp_path / "none.toml"))
    assert said.code == 2 and "none.toml: there is no such file" in said.err


def test_an_empty_folder_is_code_2(run: Run, tmp_path: Path) -> None:
    """Playing nothing is never a success."""
    assert run("case", "run", str(tmp_path)).code == 2


def test_a_broken_flow_is_told_with_its_places(run: Run, tmp_path: Path) -> None:
    """A case of a flow that has errors isn't played."""
    flow = tmp_path / "flow"
    for path in GOOD.rglob("*.toml"):
        target = flow / path.relative_to(GOOD)
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(path.read_bytes())
    said = run("case", "run", str(flow / "cases" / "worn.toml"))
    assert said.code == 3
    assert "drawing" in said.err and ":" in said.err


def test_a_session_becomes_a_case_that_plays_the_same(run: Run, session: str, tmp_path: Path) -> None:
    """What 'case from' writes is what 'case run' plays, to the same end."""
    text = run("case", "from", session, "--name", "from-shop").out
    made = tmp_path / "made.toml"
    made.write_text(text, encoding="utf-8")
    said = run("case", "run", str(made), "--flow", str(GOOD))
    assert said.code == 0, said.out
    assert said.out.startswith("as said  from-shop: proved; dampers-worn;")


def test_a_session_without_answers_is_said(run: Run, home: Path) -> None:
    """Exit code 7: there is no case in it."""
    said = run("case", "from", work(home, acts=0))
    assert said.code == 7 and "nothing was answered yet" in said.err


def test_by_the_advice_the_minutes_of_both_stand_side_by_side(run: Run) -> None:
    """The job by the advice, in brackets what the flow's own order takes; the sum of the cases that end as they
    say.
    """
    said = run("case", "run", str(GOOD / "cases"), "--follow", "advice")
    lines = said.out.splitlines()
    assert f"min (in the flow's order {worn().minutes:g});" in next(
        line for line in lines if "worn: proved" in line
    )
    assert "min by the advice," in lines[-1] and lines[-1].endswith("in the flow's order.")
    assert lines[-7].split() == ["median", "of", "a", "case", "advice", "order"]
    assert lines[-6].startswith("  answers and readings to decide")


def test_json_says_what_was_followed(run: Run) -> None:
    """By the order that is one word; by the advice the order's end stands beside it."""
    (table,) = json.loads(run("case", "run", str(WORN), "--json").out)
    assert table["follow"] == "order" and "order" not in table
    (table,) = json.loads(run("case", "run", str(WORN), "--follow", "advice", "--json").out)
    assert table["follow"] == "advice" and table["top"] == "dampers-worn"
    assert table["order"] == {
        "ok": True,
        "outcome": "proved",
        "top": "dampers-worn",
        "minutes": worn().minutes,
    }


def test_another_word_to_follow_is_code_2(run: Run) -> None:
    """The two words are named."""
    said = run("case", "run", str(WORN), "--follow", "luck")
    assert said.code == 2 and "order" in said.err and "advice" in said.err
