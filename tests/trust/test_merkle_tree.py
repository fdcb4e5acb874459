"""Merkle trees against published values: RFC 6962's standard leaves and roots, RFC 9162's examples, and brute force."""

from hashlib import sha256

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.helpers.flows.examples import examples
from wizard.trust.merkle_tree import (
    consistency_path,
    consistent,
    includes,
    inclusion_path,
    leaf_hash,
    node_hash,
    root_of,
)

LEAVES = [
    bytes.fromhex(digits)
    for digits in (
        "",
        "00",
        "10",
        "2021",
        "3031",
        "40414243",
        "5051525354555657",
        "606162636465666768696a6b6c6d6e6f",
    )
]
"""The eight leaves by which implementations of RFC 6962 are compared: the reference tree of its authors."""

ROOTS = [
    "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
    "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
    "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
    "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
    "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
    "4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4",
    "76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef",
    "ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c",
    "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328",
]
"""Their published roots, of none to all eight."""

HASHES = [leaf_hash(leaf) for leaf in LEAVES]


@pytest.mark.parametrize("size", range(9))
def test_roots_are_the_published_ones(size):
    assert root_of(HASHES[:size]).hex() == ROOTS[size]


def test_audit_paths_are_the_published_ones():
    """Of the reference tree's leaves 0 and 5, of eight."""
    assert [h.hex() for h in inclusion_path(HASHES, 0)] == [
        "96a296d224f285c67bee93c30f8a309157f0daa35dc5b87e410b78630a09cfc7",
        "5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e",
        "6b47aaf29ee3c2af9af889bc1fb9254dabd31177f16232dd6aab035ca39bf6e4",
    ]
    assert [h.hex() for h in inclusion_path(HASHES, 5)] == [
        "bc1a0643b12e4d2d7c77918f44e0f4f79a838b6cf9ec5b5c283e1f4d88599e6b",
        "ca854ea128ed050b41b35ffc1b87b8eb2bde461e9e3b5596ece6b9d5975a0ae0",
        "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
    ]


def test_the_examples_of_the_standard_come_out():
    """The tree of seven leaves in RFC 6962, 2.1.3 (RFC 9162, 2.1.5), by its letters."""
    a, b, c, d, e, f, j = HASHES[:7]
    g, h, i = node_hash(a, b), node_hash(c, d), node_hash(e, f)
    k, l = node_hash(g, h), node_hash(i, j)  # noqa: E741
    tree = [a, b, c, d, e, f, j]
    assert [inclusion_path(tree, n) for n in (0, 3, 4, 6)] == [(b, h, l), (c, g, l), (f, j, k), (i, k)]
    assert consistency_path(tree, 3) == (c, d, g, l)
    assert consistency_path(tree, 4) == (l,)
    assert consistency_path(tree, 6) == (i, j, k)


def naive_root(leaves):
    """The definition of RFC 6962, 2.1, word by word."""
    if not leaves:
        return sha256(b"").digest()
    if len(leaves) == 1:
        return leaves[0]
    k = 1
    while 2 * k < len(leaves):
        k *= 2
    return sha256(b"\x01" + naive_root(leaves[:k]) + naive_root(leaves[k:])).digest()


def test_every_proof_of_every_tree_to_forty_leaves_holds():
    leaves = [leaf_hash(bytes([n])) for n in range(40)]
    for size in range(1, 41):
        tree, root = leaves[:size], root_of(leaves[:size])
        assert root == naive_root(tree)
        for index in range(size):
            assert includes(tree[index], index, size, inclusion_path(tree, index), root)
        for first in range(1, size + 1):
            path = consistency_path(tree, first)
            assert consistent(first, size, root_of(leaves[:first]), root, path)


def test_no_proof_holds_of_another_place_size_or_root():
    """Every other index, size and root; a hash left out, added or changed."""
    leaves = [leaf_hash(bytes([n])) for n in range(13)]
    roots = [root_of(leaves[:n]) for n in range(14)]
    for index in range(13):
        path = inclusion_path(leaves, index)
        assert not any(includes(leaves[index], n, 13, path, roots[13]) for n in range(-1, 15) if n != index)
        assert not any(includes(leaves[index], index, 13, path, root) for root in roots[:13])
        assert not any(includes(leaves[n], index, 13, path, roots[13]) for n in range(13) if n != index)
        assert not includes(leaves[index], index, 13, path[:-1], roots[13])
        assert not includes(leaves[index], index, 13, (*path, roots[3]), roots[13])
        assert not includes(leaves[index], index, 13, (roots[3], *path[1:]), roots[13])
    for first in range(1, 13):
        path = consistency_path(leaves, first)
        for n in range(14):
            assert n == first or not consistent(n, 13, roots[n], roots[13], path)
            assert n == first or not consistent(first, 13, roots[n], roots[13], path)
            assert n == 13 or not consistent(first, 13, roots[first], roots[n], path)
        assert not consistent(first, 13, roots[first], roots[13], path[:-1])
        assert not consistent(first, 13, roots[first], roots[13], (*path, roots[2]))
    assert not consistent(0, 13, roots[0], roots[13], ()) and not consistent(14, 13, roots[13], roots[13], ())


@settings(max_examples=examples(200))
@given(st.lists(st.binary(max_size=4), min_size=2, max_size=40), st.data())
def test_a_leaf_changed_taken_out_or_put_in_changes_the_root(data, draw):
    leaves = [leaf_hash(each) for each in data]
    at = draw.draw(st.integers(0, len(leaves) - 1))
    other = leaf_hash(b"another leaf")
    changed = [*leaves[:at], other, *leaves[at + 1 :]]
    assert (
        len({root_of(x) for x in (leaves, changed, [*leaves[:at], *leaves[at + 1 :]], [*leaves, other])}) == 4
    )


def test_a_leaf_can_not_pass_for_a_node():
    """Two leaves against one leaf whose data are their hashes: the first byte keeps them apart."""
    a, b = HASHES[0], HASHES[1]
    assert leaf_hash(a + b) != node_hash(a, b)


@pytest.mark.parametrize("bad", [-1, 8])
def test_what_is_no_leaf_has_no_path(bad):
    with pytest.raises(IndexError):
        inclusion_path(HASHES, bad)
    with pytest.raises(IndexError):
        consistency_path(HASHES, bad + 1 if bad > 0 else 0)


@pytest.mark.oracle
def test_a_reference_library_agrees():
    """pymerkle: the roots of trees to seventy leaves, the hashes of each inclusion proof; consistency of its roots."""
    pytest.importorskip("pymerkle")
    from pymerkle import InmemoryTree, verify_consistency, verify_inclusion

    tree, leaves, roots = InmemoryTree(algorithm="sha256"), [], [root_of([])]
    for n in range(1, 71):
        data = bytes([n]) * (n % 5)
        tree.append_entry(data)
        leaves.append(leaf_hash(data))
        roots.append(root_of(leaves))
        assert tree.get_root() == roots[-1]
    for n in range(1, 71):
        theirs = tree.prove_inclusion(n, 70)
        verify_inclusion(leaves[n - 1], roots[70], theirs)
        assert {leaves[n - 1], *inclusion_path(leaves, n - 1)} == set(theirs.path)
        verify_consistency(roots[n], roots[70], tree.prove_consistency(n, 70))
        ours = consistency_path(leaves, n)  # Its own are of another form than the standard's.
        assert consistent(n, 70, tree.get_root(n), tree.get_root(), ours)
