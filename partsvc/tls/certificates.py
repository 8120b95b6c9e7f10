"""The workshop's own authority and the certificate of its service, made when first needed.

Phones trust the authority once (its certificate is handed out by the service); the service's own
certificate is made anew by it each year. The authority may sign for the names of this service and
for addresses of closed networks only: were its key stolen, no site of the internet could be feigned
to these phones.
"""

from __future__ import annotations

import ipaddress
import os
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from cryptography import x509
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

AUTHORITY_DAYS = 3650
# Browsers take no certificate that is good for longer than this (CA/Browser Forum, ballot SC31).
SERVICE_DAYS = 397
RENEW_BEFORE_DAYS = 30

# Loopback, private and link-local networks (RFC 1122, 1918, 3927, 4193, 4291).
CLOSED_NETWORKS = (
    "127.0.0.0/8", "10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16",
    "::1/128", "fc00::/7", "fe80::/10",
)  # fmt: skip

AUTHORITY = "authority.pem"
_AUTHORITY_KEY = "authority-key.pem"
_SERVICE = "service.pem"
_SERVICE_KEY = "service-key.pem"

Name = x509.DNSName | x509.IPAddress
Key = ec.EllipticCurvePrivateKey


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """A certificate chain and its key, as files."""

    certificate: Path
    key: Path


def certificates_for(folder: Path, names: Iterable[str], now: datetime) -> Pair:
    """The service's certificate for these names and addresses, made or renewed where needed.

    A name the authority may not sign for makes a new authority, and phones have to trust that one.
    """
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    wanted = tuple(dict.fromkeys(map(_name, names)))
    authority, key = _authority(folder, wanted, now)
    pair = Pair(certificate=folder / _SERVICE, key=folder / _SERVICE_KEY)
    if not _still_good(pair, authority, wanted, now):
        own = ec.generate_private_key(ec.SECP256R1())
        made = _service(own, authority, key, wanted, now)
        _write_key(pair.key, own)
        # The file is the chain: a phone that trusts the authority need not have it at hand.
        _write(pair.certificate, _pem(made) + _pem(authority))
    return pair


def _name(text: str) -> Name:
    try:
        return x509.IPAddress(ipaddress.ip_address(text))
    except ValueError:
        return x509.DNSName(text.lower())


def _authority(
    folder: Path, wanted: tuple[Name, ...], now: datetime
) -> tuple[x509.Certificate, Key]:
    """The authority that is there if it may sign for all that is wanted; else a new one."""
    certificate, key = folder / AUTHORITY, folder / _AUTHORITY_KEY
    try:
        found = x509.load_pem_x509_certificate(certificate.read_bytes())
        known = _read_key(key)
    except (OSError, ValueError):
        # Not there, or cut short by a full disk: made anew.
        found = None
    lasts = now + timedelta(days=SERVICE_DAYS)
    if found and _permits(found, wanted) and found.not_valid_after_utc > lasts:
        return found, known
    own = ec.generate_private_key(ec.SECP256R1())
    made = _new_authority(own, wanted, now)
    _write_key(key, own)
    _write(certificate, _pem(made))
    return made, own


def _permits(authority: x509.Certificate, wanted: tuple[Name, ...]) -> bool:
    limits = authority.extensions.get_extension_for_class(x509.NameConstraints).value
    permitted = tuple(limits.permitted_subtrees or ())
    return all(any(_within(name, one) for one in permitted) for name in wanted)


def _within(name: Name, limit: x509.GeneralName) -> bool:
    if isinstance(name, x509.IPAddress):
        net = limit.value if isinstance(limit, x509.IPAddress) else None
        networks = (ipaddress.IPv4Network, ipaddress.IPv6Network)
        return isinstance(net, networks) and name.value in net
    if not isinstance(limit, x509.DNSName):
        return False
    return name.value == limit.value or name.value.endswith(f".{limit.value}")


