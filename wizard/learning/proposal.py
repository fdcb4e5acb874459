"""What was learned of a flow, as a file beside its folder: each number old and new, and what was taken of it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

import tomli_w

from wizard.errors import FlowError, UsageError
from wizard.flow.model import Flow
from wizard.foreign.file_reader import read_file
from wizard.foreign.limits import Source
from wizard.foreign.toml_reader import read_toml
from wizard.journal.codec import from_table, to_table
from wizard.learning.estimate import Estimate, NumberId, NumberStanding
from wizard.learning.learner import Learned
from wizard.learning.numbered_flow import decimals, written
from wizard.learning.observation import LeftOut
from wizard.learning.proposal_rows import FORMAT, NumberRow, ProposalTable, TakingRow, short

ENDING = ".learned.toml"
HEAD = """# What closed sessions say of this flow's numbers, by `steadfoot flow learn`; written anew each time.
# The flow takes none of it by itself: --take ID or --take-all, and --undo.
# low to high: where the number lies 95 times in 100. missing: so many more sessions are wanted.
# why: what the check would say of a learned number that is not offered. gain: bits a later case.
# score: numbers of the earlier sessions on the later ones, less is better.
# taken: what was written into the flow, and what stood there before.
"""


@dataclass(frozen=True, slots=True)
class ProposedNumber:
    """One number: the estimate, ``new`` as it would be written, and its ``gain`` in bits a later case, or 0."""

    estimate: Estimate
    new: float
    gain: float = 0.0

    @property
    def id(self) -> NumberId:
        """Which number."""
        return self.estimate.id


@dataclass(frozen=True, slots=True)
class Taking:
    """Numbers that were written into the flow: when, what stood ``before``, and what stands since."""

    at: str
    before: Mapping[NumberId, float]
    since: Mapping[NumberId, float]


@dataclass(frozen=True, slots=True)
class Proposal:
    """All of the file. ``taken``: oldest first; the oldest of a number has what its trainer wrote.

    ``score``: of the numbers learned from the earlier sessions, on the later ones; empty where there are too few.
    """

    flow: str
    version: str
    digest: str
    at: str
    proved: int
    unproved: int
    left_out: Mapping[str, tuple[str, ...]]
    score: Mapping[str, float]
    numbers: tuple[ProposedNumber, ...]
    taken: tuple[Taking, ...] = ()

    @property
    def trainer(self) -> dict[NumberId, float]:
        """What the numbers that were taken had been before anything was learned."""
        first: dict[NumberId, float] = {}
        for taking in self.taken:
            for number, value in taking.before.items():
                first.setdefault(number, value)
        return first

    def chosen(self, ids: Iterable[NumberId] | None = None) -> dict[NumberId, float]:
        """Return the numbers to write: those named, or all that change where None is given. With a share of a kind come
        all that change of that kind, since they are percent of one whole; with a number of a curve that curve's.

        UsageError where one named isn't there, has too few sessions, or would make the flow unsound.
        """
        known = {number.id: number for number in self.numbers}
        wholes = _wholes(self.numbers)
        if ids is None:
            ids = [n.id for n in self.numbers if n.estimate.standing is NumberStanding.CHANGE]
        asked = list(dict.fromkeys(ids))
        for number in asked:
            if number not in known:
                raise UsageError(f"{number}: nothing was learned of such a number. See flow learn --all.")
            if missing := known[number].estimate.missing:
                raise UsageError(f"{number}: too few sessions speak for it; {missing} more are wanted.")
            if why := known[number].estimate.why:
                raise UsageError(f"{number} is not offered: {why}.")
        wanted = dict.fromkeys(whole for i in asked if (whole := i.whole) is not None)
        together = [i for whole in sorted(wanted, key=str) for i in wholes.get(whole, ())]
        some = dict.fromkeys((*asked, *together))
        return {i: known[i].new for i in some if known[i].new != known[i].estimate.old}


def _as_written(estimate: Estimate) -> float:
    """A number as it would be written: the flow's own where none is offered."""
    kept = estimate.missing or estimate.why
    return estimate.old if kept else written(estimate.id, estimate.new)


