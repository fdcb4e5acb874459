"""What a shop writes down of a customer and of what the work costs: ``customer.toml`` in the session's folder."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from wizard.documents.report.details_file import read_details
from wizard.errors import DetailsError
from wizard.foreign.harmless import harmless
from wizard.foreign.limits import Source

NAME = "customer.toml"
"""The file's name in a session's folder."""

_MOST = 1e9


@dataclass(frozen=True, slots=True)
class ChargeEntry:
    """A line of what it costs: its words, how many, and what one costs in the shop's currency; below 0 a discount."""

    says: str
    price: float
    count: float = 1.0


@dataclass(frozen=True, slots=True)
class CustomerDetails:
    """The keys of the file. Each may be left out, and then nothing stands in its place."""

    name: str = ""
    address: str = ""
    charge: tuple[ChargeEntry, ...] = ()


def read_customer(path: Path) -> CustomerDetails:
    """What such a file says; an empty one where there is none. DetailsError says what is wrong with it."""
    details = read_details(path, CustomerDetails, Source.CUSTOMER)
    for number, entry in enumerate(details.charge, 1):
        if not (abs(entry.price) < _MOST and 0 < entry.count < _MOST):
            raise DetailsError(
                harmless(
                    f"{path}: charge {number}: a price or a count that nothing costs. Write a count above 0."
                )
            )
    return details
