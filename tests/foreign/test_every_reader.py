"""Whatever bytes come from elsewhere, each reader reads them or refuses them in words; by night on many more."""

import io
import zipfile

import pytest
import tomli_w
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.helpers.flows.examples import examples
from tests.helpers.stored_sessions import SESSION, home_at, store_at
from wizard.cli.checked_flows import CheckedFlows
from wizard.documents.report import shop_details
from wizard.documents.report.customer_details import read_customer
from wizard.errors import SteadfootError
from wizard.flow.loading import flow_loader
from wizard.flowcheck.approval import approval_file
from wizard.foreign.file_reader import typed_path
from wizard.foreign.limits import Unreadable
from wizard.foreign.zip_reader import ZipLimits, unzip
from wizard.journal.journal_reader import parse
from wizard.journal.journal_verification import verify
from wizard.journal.sealed_block import CHAIN, CLOSE, SEAL, START, seal
from wizard.journal.session_name import is_session
from wizard.learning import proposal
from wizard.learning.session_memory import SessionMemory
from wizard.review.flags import threshold_taking, thresholds
from wizard.review.flags.flag_id import FlagId
from wizard.screens.viewmodels.flow_titles import title_choices
from wizard.sessions import judged_flags, sign_off
from wizard.sessions.archive_format import MANIFEST, unpack
from wizard.sessions.trusting.ledger_folder import NAME as WAITING
from wizard.sessions.trusting.ledger_folder import LedgerFolder
from wizard.trust.head_signature import parse_heads
from wizard.trust.key_file import load_key
from wizard.trust.ledger_proof import parse_proof
from wizard.trust.seal_ledger import HEADER, parse_ledger, read_head
from wizard.trust.seal_signature import load_signatures
from wizard.trust.trusted_keys import parse_trusted

values = st.recursive(
    st.one_of(st.booleans(), st.integers(-(2**63), 2**63 - 1), st.floats(), st.text(max_size=8)),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner, max_size=3),
    max_leaves=8,
)
keys = st.sampled_from(
    [
        "format",
        "note",
        "signed",
        "parcel",
        "file",
        "event",
        "seal",
        "flow",
        "on",
        "by",
        "at",
        "sequence",
        "kind",
    ]
) | st.text(max_size=4)
tables = st.dictionaries(keys, values, max_size=5).map(
    lambda table: tomli_w.dumps(table).encode("utf-8", "replace")
)
raw = st.binary(max_size=200)
contents = raw | tables | st.text(max_size=200).map(lambda text: text.encode("utf-8", "surrogatepass"))


def journal(folder, data):
    """Read and verified, as it is and under a seal that holds."""
    path = folder / "journal.toml"
    body = b"[[event]]\n" + data + SEAL
    for whole in (data, body + CHAIN + seal(START, body).encode() + CLOSE):
        path.write_bytes(whole)
        refused(lambda whole=whole: parse(whole, path))
        verify(path)


def review(_folder, data):
    refused(lambda: sign_off.parse(data))


def judged(folder, data):
    """What was said of flags, as it is and in a row of its file."""
    refused(lambda: judged_flags.parse(data))
    refused(lambda: judged_flags.parse(b"format = 1\n[[judged]]\n" + data))
    (folder / judged_flags.NAME).write_bytes(data)
    refused(lambda: judged_flags.load(folder))


def flags(folder, data):
    """The shop's thresholds, and what was taken into them."""
    (folder / thresholds.NAME).write_bytes(data)
    refused(lambda: thresholds.load(folder))
    refused(lambda: threshold_taking.take(folder, FlagId.STEP_QUICK, "share", 0.2, "now"))
    (folder / threshold_taking.TAKEN).write_bytes(data)
    refused(lambda: threshold_taking.undo(folder))
    (folder / threshold_taking.TAKEN).unlink(missing_ok=True)


def checks(folder, data):
    (folder / "checked.json").write_bytes(data)
    assert CheckedFlows(folder)._read() == [] or data.startswith(b"{")


def title(folder, data):
    (folder / "flow.toml").write_bytes(data)
    assert title_choices({"mine": folder})[0][0] == "mine"


def flow(_folder, data):
    refused(lambda: flow_loader.load_files({"flow.toml": data, "limits.toml": data, "drawings/x.txt": data}))


def parcel(_folder, data):
    """As a zip, as its list, and as any file in one."""
    refused(lambda: unpack(data, "x.zip"))
    for name in (MANIFEST, "session/journal.toml"):
        made = io.BytesIO()
        with zipfile.ZipFile(made, "w") as archive:
            archive.writestr(name, data)
        refused(lambda made=made: unpack(made.getvalue(), "x.zip"))


def path(_folder, data):
    refused(lambda: typed_path(data.decode("utf-8", "surrogateescape")))


def learned(folder, data):
    (folder / "flow.learned.toml").write_bytes(data)
    refused(lambda: proposal.load(folder / "flow.learned.toml"))


