"""What closed sessions say of a flow's numbers: weights, leaks, shares, minutes, curves. Pure but for two modules.

``session_source`` reads sessions from disk; ``number_edit`` writes into a flow's files. Nothing here is asked on a job.
"""