def _limits(wanted: tuple[Name, ...]) -> tuple[x509.GeneralName, ...]:
    """The names that are wanted and the addresses of closed networks: these may change each day."""
    closed = tuple(x509.IPAddress(ipaddress.ip_network(one)) for one in CLOSED_NETWORKS)
    limits: tuple[x509.GeneralName, ...] = (x509.DNSName("local"), *closed)
    beyond = (name for name in wanted if not any(_within(name, one) for one in limits))
    return (*map(_limit, beyond), *limits)


def _limit(name: Name) -> x509.GeneralName:
    """A name as a limit: an address is a network of one."""
    if isinstance(name, x509.IPAddress):
        return x509.IPAddress(ipaddress.ip_network(str(name.value)))
    return name


def _new_authority(own: Key, wanted: tuple[Name, ...], now: datetime) -> x509.Certificate:
    called = _called(f"partsvc, own authority, {now:%Y-%m-%d}")
    return (
        _begun(called, called, own, now, AUTHORITY_DAYS)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(signs=True), critical=True)
        .add_extension(
            x509.NameConstraints(permitted_subtrees=_limits(wanted), excluded_subtrees=None),
            critical=True,
        )
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(own.public_key()), critical=False)
        .sign(own, hashes.SHA256())
    )


def _service(
    own: Key, authority: x509.Certificate, key: Key, wanted: tuple[Name, ...], now: datetime
) -> x509.Certificate:
    signer = authority.extensions.get_extension_for_class(x509.SubjectKeyIdentifier).value
    return (
        _begun(_called("partsvc"), authority.subject, own, now, SERVICE_DAYS)
        .add_extension(x509.SubjectAlternativeName(wanted), critical=False)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(signs=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(
            x509.AuthorityKeyIdentifier.from_issuer_subject_key_identifier(signer),
            critical=False,
        )
        .sign(key, hashes.SHA256())
    )


def _begun(
    subject: x509.Name, issuer: x509.Name, own: Key, now: datetime, days: int
) -> x509.CertificateBuilder:
    # An hour back: the clock of a phone that was long in a drawer is behind.
    begins = now - timedelta(hours=1)
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(own.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(begins)
        .not_valid_after(begins + timedelta(days=days))
    )


def _called(words: str) -> x509.Name:
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, words)])


def _usage(*, signs: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs,
        key_cert_sign=signs,
        crl_sign=signs,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        encipher_only=False,
        decipher_only=False,
    )


def _still_good(
    pair: Pair, authority: x509.Certificate, wanted: tuple[Name, ...], now: datetime
) -> bool:
    try:
        found = x509.load_pem_x509_certificate(pair.certificate.read_bytes())
        _read_key(pair.key)
        found.verify_directly_issued_by(authority)
    except (OSError, ValueError, TypeError, InvalidSignature):
        # Not there, cut short by a full disk, or of another authority: made anew.
        return False
    names = found.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    return set(wanted) <= set(names) and found.not_valid_after_utc > now + timedelta(
        days=RENEW_BEFORE_DAYS
    )


def good_until(pair: Pair) -> datetime:
    """When a certificate ends."""
    found = x509.load_pem_x509_certificate(pair.certificate.read_bytes())
    return found.not_valid_after_utc.astimezone(UTC)


def _pem(certificate: x509.Certificate) -> bytes:
    return certificate.public_bytes(serialization.Encoding.PEM)


def _read_key(path: Path) -> Key:
    found = serialization.load_pem_private_key(path.read_bytes(), password=None)
    if not isinstance(found, ec.EllipticCurvePrivateKey):
        raise ValueError(f"{path} is not a key that was made here")
    return found


def _write_key(path: Path, key: Key) -> None:
    """Written so that nobody else on the machine can read it, not even for a moment."""
    text = key.private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.PKCS8,
        serialization.NoEncryption(),
    )
    _write(path, text, mode=0o600)


def _write(path: Path, text: bytes, *, mode: int = 0o644) -> None:
    """Whole or not at all."""
    beside = path.with_suffix(".new")
    beside.unlink(missing_ok=True)
    with os.fdopen(os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode), "wb") as file:
        file.write(text)
        file.flush()
        os.fsync(file.fileno())
    beside.replace(path)
