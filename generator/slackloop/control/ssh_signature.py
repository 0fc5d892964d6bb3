"""A detached signature of the list of hashes, as ``ssh-keygen -Y sign -n slackloop`` makes it, checked offline.

The armour holds a blob: the public key, the namespace, the kind of hash and the signature over the hash of the list
(OpenSSH, PROTOCOL.sshsig, version 1). Read is Ed25519 (RFC 8032) over SHA-256 or SHA-512. Refused, with the reason:
other kinds of key (RSA, ECDSA, keys on a security token), certificates, other namespaces, other versions.
"""

from __future__ import annotations

import base64
import binascii
import hashlib
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from slackloop.source.source_file import read_regular

NAMESPACE = "slackloop"
SIGNERS = "signers"
"""The file beside the releases that says whose key is whose, in the form of OpenSSH's allowed signers."""
ENDING = ".sig"
KIND = "ssh-ed25519"
MOST_BYTES = 1_000_000
Standing = Literal["signed", "unsigned", "unfit", "unlisted", "unread"]
_MAGIC = b"SSHSIG"
_ARMOUR = re.compile(r"\s*-----BEGIN SSH SIGNATURE-----\s+([A-Za-z0-9+/=\s]+?)\s*-----END SSH SIGNATURE-----\s*")
_SIGNER = re.compile(r'(?:"(?P<quoted>[^"]+)"|(?P<plain>[^\s"]+))\s+(?P<rest>\S.*)')
_KEY = re.compile(
    r"(?P<options>\S+\s+)?(?P<kind>(?:ssh|ecdsa|sk-ssh|sk-ecdsa)-\S+)\s+(?P<key>\S+)(?:\s+(?P<remark>.*))?"
)
_NAMESPACES = re.compile(r'namespaces="([^"*?!]+)"', re.IGNORECASE)


class SignatureUnread(Exception):
    """A signature, or a file of signers, that cannot be read or is of a kind that is not read here; says why."""


@dataclass(frozen=True, slots=True)
class Signer:
    """Whose key it is, and the key as its blob."""

    name: str
    key: bytes


@dataclass(frozen=True, slots=True)
class Signing:
    """How the list of hashes is signed: in a word, in a sentence, and by whom where that is known."""

    standing: Standing
    text: str
    name: str = ""


@dataclass(frozen=True, slots=True)
class _Signature:
    key: bytes
    hashed_with: str
    signature: bytes


def signing_of(listed: Path, data: bytes, key_file: Path | None = None) -> Signing:
    """How ``data``, read from the list at ``listed``, is signed: by the keys in ``key_file``, else in ``signers``."""
    place = listed.with_name(listed.name + ENDING)
    what = f"the list of hashes {listed.name}"
    if not place.exists():
        return Signing("unsigned", f"{what} is not signed")
    try:
        signature = _signature(_text(place))
        if not _fits(signature, data):
            return Signing(
                "unfit", f"the signature {place.name} does not fit {what}: the list was altered, or it was written "
                "again after it was signed, as a release does",
            )  # fmt: skip
        beside = listed.with_name(SIGNERS)
        known = key_file if key_file is not None else beside if beside.exists() else None
        signers = read_signers(known) if known is not None else ()
    except SignatureUnread as wrong:
        return Signing("unread", f"the signature of {what} cannot be checked: {wrong}")
    key = fingerprint(signature.key)
    name = next((each.name for each in signers if each.key == signature.key), "")
    if name:
        return Signing("signed", f"{what} is signed by {name} ({key}, named in {known})", name)
    nowhere = "and nothing says whose key that is: name a file of keys with --key"
    told = nowhere if known is None else f"and that key is not in {known}"
    return Signing("unlisted", f"{what} is signed with the key {key}, {told}")


def fingerprint(key: bytes) -> str:
    """A key as ``ssh-keygen -l`` names it."""
    return "SHA256:" + base64.b64encode(hashlib.sha256(key).digest()).decode().rstrip("=")


def read_signers(path: Path) -> tuple[Signer, ...]:
    """The keys of a file of allowed signers, or of a public key file. Raises ``SignatureUnread``."""
    return tuple(_signers(path, _text(path).splitlines()))


