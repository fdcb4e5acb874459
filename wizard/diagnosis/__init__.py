"""Which fault, and what to check next: a two-level noisy-OR network, its exact posterior, and advice.

Whoever needs a module of it imports that late: numpy costs a quarter of the first paint and nothing needs it there.
"""
