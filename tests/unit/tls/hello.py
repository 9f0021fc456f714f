"""A TLS hello in memory: what a client that trusts one root is shown."""

import ssl
from pathlib import Path

from cryptography import x509

from canalclock.tls.store import pem


def trusting(root: x509.Certificate) -> ssl.SSLContext:
    """A client that trusts one root and nothing else."""
    return ssl.create_default_context(cadata=pem(root).decode())


def shown(
    server: ssl.SSLContext, client: ssl.SSLContext, name: str
) -> tuple[x509.Certificate, str | None]:
    """
    The certificate that a server shows under a name, and the version of TLS.

    Raises:
        ssl.SSLError: The client does not trust it, or they speak no common version.
    """
    to_server, to_client = ssl.MemoryBIO(), ssl.MemoryBIO()
    ours = client.wrap_bio(to_client, to_server, server_hostname=name)
    theirs = server.wrap_bio(to_server, to_client, server_side=True)
    waiting = [ours, theirs]
    for _ in range(20):
        for side in list(waiting):
            try:
                side.do_handshake()
                waiting.remove(side)
            except ssl.SSLWantReadError:
                pass
        if not waiting:
            break
    der = ours.getpeercert(binary_form=True)
    assert der is not None
    return x509.load_der_x509_certificate(der), ours.version()


def written(file: Path, *parts: bytes) -> Path:
    """A file of these parts."""
    file.write_bytes(b"".join(parts))
    return file
