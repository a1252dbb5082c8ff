"""The shop's own authority: a client that believes it talks to the server, and to nothing else of its making."""

import ssl
from datetime import UTC, datetime
from pathlib import Path
from socket import socketpair
from threading import Thread

import pytest

from fulfil.errors import FileRefused
from fulfil.stations.authority import make_certificates

AT = datetime.now(UTC)


def greets(folder: Path, name: str) -> str:
    """What a TLS client says of the server's certificate when it calls it by a name; empty where it believes it."""
    server_side, client_side = socketpair()
    server = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    server.load_cert_chain(folder / "server.pem", folder / "server-key.pem")
    client = ssl.create_default_context(cafile=str(folder / "authority.pem"))

    def serve() -> None:
        try:
            server.wrap_socket(server_side, server_side=True).close()
        except OSError:
            server_side.close()

    thread = Thread(target=serve)
    thread.start()
    try:
        client.wrap_socket(client_side, server_hostname=name).close()
    except ssl.SSLError as trouble:
        client_side.close()
        return str(trouble)
    finally:
        thread.join(10)
    return ""


def test_a_tablet_that_believes_the_authority_believes_the_server(tmp_path):
    """By each of its names, checked by the TLS library of this computer (OpenSSL), and by no other."""
    make_certificates(tmp_path, ["shop.test", "10.0.0.7"], at=AT)

    assert greets(tmp_path, "shop.test") == ""
    assert greets(tmp_path, "10.0.0.7") == ""
    assert "mismatch" in greets(tmp_path, "bank.test")


def test_the_next_certificate_is_the_same_authoritys(tmp_path):
    """Tablets need nothing new; a name that it may not vouch for is refused."""
    make_certificates(tmp_path, ["shop.test"], at=AT)
    authority = (tmp_path / "authority.pem").read_bytes()
    server = (tmp_path / "server.pem").read_bytes()
    make_certificates(tmp_path, ["shop.test"], at=AT)

    assert (tmp_path / "authority.pem").read_bytes() == authority
    assert (tmp_path / "server.pem").read_bytes() != server
    assert greets(tmp_path, "shop.test") == ""
    with pytest.raises(FileRefused, match="may vouch for"):
        make_certificates(tmp_path, ["bank.test"], at=AT)
    with pytest.raises(FileRefused, match="a name by which tablets call"):
        make_certificates(tmp_path, [], at=AT)
