"""What `serve` joins for https: the keeper of the certificate, the plain port, what both say.

`Plain` needs nothing of canalclock.tls but names; `Secure` brings `cryptography`.
"""

from datetime import UTC, datetime
from typing import TYPE_CHECKING, Protocol

from msgspec import Struct

from canalclock.settings import Settings
from canalclock.tls.connection import Connection, Mode, Notice
from canalclock.tls.interfaces import host_name, in_container, interfaces
from canalclock.tls.names import for_devices, is_loopback, tidy, web_address

if TYPE_CHECKING:
    from canalclock.tls.entrance import Entrance
    from canalclock.tls.front import Front
    from canalclock.tls.keeper import Keeper, LocalKeeper
    from canalclock.tls.page import Facts

EVERYWHERE = ("0.0.0.0", "::")  # noqa: S104
"""Hosts that stand for every address of this machine."""


class Served(Protocol):
    """How the service is reached, whatever stands behind it."""

    def connection(self) -> Connection:
        """What is said of it now."""

    def own_names(self) -> tuple[str, ...]:
        """Names that requests may name."""


class Plain(Struct, frozen=True, kw_only=True):
    """Over http, or behind a proxy that does https."""

    mode: Mode
    settings: Settings
    port: int

    def connection(self) -> Connection:
        """Addresses alone."""
        settings, port = self.settings, self.port
        if self.mode == "proxy":
            hosts = settings.names
            return Connection(
                mode="proxy", addresses=tuple(web_address("https", host, 443) for host in hosts)
            )
        hosts = reachable(settings)
        return Connection(
            mode="plain", addresses=tuple(web_address("http", host, port) for host in hosts)
        )

    def own_names(self) -> tuple[str, ...]:
        """Names given."""
        return self.settings.names


class Secure:
    """Over https, by the local authority or the clinic's own certificate."""

    def __init__(self, settings: Settings, port: int, trust_port: int) -> None:
        """
        Bring the certificate, making it if it is due.

        Raises:
            TlsFault: It cannot be used; the text says what to do.
        """
        from canalclock.tls.keeper import Renewal

        self._settings = settings
        self._port = port
        self._trust_port = trust_port
        self._local: LocalKeeper | None = None
        self._keeper: Keeper = self._own() if settings.certificate else self._authority()
        self.renewal = Renewal(self._keeper)

    @property
    def front(self) -> "Front":
        """What new connections get."""
        return self._keeper.front

    def entrance(self) -> "Entrance":
        """The application of the plain port."""
        from canalclock.tls.entrance import Entrance, Root
        from canalclock.tls.own import covers
        from canalclock.tls.store import pem

        root = None
        if self._local is not None:
            from cryptography.hazmat.primitives.serialization import Encoding

            trusted = self._local.authority.root
            short = self._local.fingerprint.replace(" ", "")[:8].lower()
            root = Root(
                der=trusted.public_bytes(Encoding.DER),
                pem=pem(trusted),
                file_name=f"canalclock-authority-{short}",
                facts=lambda: self._facts(short),
            )
        return Entrance(
            self._port,
            lambda: (*self._hosts(), "127.0.0.1")[0],
            lambda host: covers(self._keeper.reached, host),
            root,
        )

    def connection(self) -> Connection:
        """Addresses, fingerprint, end and notices, as they are now."""
        hosts = self._hosts()
        local = self._local
        return Connection(
            mode="own" if local is None else "authority",
            addresses=tuple(web_address("https", host, self._port) for host in hosts),
            trust=()
            if local is None
            else tuple(web_address("http", host, self._trust_port, "/trust") for host in hosts),
            fingerprint=None if local is None else local.fingerprint,
            ends_at_ms=round(self._keeper.ends.timestamp() * 1000),
            notices=self.renewal.notices(),
        )

    def own_names(self) -> tuple[str, ...]:
        """Names given, and those of the clinic's certificate."""
        held = () if self._local is not None else self._keeper.reached.names
        return (*self._settings.names, *held)

    def _hosts(self) -> tuple[str, ...]:
        """Hosts for other devices that the certificate counts for."""
        from canalclock.tls.own import covers

        found = reachable(self._settings)
        if self._local is None:
            held = self._keeper.reached
            named = [host for host in held.names if not host.startswith("*.")]
            return tuple(dict.fromkeys([*(h for h in found if covers(held, h)), *named]))
        return tuple(host for host in found if covers(self._keeper.reached, host))

    def _authority(self) -> "LocalKeeper":
        from canalclock.tls.keeper import LocalKeeper
        from canalclock.tls.store import Store

        settings = self._settings
        self._local = LocalKeeper(
            Store(settings.data), _given(settings), host_name, interfaces, _now,
            settings.new_authority,
        )  # fmt: skip
        return self._local

    def _own(self) -> "Keeper":
        from canalclock.tls.keeper import OwnKeeper

        settings = self._settings
        assert settings.certificate is not None and settings.key is not None
        return OwnKeeper(settings.certificate, settings.key, settings.names, _now)

    def _facts(self, short: str) -> "Facts":
        from canalclock.tls.authority import permitted, title_of
        from canalclock.tls.page import Facts

        assert self._local is not None
        authority = self._local.authority
        return Facts(
            fingerprint=self._local.fingerprint,
            issuer=title_of(authority.signer),
            names=permitted(authority)[0],
            addresses=self.connection().addresses,
            certificate=f"/trust/canalclock-authority-{short}.crt",
            pem=f"/trust/canalclock-authority-{short}.pem",
            now=f"{_now():%Y-%m-%d %H:%M}",
        )


def reachable(settings: Settings) -> tuple[str, ...]:
    """Hosts that another device may be told to open; none if only this machine is listened to."""
    if is_loopback(settings.host):
        return ()
    if settings.host not in EVERYWHERE:
        return (*settings.names, tidy(settings.host))
    return for_devices(settings.names, interfaces(), in_container())


def tidy_settings(settings: Settings) -> Settings:
    """
    Settings with their names as certificates spell them.

    Raises:
        BadName: One is no name and no address.
    """
    from msgspec.structs import replace

    return replace(settings, names=tuple(tidy(name) for name in settings.names))


def _given(settings: Settings) -> tuple[str, ...]:
    """Names given, and the one address that is listened to, if there is one."""
    if settings.host in EVERYWHERE or is_loopback(settings.host):
        return settings.names
    return (*settings.names, tidy(settings.host))


def _now() -> datetime:
    return datetime.now(UTC)


def notice_text(notice: Notice) -> str:
    """A notice for the console."""
    return {
        "ends_soon": f"The certificate ends on {notice.about}; renew it.",
        "not_renewed": f"The certificate stays as it is: {notice.about}",
        "names_left_out": f"The local authority may not vouch for {notice.about}; devices cannot "
        "use it. Start once with --new-authority if they should, and bring every device to trust "
        "the new one.",
        "authority_ends": f"The local authority ends on {notice.about}; start once with "
        "--new-authority before that, and bring every device to trust the new one.",
        "exposed": f"The key in {notice.about} could be read by other users of this machine; if "
        "one of them is not trusted, have the certificate replaced.",
    }[notice.code]
