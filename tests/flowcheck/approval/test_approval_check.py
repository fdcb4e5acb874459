"""A flow compared with what lies beside it: where a difference stands, what is said of it, and how grave it is."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from tests.helpers.flows.flow_folders import edited, good
from wizard.domain.vocabulary import Severity
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.loading.static_check import examine
from wizard.flow.parsing.flow_files import read_folder
from wizard.flowcheck.approval.approval_check import ApprovalBeside, approved
from wizard.flowcheck.approval.approval_file import Approval
from wizard.flowcheck.approval.flow_claims import claims
from wizard.flowcheck.flow_check import check
from wizard.flowcheck.model.counterexample import Counterexample

LIBRARY = "library/machine.toml"
DAMPERS = "inspections/dampers.toml"


def beside(files: Mapping[str, bytes] | None = None) -> ApprovalBeside:
    """The approval of these files, the small flow's where they are left out."""
    flow = examine(files or good()).flow
    assert flow is not None
    at = "2026-03-02T09:00:00Z"
    return ApprovalBeside("bounce", Approval(flow.id, "R. Vale", at, "First reading", claims(flow)))


def found(files: Mapping[str, bytes], approval: ApprovalBeside | None = None) -> list[Counterexample]:
    """What the whole check says of the approval."""
    some = [p for p in check(files, beside=approval or beside()).problems if p.rule == "approved"]
    return [
        p if isinstance(p, Counterexample) else Counterexample(*p.place[:4], p.rule, p.severity) for p in some
    ]


def without_bounce() -> dict[str, bytes]:
    """The other files of the small flow that name the step, naming it leap."""
    return {
        name: data.replace(b"dampers.bounce", b"dampers.leap")
        for name, data in good().items()
        if b"dampers.bounce" in data
    }


def test_what_was_approved_is_nothing_to_tell() -> None:
    """Neither an error nor a warning, and without anything beside it nothing is compared."""
    assert found(good()) == []
    assert [p for p in check(good()).problems if p.rule == "approved"] == []


def test_a_need_that_is_gone_is_an_error_where_it_stood() -> None:
    """At the needs of its row, once, with the reaches that inherit it; who approved it, when, and how to go on."""
    files = edited(LIBRARY, 'charge = ["bled"], dead = ["proved"]', 'charge = ["bled"]')
    (wrong,) = found(files)
    assert wrong.severity is Severity.ERROR
    assert '"reach terminals: needs dead = proved" is gone; R. Vale approved it on 2026-03-02' in wrong.text
    assert wrong.text.endswith("Put it back, or have it approved: steadfoot flow approve bounce")
    line = files[LIBRARY].decode().splitlines()[wrong.line - 1]
    assert line[wrong.column - 1 :].startswith(
        '{ capacitor-seen = ["yes"], capacitor = ["bled", "none"], charge = ["bled"] }'
    )
    assert wrong.names == ("and so at reach lift",)


def test_a_need_that_is_wider_is_an_error_at_its_values() -> None:
    """The values as they are and as they were."""
    files = edited(LIBRARY, 'wedge = ["in"], service', 'wedge = ["in", "loose"], service')
    (wrong,) = found(files)
    assert '"reach inside: needs wedge" is in, loose; R. Vale approved in on 2026-03-02' in wrong.text
    line = files[LIBRARY].decode().splitlines()[wrong.line - 1]
    assert line[wrong.column - 1 :].startswith('["in", "loose"]')


def test_a_condition_that_rests_on_less_is_an_error() -> None:
    """The check proves that the flow can be gone through; that the proof of dead outlives the power, only this."""
    rest = 'verified = ["yes"], capacitor-seen = ["yes"], capacitor = ["bled", "none"], charge = ["bled"] }'
    old = f'while = {{ supply = ["held", "locked"], {rest}'
    files = edited(LIBRARY, old, f"while = {{ {rest}")
    assert check(files).sound
    (wrong,) = found(files)
    assert "condition dead: holds while supply" in wrong.text and wrong.severity is Severity.ERROR


