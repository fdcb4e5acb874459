"""The report of a session: a page for the customer and an annex for the shop, made of the papers' own sections."""
