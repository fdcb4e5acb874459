"""The proof over all beliefs at once: whatever is believed of a machine, what a step needs is met by answers.

A search counts beliefs one by one, and there are more than can be counted: each look at eight covers gives 256. Here
a set of beliefs is one integer, and what is asked is asked of all of them together.
"""

from wizard.safety.cover.covering import Cover, CoverResult, ProofGap

__all__ = ["Cover", "CoverResult", "ProofGap"]
