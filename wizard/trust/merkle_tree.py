"""Merkle tree hashes, inclusion and consistency proofs, as RFC 6962, 2.1, has them (RFC 9162, 2.1, checks them).

A tree is the sequence of its leaves' hashes, 32 bytes of SHA-256 each, in their order. Pure functions.
"""

from __future__ import annotations

from collections.abc import Sequence
from hashlib import sha256

Path = tuple[bytes, ...]
"""The hashes of a proof, from the leaves upward."""


def leaf_hash(data: bytes) -> bytes:
    """The hash of a leaf: of a zero byte and its data."""
    return sha256(b"\x00" + data).digest()


def node_hash(left: bytes, right: bytes) -> bytes:
    """The hash of a node: of a one byte and the hashes of its children."""
    return sha256(b"\x01" + left + right).digest()


def root_of(leaves: Sequence[bytes]) -> bytes:
    """The hash of a whole tree; that of an empty one is the hash of nothing."""
    if not leaves:
        return sha256(b"").digest()
    level = list(leaves)
    while len(level) > 1:
        odd = level[-1:] if len(level) % 2 else []
        level = [node_hash(level[at], level[at + 1]) for at in range(0, len(level) - 1, 2)] + odd
    return level[0]


def inclusion_path(leaves: Sequence[bytes], index: int) -> Path:
    """What shows that the leaf of this index, from 0, is in the tree. IndexError where there is none."""
    if not 0 <= index < len(leaves):
        raise IndexError(f"index: {index} is not a leaf of {len(leaves)}")
    if len(leaves) == 1:
        return ()
    split = _split(len(leaves))
    if index < split:
        return (*inclusion_path(leaves[:split], index), root_of(leaves[split:]))
    return (*inclusion_path(leaves[split:], index - split), root_of(leaves[:split]))


def consistency_path(leaves: Sequence[bytes], size: int) -> Path:
    """What shows that the tree of the first ``size`` leaves is the beginning of this one. IndexError for a size that
    is none of 1 to all.
    """
    if not 1 <= size <= len(leaves):
        raise IndexError(f"size: {size} is not between 1 and {len(leaves)}")
    return _consistency(leaves, size, whole=True)


def _consistency(leaves: Sequence[bytes], size: int, whole: bool) -> Path:
    """``whole``: the first tree is one that its checker has the root of."""
    if size == len(leaves):
        return () if whole else (root_of(leaves),)
    split = _split(len(leaves))
    if size <= split:
        return (*_consistency(leaves[:split], size, whole), root_of(leaves[split:]))
    return (*_consistency(leaves[split:], size - split, False), root_of(leaves[:split]))


def includes(leaf: bytes, index: int, size: int, path: Path, root: bytes) -> bool:
    """Whether a path shows that the leaf with this hash has this index in the tree of this size and root."""
    if not 0 <= index < size:
        return False
    place, last, found = index, size - 1, leaf
    for each in path:
        if not last:
            return False
        if place & 1 or place == last:
            found = node_hash(each, found)
            while not place & 1 and place:
                place, last = place >> 1, last >> 1
        else:
            found = node_hash(found, each)
        place, last = place >> 1, last >> 1
    return last == 0 and found == root


def consistent(first: int, second: int, first_root: bytes, second_root: bytes, path: Path) -> bool:
    """Whether a path shows that the tree of ``first`` leaves is the beginning of that of ``second``."""
    if not 1 <= first <= second:
        return False
    if first == second:
        return not path and first_root == second_root
    steps = (first_root, *path) if first & (first - 1) == 0 else path
    if not steps:
        return False
    place, last = first - 1, second - 1
    while place & 1:
        place, last = place >> 1, last >> 1
    old = new = steps[0]
    for each in steps[1:]:
        if not last:
            return False
        if place & 1 or place == last:
            old, new = node_hash(each, old), node_hash(each, new)
            while not place & 1 and place:
                place, last = place >> 1, last >> 1
        else:
            new = node_hash(new, each)
        place, last = place >> 1, last >> 1
    return last == 0 and old == first_root and new == second_root


def _split(count: int) -> int:
    """The largest power of two below a count."""
    return 1 << (count - 1).bit_length() - 1
