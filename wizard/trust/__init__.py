"""Who held a record, and that none is gone: keys, signatures and a ledger of closing seals. Knows no flow."""
