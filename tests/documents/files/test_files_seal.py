"""The last line of the customer's paper, which is written when the visit is closed."""

from hashlib import sha256

import pytest

from wizard.documents.document_tree import Document, Paragraph, SealLine, phrase
from wizard.documents.files.paper_seal import bears, digest, seal_of, sealed, split, unsealed
from wizard.documents.writers.markdown import MARKDOWN

CHAIN = "0123456789abcdef" * 4
OTHER = "fedcba9876543210" * 4
PAPER = Document("Found", (Paragraph((phrase("Flow x"),)),), SealLine())
OPEN = MARKDOWN.write(PAPER)
TEXT = b"# Found\n\nFlow x\n\n"


def test_digest_leaves_the_last_line_out():
    """What anyone can compute: the SHA-256 of all lines but the last (FIPS 180-4, by hashlib)."""
    assert split(OPEN)[0] == TEXT and digest(OPEN) == sha256(TEXT).hexdigest()


def test_sealing_does_not_change_the_digest():
    """So that the journal may hold it before there is a seal."""
    closed = sealed(OPEN, CHAIN, MARKDOWN)
    assert digest(closed) == digest(OPEN) and unsealed(OPEN, MARKDOWN) and not unsealed(closed, MARKDOWN)
    assert closed.endswith(b"\nSeal of the record: `0123 4567 89ab cdef`\n")


def test_sealed_paper_is_what_the_writer_makes_of_the_sealed_document():
    """The line put in later is the line that the document has with its seal."""
    whole = Document(PAPER.title, PAPER.blocks, seal_of(CHAIN))
    assert MARKDOWN.write(whole) == sealed(OPEN, CHAIN, MARKDOWN)


def test_seal_is_held_to_the_chain_values():
    """It is the seal of one of them or of none; room for a seal is no seal, also not that of an empty value."""
    closed = sealed(OPEN, CHAIN, MARKDOWN)
    assert bears(closed, [OTHER, CHAIN], MARKDOWN) and not bears(closed, [OTHER], MARKDOWN)
    assert not bears(OPEN, [CHAIN, ""], MARKDOWN)


@pytest.mark.parametrize("paper", [TEXT, b"", b"\n", OPEN + b"more\n", OPEN.rstrip(b"\n"), b"one line"])
def test_paper_without_that_last_line_can_not_be_sealed(paper):
    """Whatever its last line is; all of its bytes are in one of the two parts."""
    assert b"".join(split(paper)) == paper and not bears(paper, [CHAIN], MARKDOWN)
    with pytest.raises(ValueError, match="no room"):
        sealed(paper, CHAIN, MARKDOWN)


def test_seal_in_the_middle_is_no_seal():
    """Only the last line is left out of the digest: a line like it elsewhere hides nothing."""
    closed = sealed(OPEN, CHAIN, MARKDOWN)
    assert split(closed + OPEN)[0] == closed + TEXT and not bears(closed + TEXT, [CHAIN], MARKDOWN)
