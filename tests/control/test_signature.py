"""The list of hashes signed by the firm's own key: by whom, not at all, altered, or by a key that nobody listed."""

from __future__ import annotations

import base64
import hashlib
import json
import shutil
import subprocess
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from control.conftest import Released
from slackloop.cli import main
from slackloop.control.ssh_signature import SignatureUnread, fingerprint, read_signers, signing_of

pytest.importorskip("cryptography", reason="cryptography is not installed")
from cryptography.hazmat.primitives import serialization
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

KEYGEN = shutil.which("ssh-keygen")
LIST = b'{"format": 1, "releases": []}\n'


def string(data: bytes) -> bytes:
    return len(data).to_bytes(4, "big") + data


@dataclass(frozen=True)
class Key:
    """A key made for a test; signs as PROTOCOL.sshsig says, written here apart from the program."""

    private: Ed25519PrivateKey

    @property
    def blob(self) -> bytes:
        raw = self.private.public_key().public_bytes_raw()
        return string(b"ssh-ed25519") + string(raw)

    @property
    def public(self) -> str:
        return f"ssh-ed25519 {base64.b64encode(self.blob).decode()}"

    def sign(
        self, data: bytes, space: bytes = b"slackloop", kind: bytes = b"sha512", reserved: bytes = b"",
        blob: bytes = b"", version: int = 1,
    ) -> str:  # fmt: skip
        told = b"SSHSIG" + string(space) + string(reserved) + string(kind)
        signed = self.private.sign(told + string(hashlib.new(kind.decode().replace("md5", "sha512"), data).digest()))
        parts = (blob or self.blob, space, reserved, kind, string(b"ssh-ed25519") + string(signed))
        body = base64.b64encode(b"SSHSIG" + version.to_bytes(4, "big") + b"".join(map(string, parts))).decode()
        lines = "\n".join(body[at : at + 70] for at in range(0, len(body), 70))
        return f"-----BEGIN SSH SIGNATURE-----\n{lines}\n-----END SSH SIGNATURE-----\n"


@pytest.fixture(scope="module")
def firm() -> Key:
    return Key(Ed25519PrivateKey.from_private_bytes(bytes(range(32))))


@pytest.fixture(scope="module")
def other() -> Key:
    return Key(Ed25519PrivateKey.from_private_bytes(bytes(range(1, 33))))


@pytest.fixture
def published(released: Released, tmp_path: Path, firm: Key) -> Path:
    """The list that a firm publishes, signed, with its signers beside it."""
    place = tmp_path / "published" / "hashes.json"
    place.parent.mkdir()
    shutil.copyfile(released.folder / "hashes.json", place)
    place.with_name("hashes.json.sig").write_text(firm.sign(place.read_bytes()), encoding="ascii")
    place.with_name("signers").write_text(f"# the firm\noffice@firm.example {firm.public} of 2026\n", encoding="utf-8")
    return place


Verify = Callable[..., tuple[int, str]]


@pytest.fixture
def verify(capsys: pytest.CaptureFixture[str]) -> Verify:
    """Runs the command: its status, and all that it prints."""

    def run(*words: str | Path) -> tuple[int, str]:
        status = main(["verify", *map(str, words)])
        told = capsys.readouterr()
        return status, told.out + told.err

    return run


def test_a_signed_list_says_by_whom(released: Released, published: Path, firm: Key, verify: Verify) -> None:
    for revision, status, state in (("a", 1, "superseded"), ("b", 0, "current")):
        got, told = verify(getattr(released, revision) / "handbook" / "handbook.pdf", "--releases", published)
        assert (got, told.split(":")[0]) == (status, state)
        assert f"signed by office@firm.example ({fingerprint(firm.blob)}" in told
    got, told = verify("--json", released.b / "handbook" / "cards.pdf", "--releases", published.parent)
    assert got == 0
    assert json.loads(told)["signature"] == {"state": "signed", "by": "office@firm.example"}


def test_a_list_that_is_not_signed_counts_unless_a_key_is_asked_for(
    released: Released, published: Path, verify: Verify
) -> None:
    published.with_name("hashes.json.sig").unlink()
    pdf = released.b / "handbook" / "handbook.pdf"
    got, told = verify(pdf, "--releases", published)
    assert got == 0
    assert "hashes.json is not signed" in told
    got, told = verify(pdf, "--releases", published, "--key", published.with_name("signers"))
    assert (got, told.split(":")[0]) == (2, "unknown")
    assert "only a signed list counts" in told
    assert verify(pdf, "--key", published.with_name("signers"))[0] == 2, "the releases beside it are not signed"


