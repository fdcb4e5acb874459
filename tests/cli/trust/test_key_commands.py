"""Keys and what a shop trusts on the command line."""

import json
import stat
import sys

from wizard.journal.sealed_block import grouped


def test_a_key_is_made_shown_exported_and_trusted(run, home, session, tmp_path):
    """On the van, then at the shop; verifying says by whom, and the exit code is 0."""
    assert "has no key" in run("key", "show").err
    assert run("key", "make").code == 0
    assert run("key", "make").code == 2
    public = json.loads(run("key", "show", "--json").out)["public"]
    said = run("key", "show").out
    assert grouped(public) in said and "PRIVATE" not in said
    if sys.platform != "win32":
        assert stat.S_IMODE((home / "signing-key.pem").stat().st_mode) == 0o600
    target = tmp_path / "van.toml"
    assert run("key", "export", str(target), "--name", "Van 3").code == 0
    assert run("key", "export", str(target), "--name", "Van 3").code == 2
    assert "PRIVATE" not in target.read_text(encoding="utf-8")
    assert "1 seal signed" in run("key", "sign", session).out
    assert "0 seals signed" in run("key", "sign", session).out
    assert "which is not known to this shop" in run("session", "verify", session).out
    assert "known to this shop as Van 3" in run("trust", "key", str(target)).out
    said = run("session", "verify", session)
    assert said.code == 0 and "known to this shop as Van 3" in said.out
    table = json.loads(run("session", "verify", session, "--json").out)
    assert table["trust"]["seal"]["standing"] == "known" and table["trust"]["not-checked"]
    assert "Van 3" in run("trust", "list").out


def test_digits_are_trusted_with_a_name(run):
    assert "--name" in run("trust", "key", "AB" * 32).err
    assert run("trust", "key", "AB" * 32, "--name", "Van 4").code == 0
    assert json.loads(run("trust", "list", "--json").out) == [
        {"kind": "computer", "name": "Van 4", "digits": "ab" * 32}
    ]


def test_a_flow_is_approved_by_its_digest(run, home, session):
    """A session of a flow that the shop did not approve is said to be so; of one that it did is not."""
    assert "not among those that this shop approved" in run("session", "verify", session).out
    digest = next((home / "kept").iterdir()).name
    assert run("trust", "flow", digest, "--name", "Small").code == 0
    assert "approved" not in run("session", "verify", session).out
    assert run("trust", "flow", "washer-shake").code == 0


def test_a_file_with_mistakes_is_said_and_nothing_is_verified_by_it(run, home, session):
    (home / "trusted.toml").write_text("[[computer]\n", encoding="utf-8")
    said = run("session", "verify", session)
    assert said.code == 3 and "trusted.toml" in said.err
