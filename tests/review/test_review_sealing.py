"""The last line of the customer's paper, which is written when the visit is closed."""

from hashlib import sha256

import pytest

from wizard.review.sealing import body, digest, seal_line, seal_of, sealed

CHAIN = "0123456789abcdef" * 4
TEXT = b"# Found\n\n- Flow x\n"
OPEN = TEXT + seal_line("").encode() + b"\n"


def test_digest_leaves_the_last_line_out():
    """What anyone can reckon: the SHA-256 of all lines but the last (FIPS 180-4, by hashlib)."""
    assert body(OPEN) == TEXT and digest(OPEN) == sha256(TEXT).hexdigest()


def test_sealing_does_not_change_the_digest():
    """So that the journal may hold it before there is a seal."""
    closed = sealed(OPEN, CHAIN)
    assert digest(closed) == digest(OPEN) and seal_of(closed) == CHAIN[:16] and seal_of(OPEN) == ""
    assert closed.endswith(b"`0123 4567 89ab cdef`\n")


@pytest.mark.parametrize("paper", [TEXT, b"", OPEN + b"more\n", OPEN.rstrip(b"\n")])
def test_paper_without_that_last_line_has_no_seal(paper):
    """Then all of it counts."""
    assert body(paper) == paper and seal_of(paper) == ""
    with pytest.raises(ValueError, match="no room"):
        sealed(paper, CHAIN)


def test_seal_in_the_middle_is_no_seal():
    """Only the last line is left out of the digest: a line like it elsewhere hides nothing."""
    assert body(OPEN + OPEN) == OPEN + TEXT