def test_a_list_that_was_altered_after_it_was_signed(released: Released, published: Path, verify: Verify) -> None:
    pdf = released.a / "handbook" / "handbook.pdf"
    data = published.read_bytes()
    published.write_bytes(data.replace(b'"revision": "B"', b'"revision": "0"'))
    got, told = verify(pdf, "--releases", published)
    assert (got, told.split(":")[0]) == (1, "altered")
    assert "does not fit" in told
    for at in (0, len(data) // 2, len(data) - 1):
        changed = bytearray(data)
        changed[at] ^= 1
        published.write_bytes(changed)
        assert verify(pdf, "--releases", published)[0] == 1, at


def test_a_key_that_is_not_listed(released: Released, published: Path, other: Key, verify: Verify) -> None:
    pdf = released.b / "handbook" / "handbook.pdf"
    published.with_name("hashes.json.sig").write_text(other.sign(published.read_bytes()), encoding="ascii")
    got, told = verify(pdf, "--releases", published)
    assert (got, told.split(":")[0]) == (2, "unknown")
    assert f"signed with the key {fingerprint(other.blob)}, and that key is not in" in told
    own = published.parent / "own.pub"
    own.write_text(f"{other.public} other@firm.example\n", encoding="ascii")
    assert "signed by other@firm.example" in verify(pdf, "--releases", published, "--key", own)[1]
    published.with_name("signers").unlink()
    got, told = verify(pdf, "--releases", published)
    assert got == 2
    assert "nothing says whose key that is" in told
    got, told = verify(pdf, "--releases", published, "--key", published.parent / "no-such-file")
    assert got == 2
    assert "there is no such file of keys" in told


def test_the_signed_list_counts_and_not_what_lies_beside_it(
    released: Released, tmp_path: Path, firm: Key, verify: Verify
) -> None:
    """A folder into which somebody put a release of his own; the list that the firm signed has A alone."""
    folder = tmp_path / "releases"
    shutil.copytree(released.folder, folder)
    told = json.loads((folder / "hashes.json").read_bytes())
    told["releases"] = told["releases"][:1]
    signed = json.dumps(told).encode()
    (folder / "hashes.json").write_bytes(signed)
    (folder / "hashes.json.sig").write_text(firm.sign(signed), encoding="ascii")
    (folder / "signers").write_text(f"office@firm.example {firm.public}\n", encoding="ascii")
    got, said = verify(folder / "T-1-B" / "handbook" / "handbook.pdf")
    assert (got, said.split(":")[0]) == (2, "unknown")
    assert "Beside the signed list, and not in it: T-1, revision B of 2026-05-04." in said
    assert verify(folder / "T-1-A" / "handbook" / "handbook.pdf")[0] == 0


def standing(tmp_path: Path, signature: str, signers: str = "", data: bytes = LIST) -> tuple[str, str]:
    place = tmp_path / "hashes.json"
    place.with_name("hashes.json.sig").write_text(signature, encoding="utf-8")
    place.with_name("signers").write_text(signers, encoding="utf-8")
    found = signing_of(place, data)
    return found.standing, found.text


def test_both_hashes_are_read_and_line_ends_do_not_matter(tmp_path: Path, firm: Key) -> None:
    signers = f"office@firm.example {firm.public}\n"
    for kind in (b"sha256", b"sha512"):
        assert standing(tmp_path, firm.sign(LIST, kind=kind), signers)[0] == "signed"
        assert standing(tmp_path, firm.sign(LIST, kind=kind).replace("\n", "\r\n"), signers)[0] == "signed"
        assert standing(tmp_path, firm.sign(LIST, kind=kind), signers, LIST.replace(b"\n", b"\r\n"))[0] == "unfit"


def test_a_signature_for_something_else_or_of_another_kind_is_refused(tmp_path: Path, firm: Key) -> None:
    signers = f"office@firm.example {firm.public}\n"
    good = firm.sign(LIST)
    rsa = string(b"ssh-rsa") + string(b"\x01\x00\x01") + string(b"\x00" * 32)
    refused = {
        "made for 'file' and not for 'slackloop'": firm.sign(LIST, space=b"file"),
        "a part that is not known": firm.sign(LIST, reserved=b"x"),
        "its hash is of a kind": firm.sign(LIST, kind=b"md5"),
        "its key is of a kind that is not read here: ssh-rsa": firm.sign(LIST, blob=rsa),
        "not as long as such a key is": firm.sign(LIST, blob=string(b"ssh-ed25519") + string(b"short")),
        "of version 1": firm.sign(LIST, version=2),
        "no SSH signature in armour": "-----BEGIN SIGNATURE-----\n",
        "is not written in base64": good.replace("U1NIU0lH", "U1NIU0l", 1),
        "it is cut off": armoured(base64.b64decode("".join(good.splitlines()[1:-1]))[:-9]),
    }
    for why, signature in refused.items():
        assert standing(tmp_path, signature, signers)[0] == "unread", why
        assert why in standing(tmp_path, signature, signers)[1]


def armoured(blob: bytes) -> str:
    return f"-----BEGIN SSH SIGNATURE-----\n{base64.b64encode(blob).decode()}\n-----END SSH SIGNATURE-----\n"


def test_no_altered_byte_of_a_signature_passes(tmp_path: Path, firm: Key) -> None:
    blob = base64.b64decode("".join(firm.sign(LIST).splitlines()[1:-1]))
    signers = f"office@firm.example {firm.public}\n"
    assert standing(tmp_path, armoured(blob), signers)[0] == "signed"
    for at in range(len(blob)):
        changed = blob[:at] + bytes([blob[at] ^ 1]) + blob[at + 1 :]
        assert standing(tmp_path, armoured(changed), signers)[0] in {"unfit", "unread"}, at


def test_signers_are_read_as_openssh_writes_them(tmp_path: Path, firm: Key, other: Key) -> None:
    place = tmp_path / "signers"

    def names(text: str) -> list[str]:
        place.write_text(text, encoding="utf-8")
        return [each.name for each in read_signers(place)]

    assert names(f"a@x,b@x {firm.public} remark of the key\n\n# note\n\"The office\" {other.public}\n") == [
        "a@x,b@x", "The office"
    ]  # fmt: skip
    assert names(f'a@x namespaces="slackloop,file" {firm.public}\nb@x namespaces="git" {other.public}') == ["a@x"]
    assert names("a@x ssh-rsa AAAAB3Nza\n") == []
    assert names(f"{firm.public} office\n{other.public}\n") == ["office", "signers"]
    for odd in (
        f"a@x cert-authority {firm.public}", f'a@x valid-before="20260101" {firm.public}',
        f'a@x namespaces="slack*" {firm.public}', "a@x", "a@x ssh-ed25519 not-base64!",
    ):  # fmt: skip
        with pytest.raises(SignatureUnread):
            names(odd)


@pytest.mark.skipif(KEYGEN is None, reason="ssh-keygen is not installed")
def test_what_ssh_keygen_signs_is_read_and_what_this_test_signs_it_takes(
    released: Released, tmp_path: Path, firm: Key, verify: Verify
) -> None:
    assert KEYGEN is not None
    listed = tmp_path / "hashes.json"
    shutil.copyfile(released.folder / "hashes.json", listed)
    made = [KEYGEN, "-q", "-t", "ed25519", "-N", "", "-C", "office", "-f", str(tmp_path / "firm")]
    subprocess.run(made, check=True, capture_output=True)
    sign = [KEYGEN, "-Y", "sign", "-n", "slackloop", "-f", str(tmp_path / "firm"), str(listed)]
    subprocess.run(sign, check=True, capture_output=True)
    pdf = released.b / "handbook" / "handbook.pdf"
    public = (tmp_path / "firm.pub").read_text(encoding="ascii")
    (tmp_path / "signers").write_text(f"office@firm.example {public}", encoding="ascii")
    got, told = verify(pdf, "--releases", listed)
    assert got == 0
    named = subprocess.run([KEYGEN, "-lf", str(tmp_path / "firm.pub")], check=True, capture_output=True, text=True)
    assert f"signed by office@firm.example ({named.stdout.split()[1]}," in told

    (tmp_path / "signers").write_text(f"office@firm.example {firm.public}\n", encoding="ascii")
    (tmp_path / "own.sig").write_text(firm.sign(listed.read_bytes()), encoding="ascii")
    check = [KEYGEN, "-Y", "verify", "-n", "slackloop", "-I", "office@firm.example", "-f", str(tmp_path / "signers")]
    with listed.open("rb") as stream:
        done = subprocess.run([*check, "-s", str(tmp_path / "own.sig")], stdin=stream, capture_output=True, check=False)
    assert done.returncode == 0, done.stderr


def test_a_release_says_that_the_list_is_to_be_signed_again(released: Released, tmp_path: Path, firm: Key) -> None:
    listed = tmp_path / "hashes.json"
    shutil.copyfile(released.folder / "hashes.json", listed)
    listed.with_name("hashes.json.sig").write_text(firm.sign(released.first_list), encoding="ascii")
    assert "sign it again" in released.said_of_b
    assert signing_of(listed, listed.read_bytes()).standing == "unfit"
    assert signing_of(listed, released.first_list).standing != "unfit"


def test_the_key_here_is_that_of_a_file_of_openssh(tmp_path: Path, firm: Key) -> None:
    """The public key as the package writes it for OpenSSH is the one that this test puts together."""
    form = serialization.Encoding.OpenSSH, serialization.PublicFormat.OpenSSH
    assert firm.private.public_key().public_bytes(*form).decode() == firm.public
