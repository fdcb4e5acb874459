"""The proofs of a flow that need the engine or the diagnosis: each problem with a witness that shows it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import TYPE_CHECKING

from wizard.engine.draft import Rules
from wizard.errors import CaseFailed
from wizard.flow.case import Case
from wizard.flow.model import Flow
from wizard.proof.proofs import able, closing, debts, ends, faults, gates, limits, played, safe, spins
from wizard.proof.proofs.machines import Routes
from wizard.proof.proofs.owing import Ledger
from wizard.proof.proofs.played import Coverage, coverage
from wizard.proof.proofs.shown import Places, Shown
from wizard.proof.proofs.ways import Maps

if TYPE_CHECKING:
    from wizard.flow.rules.book import Book
    from wizard.proof.cases import Played

__all__ = ["Coverage", "Shown", "coverage", "prove", "prove_cases", "prove_played"]


def prove(flow: Flow, cases: Iterable[Case] | None = None, book: Book | None = None) -> tuple[Shown, ...]:
    """Everything that is wrong with a flow as it is worked, errors and warnings, in the order of their places.

    The flow must have passed the static check. ``cases`` are played too, and each fault must have one; None leaves
    both out. ``book`` (``wizard.flow.check.examine``) gives the places in the files.
    """
    places = Places(book)
    routes = Routes(Maps(Rules.of(flow)))
    ledger = Ledger(routes)
    found = [
        *gates.passed(ledger, places),
        *safe.safe(routes, places),
        *safe.reached(routes, places),
        *spins.spins(ledger, places),
        *debts.owed(ledger, places),
        *closing.closing(ledger, places),
        *ends.unable(ledger, places),
        *able.able(ledger, places),
        *able.lifts(ledger, places),
        *limits.limits(flow, places),
        *faults.faults(flow, places),
    ]
    if cases is not None:
        told = tuple(cases)
        found += faults.without_case(flow, places, told)
        found += played.failed(places, played.run(flow, told))
    return _in_order(_as_far_as_it_goes(flow, problem) for problem in found)


def _as_far_as_it_goes(flow: Flow, problem: Shown) -> Shown:
    """The problem with its path up to where the engine refuses to go on; all of it where nothing is refused.

    A path with a step that no reading can bring to the answer wanted (a computed one) is left as it is.
    """
    if not any(line.startswith("open ") for line in problem.witness):
        return problem
    from wizard.proof.follow import follow  # Late: a sound flow needs no session.

    try:
        end = follow(flow, problem.witness)
    except CaseFailed:
        return problem
    return replace(problem, witness=problem.witness[: end.at + 1])


def prove_cases(flow: Flow, cases: Iterable[Case], book: Book | None = None) -> tuple[Shown, ...]:
    """Each fault that has no case; the cases are not played."""
    return _in_order(faults.without_case(flow, Places(book), cases))


def prove_played(flow: Flow, results: Iterable[Played], book: Book | None = None) -> tuple[Shown, ...]:
    """What is wrong with cases that were played already."""
    return _in_order(played.failed(Places(book), results))


def _in_order(found: Iterable[Shown]) -> tuple[Shown, ...]:
    """Each once, by its place."""
    return tuple(sorted(set(found), key=lambda p: p.place))
