"""The customer's handover, the technician's record and the parts order, built as document trees."""
