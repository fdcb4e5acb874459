"""What it costs, where the shop wrote that down: parts by the record's count and the shop's price, and its lines."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from wizard.documents.content import part_counts
from wizard.documents.document_tree import Paragraph, Sentence, Table, phrase, strong
from wizard.documents.report.customer_details import CustomerDetails
from wizard.documents.report.report_tree import PagePart
from wizard.documents.report.shop_details import ShopDetails
from wizard.engine.state.job_view import JobView

_CENT = Decimal("0.01")
_HEAD = ("What", "Count", "Each", "Together")
UNPRICED = "No price is noted for: {names}. The sum leaves that out."


@dataclass(frozen=True, slots=True)
class CostLine:
    """A line of what it costs; ``price`` of one, None where the shop noted none."""

    says: str
    count: Decimal
    price: Decimal | None

    @property
    def together(self) -> Decimal:
        """Count times price, to the hundredth."""
        return rounded(self.count * self.price) if self.price is not None else Decimal(0)


def rounded(amount: Decimal) -> Decimal:
    """An amount to the hundredth, halves away from nothing."""
    return amount.quantize(_CENT, ROUND_HALF_UP)


def cost_part(view: JobView, shop: ShopDetails, customer: CustomerDetails) -> PagePart | None:
    """The part of the page; None where neither a price nor a line was written down."""
    parts = tuple(_parts(view, shop.prices)) if shop.prices else ()
    own = tuple(CostLine(c.says, Decimal(str(c.count)), Decimal(str(c.price))) for c in customer.charge)
    lines = (*parts, *own)
    priced = [line for line in lines if line.price is not None]
    if not priced:
        return None
    total = sum((line.together for line in priced), Decimal(0))
    currency = f" {shop.currency}" if shop.currency else ""
    last = (phrase(strong("Sum")), phrase(""), phrase(""), phrase(strong(f"{total}{currency}")))
    table = Table(_HEAD, (*(_row(line) for line in priced), last))
    bare = ", ".join(line.says for line in lines if line.price is None)
    return PagePart(
        "What it costs", (table, *((Paragraph((phrase(UNPRICED.format(names=bare)),)),) if bare else ()))
    )


def _parts(view: JobView, prices: Mapping[str, float]) -> Iterator[CostLine]:
    """The parts that were fitted, in the record's order."""
    for repair in view.state.repairs:
        if repair.holds:
            for part in part_counts.named(repair.parts, view.flow.faults.get(repair.fault)):
                price = prices.get(part.id)
                known = rounded(Decimal(str(price))) if price is not None else None
                yield CostLine(part.says, Decimal(part.count), known)


def _row(line: CostLine) -> tuple[Sentence, ...]:
    assert line.price is not None
    return tuple(
        phrase(cell)
        for cell in (line.says, f"{line.count.normalize():f}", f"{rounded(line.price)}", f"{line.together}")
    )