def _signers(path: Path, lines: Sequence[str]) -> Iterator[Signer]:
    for number, text in enumerate(lines, 1):
        written = text.strip()
        if not written or written.startswith("#"):
            continue
        alone = _KEY.fullmatch(written)
        named = None if alone and not alone["options"] else _SIGNER.fullmatch(written)
        found = _KEY.fullmatch(named["rest"]) if named else alone
        if found is None:
            raise SignatureUnread(f"{path}, line {number} is neither a signer with a key nor a key")
        if found["kind"] != KIND:  # its signature would be refused, so it can name nobody
            continue
        options = (found["options"] or "").strip()
        if not _holds(options, f"{path}, line {number}"):
            continue
        name = (named["quoted"] or named["plain"]) if named else (found["remark"] or path.name)
        yield Signer(name, _decoded(found["key"], f"the key in {path}, line {number}"))


def _holds(options: str, where: str) -> bool:
    """Whether a signer's line is for our namespace; an option that is not followed here is not passed over."""
    if not options:
        return True
    spaces = _NAMESPACES.fullmatch(options)
    if spaces is None:
        raise SignatureUnread(f"{where} has an option that is not read here: {options.partition('=')[0]}")
    return NAMESPACE in [each.strip() for each in spaces[1].split(",")]


def _signature(armour: str) -> _Signature:
    found = _ARMOUR.fullmatch(armour)
    if found is None:
        raise SignatureUnread("it is no SSH signature in armour")
    blob = _decoded("".join(found[1].split()), "the signature")
    if not blob.startswith(_MAGIC) or blob[6:10] != b"\x00\x00\x00\x01":
        raise SignatureUnread("it is no SSH signature of version 1")
    key, space, reserved, hashed_with, signature = _strings(blob[10:], 5)
    if space != NAMESPACE.encode():
        raise SignatureUnread(f"it was made for {space.decode(errors='replace')!r} and not for {NAMESPACE!r}")
    if reserved:
        raise SignatureUnread("it has a part that is not known")
    if hashed_with not in (b"sha256", b"sha512"):
        raise SignatureUnread(f"its hash is of a kind that is not read here: {hashed_with.decode(errors='replace')}")
    for each in (key, signature):
        kind = _strings(each, None)[0].decode(errors="replace")
        if kind != KIND:
            raise SignatureUnread(f"its key is of a kind that is not read here: {kind}; only {KIND} is")
    return _Signature(key, hashed_with.decode(), _strings(signature, 2)[1])


def _fits(signed: _Signature, data: bytes) -> bool:
    from cryptography.exceptions import InvalidSignature
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

    hashed = hashlib.new(signed.hashed_with, data).digest()
    parts = (NAMESPACE.encode(), b"", signed.hashed_with.encode(), hashed)
    told = _MAGIC + b"".join(len(each).to_bytes(4, "big") + each for each in parts)
    try:
        Ed25519PublicKey.from_public_bytes(_strings(signed.key, 2)[1]).verify(signed.signature, told)
    except InvalidSignature:
        return False
    except ValueError as wrong:
        raise SignatureUnread("its key is not as long as such a key is") from wrong
    return True


def _strings(blob: bytes, count: int | None) -> list[bytes]:
    """The strings of a blob, each behind its length; exactly ``count`` of them, where that is given."""
    found, at = [], 0
    while at < len(blob):
        end = at + 4 + int.from_bytes(blob[at : at + 4], "big")
        if at + 4 > len(blob) or end > len(blob):
            raise SignatureUnread("it is cut off")
        found.append(blob[at + 4 : end])
        at = end
    if not found or (count is not None and len(found) != count):
        raise SignatureUnread("it has other parts than such a signature has")
    return found


def _decoded(text: str, what: str) -> bytes:
    try:
        return base64.b64decode(text, validate=True)
    except (binascii.Error, ValueError) as wrong:
        raise SignatureUnread(f"{what} is not written in base64") from wrong


def _text(path: Path) -> str:
    raw, why = read_regular(path, MOST_BYTES)
    if raw is None:
        raise SignatureUnread(f"{path}: {why.message}")
    try:
        return raw.decode("utf-8")
    except UnicodeDecodeError as wrong:
        raise SignatureUnread(f"{path} is no text") from wrong