def test_what_asks_for_more_is_a_warning() -> None:
    """In one line; the flow is sound."""
    files = edited(LIBRARY, 'charge = ["bled"], dead = ["proved"]', 'charge = ["bled"]')
    warned = check(good(), beside=beside(files))
    (told,) = [p for p in warned.problems if p.rule == "approved"]
    assert told.severity is Severity.WARNING and warned.sound
    assert (
        "is new since R. Vale approved the flow on 2026-03-02. More is asked than was approved" in told.text
    )


def test_a_step_that_is_gone_is_one_error_and_one_that_is_new_another() -> None:
    """With the claims that it had, or has: a step that nobody approved is shown to nobody's hands."""
    text = good()[DAMPERS].decode().replace('"bounce"', '"leap"')
    renamed = good(**{DAMPERS: text.encode(), **without_bounce()})
    both = [p for p in found(renamed) if "step dampers." in p.text]
    assert any('"step dampers.bounce" is gone, with' in p.text for p in both)
    new = next(p for p in both if '"step dampers.leap" is new' in p.text and p.severity is Severity.ERROR)
    assert "is shown at reach" in " ".join(new.names)


def test_nobody_approved_is_one_warning() -> None:
    """At the flow's id, with the commands that list and approve."""
    (told,) = found(good(), ApprovalBeside("bounce"))
    assert told.severity is Severity.WARNING and told.file == "flow.toml"
    assert "flow claims bounce" in told.text and "flow approve bounce" in told.text


@pytest.mark.parametrize(
    "approval",
    [
        ApprovalBeside("bounce", unreadable="bounce.approved.toml: this is not what flow approve wrote."),
        ApprovalBeside("bounce", Approval("other", "R. Vale", "2026-03-02T09:00:00Z", "So", ())),
    ],
)
def test_what_is_no_approval_of_this_flow_is_an_error(approval: ApprovalBeside) -> None:
    """One that can't be read, or is another flow's."""
    (wrong,) = found(good(), approval)
    assert wrong.severity is Severity.ERROR and wrong.file == "flow.toml"


def test_form_comes_first() -> None:
    """A flow with errors of form is compared once they are mended."""
    files = edited(DAMPERS, "minutes = 20", "minuts = 20")
    assert found(files) == []


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        (
            'charged = "MAY HOLD CHARGE", bled = "CHARGE GONE"', 'charged = "CHARGE GONE", bled = "MAY HOLD CHARGE"',
            "condition charge: has a word of the badge",
        ),
        (
            'charged = "may be charged", bled = "discharged, measured", none',
            'charged = "discharged, measured", bled = "may be charged", none', "condition capacitor: has a value",
        ),
        ('says = "Run capacitor looked for"', 'says = "Nothing"', "condition capacitor-seen: is called"),
    ],
)  # fmt: skip
def test_words_that_hands_go_by_are_claims(old: str, new: str, says: str) -> None:
    """Form and proofs find nothing in words that say the opposite: an error where they stand."""
    files = edited(LIBRARY, old, new)
    assert check(files).sound
    wrong = [p.text for p in found(files) if p.severity is Severity.ERROR]
    assert any(says in text for text in wrong), wrong


def test_how_something_is_known_is_a_claim() -> None:
    """'Measured' of what was seen would stand so on the customer's paper."""
    files = edited(
        "library/procedures/isolation/power.toml",
        'id = "try"\n',
        'id = "try"\nknown_of = { motion = "measured" }\n',
    )
    told = [p for p in check(files, beside=beside()).problems if p.rule == "approved"]
    assert any("known of motion = measured" in str(p) for p in told)


def test_a_need_that_a_flow_adds_is_missed_in_the_flows_own_row() -> None:
    """The library never had it: who looks there finds nothing to put back."""
    folder = folder_of("washer-shake")
    files = read_folder(folder)
    text = files["flow.toml"].decode("utf-8")
    gone = text.replace(', in-drum = ["empty"] }', " }")
    assert gone != text
    examined = examine({**files, "flow.toml": gone.encode("utf-8")})
    assert examined.flow is not None and examined.index is not None
    (told,) = approved(examined.flow, examined.index, ApprovalBeside.of(folder))
    assert "left-in-use: needs in-drum = empty" in told.text and told.file == "flow.toml"