def _wholes(numbers: Iterable[ProposedNumber]) -> dict[NumberId, list[NumberId]]:
    """The numbers that change together, by what they are a part of."""
    found: dict[NumberId, list[NumberId]] = {}
    for number in numbers:
        whole, estimate = number.id.whole, number.estimate
        if whole is not None and not estimate.missing and not estimate.why:
            found.setdefault(whole, []).append(number.id)
    return found


def path_of(folder: Path) -> Path:
    """Return where what was learned of the flow in a folder lies: beside it, since it is no part of the flow."""
    whole = folder.resolve()
    return whole.with_name(whole.name + ENDING)


def propose(
    flow: Flow, learned: Learned, left: Iterable[LeftOut], at: str, taken: tuple[Taking, ...] = ()
) -> Proposal:
    """Return what was learned as a proposal; ``taken`` is kept from the one before."""
    out: dict[str, tuple[str, ...]] = {}
    for one in left:
        out[one.why.value] = (*out.get(one.why.value, ()), one.session)
    held = learned.held_out
    gains = held.gains if held is not None else {}
    numbers = tuple(ProposedNumber(e, _as_written(e), gains.get(e.id, 0.0)) for e in learned.estimates)
    score: dict[str, float] = {}
    if held is not None:
        score["sessions"] = held.sessions
        for name, paired in (("log-loss", held.log_loss), ("brier", held.brier)):
            score |= {
                f"{name}-old": paired.old, f"{name}-new": paired.new,
                f"{name}-change-low": paired.low, f"{name}-change-high": paired.high,
            }  # fmt: skip
    return Proposal(
        flow.id, flow.version, flow.digest, at, learned.proved, learned.unproved, out, score, numbers, taken
    )


def to_toml(proposal: Proposal) -> bytes:
    """Return the bytes of the file."""
    table = ProposalTable(
        FORMAT, proposal.flow, proposal.version, proposal.digest, proposal.at, proposal.proved, proposal.unproved,
        proposal.left_out,
        {name: short(value) for name, value in proposal.score.items()},
        tuple(NumberRow.of(n.estimate, n.new, n.gain) for n in proposal.numbers),
        tuple(TakingRow(t.at, _texts(t.before), _texts(t.since)) for t in proposal.taken),
    )  # fmt: skip
    return (HEAD + tomli_w.dumps(to_table(table))).encode("utf-8")


def load(path: Path) -> Proposal | None:
    """Return the proposal of a file; None where there is no file. FlowError where it is none, or can't be read."""
    try:
        return _proposal(
            from_table(ProposalTable, read_toml(read_file(path, Source.PROPOSAL), Source.PROPOSAL))
        )
    except FileNotFoundError:
        return None
    except OSError as error:
        raise FlowError(f"{path}: can't be read ({error.strerror}). Look at its permissions.") from error
    except ValueError as problem:
        text = f"{path}: this is not what flow learn wrote ({problem!s:.200}). Remove it, then learn anew."
        raise FlowError(text) from problem


def _proposal(table: ProposalTable) -> Proposal:
    """The proposal that a file holds. ValueError where it is none."""
    if table.format != FORMAT:
        raise ValueError(f"format {table.format} instead of {FORMAT}")
    return Proposal(
        table.flow, table.version, table.digest, table.at, table.proved, table.unproved, table.left_out,
        table.score,
        tuple(_proposed(row) for row in table.number),
        tuple(Taking(row.at, _ids(row.before), _ids(row.since)) for row in table.taken),
    )  # fmt: skip


def _proposed(row: NumberRow) -> ProposedNumber:
    estimate = row.estimate
    near = _as_written(estimate)
    if abs(row.new - near) > 1.5 * 10.0 ** -decimals(estimate.id, near):
        raise ValueError(f"{row.id}: {row.new:g} is not the number that was learned")
    return ProposedNumber(estimate, row.new, row.gain)


def _texts(numbers: Mapping[NumberId, float]) -> dict[str, float]:
    return {str(number): value for number, value in numbers.items()}


def _ids(table: Mapping[str, float]) -> dict[NumberId, float]:
    return {NumberId.read(name): value for name, value in table.items()}