def observed(folder, data):
    """A memory that can't be read remembers nothing."""
    (folder / "observed.json").write_bytes(data)
    assert SessionMemory(folder / "observed.json", "1").load() == {} or data.startswith(b"{")


def approved(folder, data):
    """As it is, and as a claim of an approval that is whole but for it."""
    file = folder / "flow.approved.toml"
    file.write_bytes(data)
    refused(lambda: approval_file.load(file))
    line = data.decode("utf-8", "replace")
    head = {"format": 1, "flow": "a", "by": "b", "at": "2026-03-02T09:00:00Z", "reason": "c"}
    file.write_bytes(tomli_w.dumps(head | {"demands": [line], "allowances": []}).encode("utf-8", "replace"))
    refused(lambda: approval_file.load(file))


def details(folder, data):
    """What a shop says of itself, and of a customer; the logo that the first names."""
    for name, read in ((shop_details.NAME, lambda: shop_details.read_shop(folder)),
                       ("customer.toml", lambda: read_customer(folder / "customer.toml"))):  # fmt: skip
        (folder / name).write_bytes(data)
        refused(read)
    (folder / "logo").write_bytes(data)
    refused(lambda: shop_details.read_logo(folder, shop_details.ShopDetails(logo="logo")))


def signed(folder, data):
    """Signatures of a session, this computer's key, what a shop trusts."""
    (folder / "signature.toml").write_bytes(data)
    refused(lambda: load_signatures(folder))
    (folder / "signing-key.pem").write_bytes(data)
    (folder / "signing-key.pem").chmod(0o600)
    refused(lambda: load_key(folder))
    refused(lambda: parse_trusted(data))


def listed(folder, data):
    """A ledger, as it is and behind its first line; a proof; heads, typed and signed; and what waits."""
    refused(lambda: parse_ledger(data))
    refused(lambda: parse_ledger(HEADER + data))
    refused(lambda: parse_proof(data))
    refused(lambda: parse_proof(b"format = 1\n[proof]\n" + data))
    refused(lambda: parse_heads(data))
    refused(lambda: parse_heads(b"format = 1\n[[head]]\n" + data))
    (folder / WAITING).write_bytes(data)
    assert all(map(is_session, LedgerFolder(folder).waiting()))
    refused(lambda: read_head(data.decode("utf-8", "replace")))


READERS = (
    journal, review, judged, flags, checks, title, flow, parcel, path, learned, observed, approved, details, signed,
    listed,
)  # fmt: skip


def refused(read):
    """Read, or refused by one of the program's own errors, whose words a terminal can be given."""
    try:
        read()
    except SteadfootError as problem:
        assert str(problem)


def tried(reader, folder, most):
    """A reader on so many contents."""

    @given(contents)
    @settings(max_examples=most, deadline=None, suppress_health_check=list(HealthCheck))
    def one(data):
        reader(folder, data)

    one()


@pytest.mark.parametrize("reader", READERS, ids=lambda r: r.__name__)
def test_any_content_is_read_or_refused(tmp_path, reader):
    """By day on some."""
    tried(reader, tmp_path, examples(200))


@pytest.mark.nightly
@pytest.mark.parametrize("reader", READERS, ids=lambda r: r.__name__)
def test_any_content_is_read_or_refused_by_night(tmp_path, reader):
    """On many."""
    tried(reader, tmp_path, 5_000)


@given(st.lists(st.tuples(st.text(max_size=20), raw), max_size=6), st.data())
@settings(max_examples=examples(200), deadline=None, suppress_health_check=list(HealthCheck))
@pytest.mark.filterwarnings("ignore:Duplicate name")
def test_any_zip_is_unpacked_or_refused(files, data):
    """With a byte of it another."""
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in files:
            archive.writestr(name.encode("utf-8", "replace").decode().replace("\0", "0") or "x", content)
    packed = bytearray(made.getvalue())
    packed[data.draw(st.integers(0, len(packed) - 1))] ^= data.draw(st.integers(0, 255))
    try:
        found = dict(unzip(bytes(packed), lambda name: True, ZipLimits(100, 10_000, lambda name: 1_000)))
    except Unreadable as problem:
        assert str(problem)
    else:
        assert sum(map(len, found.values())) <= 10_000


@given(st.binary(max_size=60), st.integers(0, 10_000))
@settings(max_examples=examples(100), deadline=None, suppress_health_check=list(HealthCheck))
def test_a_session_with_foreign_bytes_in_it_is_listed_read_or_refused(tmp_path_factory, data, at):
    """Put in anywhere of its journal."""
    from wizard.screens.viewmodels.session_list import summary

    root = tmp_path_factory.getbasetemp() / "foreign-bytes"
    if not root.exists():
        home_at(root)
    store = store_at(root)
    journal_path = store.home.session_folder(SESSION) / "journal.toml"
    whole = journal_path.read_bytes()
    try:
        journal_path.write_bytes(whole[: at % len(whole)] + data + whole[at % len(whole) :])
        assert summary(store, SESSION).name == SESSION
        refused(lambda: store.load(SESSION))
    finally:
        journal_path.write_bytes(whole)
