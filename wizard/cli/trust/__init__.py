"""Keys, what a shop trusts, and the ledger of seals, on the command line."""
