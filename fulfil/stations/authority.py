"""The shop's own certificate authority: TLS between the tablets and the shop's computer, without a stranger's say.

An authority is made once; its certificate is installed on each tablet by hand. It may vouch for the names given and for
nothing else (name constraints, RFC 5280, 4.2.1.10), so that whoever steals its key can't pass for a bank. Each server
certificate is for these names and lasts 397 days, after which the same command makes the next one. Keys are on curve
P-256 (FIPS 186-5), files that hold one are readable by their owner only.

>>> from datetime import UTC
>>> from tempfile import TemporaryDirectory
>>> with TemporaryDirectory() as folder:
...     made = make_certificates(Path(folder), ["shop.test", "10.0.0.7"], at=datetime(2026, 3, 2, tzinfo=UTC))
...     [path.name for path in made], oct(made[1].stat().st_mode & 0o777)
(['authority.pem', 'authority-key.pem', 'server.pem', 'server-key.pem'], '0o600')
"""

import os
from collections.abc import Sequence
from datetime import datetime, timedelta
from ipaddress import ip_address, ip_network
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from fulfil.errors import FileRefused

AUTHORITY_DAYS, SERVER_DAYS = 3650, 397
_FILES = ("authority.pem", "authority-key.pem", "server.pem", "server-key.pem")


def make_certificates(folder: Path, names: Sequence[str], *, at: datetime) -> tuple[Path, ...]:
    """The authority, made where the folder has none, and a new certificate for the server; their files.

    ``names`` are those by which tablets call the server: host names and addresses.

    Raises:
        FileRefused: no name, the folder's authority may not vouch for one of them, or its files can't be read.
    """
    if not names:
        raise FileRefused(
            "make certificates in", folder, "a name by which tablets call this computer: --name shop.local"
        )
    folder.mkdir(parents=True, exist_ok=True)
    authority_file, key_file, server_file, server_key_file = (folder / name for name in _FILES)
    alternatives = [_name(one) for one in dict.fromkeys(names)]
    if not authority_file.exists():
        authority, key = _authority(alternatives, at)
        _write(key_file, _pem(key), 0o600)
        _write(authority_file, authority.public_bytes(serialization.Encoding.PEM), 0o644)
    authority, key = _read(authority_file, key_file)
    _must_vouch(authority, names, folder)
    server_key = ec.generate_private_key(ec.SECP256R1())
    server = (
        _builder(_subject(names[0]), authority.subject, server_key, at, SERVER_DAYS)
        .add_extension(x509.SubjectAlternativeName(alternatives), critical=False)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(key.public_key()), critical=False)
        .sign(key, hashes.SHA256())
    )
    _write(server_key_file, _pem(server_key), 0o600)
    _write(server_file, server.public_bytes(serialization.Encoding.PEM), 0o644)
    return authority_file, key_file, server_file, server_key_file


def _authority(names: list[x509.GeneralName], at: datetime) -> tuple[x509.Certificate, ec.EllipticCurvePrivateKey]:
    key = ec.generate_private_key(ec.SECP256R1())
    subject = _subject("The shop's own authority (fulfil)")
    permitted = [x509.IPAddress(ip_network(one.value)) if isinstance(one, x509.IPAddress) else one for one in names]
    usage = {name: name in ("key_cert_sign", "crl_sign") for name in (
        "digital_signature", "content_commitment", "key_encipherment", "data_encipherment", "key_agreement",
        "key_cert_sign", "crl_sign", "encipher_only", "decipher_only")}  # fmt: skip
    authority = (
        _builder(subject, subject, key, at, AUTHORITY_DAYS)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(x509.KeyUsage(**usage), critical=True)
        .add_extension(x509.NameConstraints(permitted_subtrees=permitted, excluded_subtrees=None), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(key, hashes.SHA256())
    )
    return authority, key


def _builder(
    subject: x509.Name, issuer: x509.Name, key: ec.EllipticCurvePrivateKey, at: datetime, days: int
) -> x509.CertificateBuilder:
    # A tablet's clock may be a little behind.
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(at - timedelta(hours=1))
        .not_valid_after(at + timedelta(days=days))
    )


def _read(authority_file: Path, key_file: Path) -> tuple[x509.Certificate, ec.EllipticCurvePrivateKey]:
    try:
        authority = x509.load_pem_x509_certificate(authority_file.read_bytes())
        key = serialization.load_pem_private_key(key_file.read_bytes(), password=None)
    except (OSError, ValueError) as trouble:
        raise FileRefused(
            "read the authority", authority_file, f"its certificate and key as PEM; {trouble}"
        ) from trouble
    if not isinstance(key, ec.EllipticCurvePrivateKey):
        raise FileRefused("read the authority's key", key_file, "the key that was made with it")
    return authority, key


def _must_vouch(authority: x509.Certificate, names: Sequence[str], folder: Path) -> None:
    constraints = authority.extensions.get_extension_for_class(x509.NameConstraints).value
    may = {str(one.value) for one in constraints.permitted_subtrees or ()}
    for name in names:
        value = _name(name).value
        if str(value) not in may and f"{value}/32" not in may and f"{value}/128" not in may:
            expected = (
                f"a name that the authority in {folder} may vouch for ({', '.join(sorted(may))}); else another folder"
            )
            raise FileRefused("make a certificate for", name, expected)


def _name(said: str) -> x509.GeneralName:
    try:
        return x509.IPAddress(ip_address(said))
    except ValueError:
        pass
    try:
        return x509.DNSName(said.lower())
    except ValueError as trouble:
        raise FileRefused("make a certificate for", said, f"a host name or an address; {trouble}") from trouble


def _subject(common: str) -> x509.Name:
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, common[:64])])


def _pem(key: ec.EllipticCurvePrivateKey) -> bytes:
    return key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )


def _write(path: Path, content: bytes, mode: int) -> None:
    descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, mode)
    with os.fdopen(descriptor, "wb") as file:
        file.write(content)
