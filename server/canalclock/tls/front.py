"""The context that every new connection gets; exchanged while the service listens.

The listening socket keeps one context for ever. At each hello it hands the connection the one that
is in use by then, so a renewal needs no restart and cuts nobody off.
"""

import ssl
from pathlib import Path

from canalclock.tls.faults import BadFile


class Front:
    """TLS 1.2 and 1.3 with a certificate that can be exchanged."""

    def __init__(self, chain: Path, key: Path | None = None) -> None:
        """
        Begin with a certificate.

        Args:
            chain: The certificate, with its key unless `key` names it.
            key: The key's file.

        Raises:
            BadFile: The two cannot be used.
        """
        self._current = _context(chain, key)
        self.context = _context(chain, key)
        self.context.sni_callback = self._hand_over

    def use(self, chain: Path, key: Path | None = None) -> None:
        """From the next connection on, another certificate. Raises: BadFile; the old one stays."""
        self._current = _context(chain, key)

    def _hand_over(
        self, connection: ssl.SSLObject, name: str | None, first: ssl.SSLContext
    ) -> None:
        connection.context = self._current


def _context(chain: Path, key: Path | None) -> ssl.SSLContext:
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.minimum_version = ssl.TLSVersion.TLSv1_2
    context.set_alpn_protocols(["http/1.1"])
    try:
        context.load_cert_chain(chain, key, password=_no_password)
    except (OSError, ssl.SSLError) as fault:
        said = getattr(fault, "reason", None) or fault.strerror or str(fault)
        raise BadFile(f"{chain}: found {said}, expected a certificate and its key") from fault
    return context


def _no_password() -> str:
    """Never ask at the terminal for a key's password."""
    return ""
