"""The proofs of a flow that need the engine or the diagnosis: each problem with a witness that shows it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from wizard.engine.draft import Rules
from wizard.flow.case import Case
from wizard.flow.model import Flow
from wizard.proof.cases import Played
from wizard.proof.proofs import debts, ends, faults, gates, limits, played, safe, spins
from wizard.proof.proofs.machines import Routes
from wizard.proof.proofs.owing import Ledger
from wizard.proof.proofs.played import Coverage, coverage
from wizard.proof.proofs.shown import Places, Shown
from wizard.proof.proofs.ways import Maps

if TYPE_CHECKING:
    from wizard.flow.rules.book import Book

__all__ = ["Coverage", "Shown", "coverage", "prove", "prove_played"]


def prove(flow: Flow, cases: Iterable[Case] | None = None, book: Book | None = None) -> tuple[Shown, ...]:
    """Everything that is wrong with a flow as it is worked, errors and warnings, in the order of their places.

    The flow must have passed the static check. ``cases`` are played too, and each fault must have one; None leaves
    both out. ``book`` (``wizard.flow.check.examine``) gives the places in the files.
    """
    places = Places(book)
    routes = Routes(Maps(Rules.of(flow)))
    ledger = Ledger(routes)
    found = [
        *gates.passed(routes, places),
        *safe.safe(routes, places),
        *safe.reached(routes, places),
        *spins.spins(ledger, places),
        *debts.owed(ledger, places),
        *debts.closing(ledger, places),
        *ends.unable(routes, places),
        *ends.lifts(ledger, places),
        *limits.limits(flow, places),
        *faults.faults(flow, places),
    ]
    if cases is not None:
        told = tuple(cases)
        found += faults.without_case(flow, places, told)
        found += played.failed(places, played.run(flow, told))
    return tuple(sorted(set(found)))


def prove_played(flow: Flow, results: Iterable[Played], book: Book | None = None) -> tuple[Shown, ...]:
    """What is wrong with cases that were played already."""
    return tuple(sorted(set(played.failed(Places(book), results))))
