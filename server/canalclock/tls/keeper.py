"""Keeps the certificate fit for use while the service runs: looks once a minute.

A look that fails leaves the certificate in use as it is, and says why.
"""

import logging
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Final, Protocol

from apscheduler.schedulers.asyncio import AsyncIOScheduler
from apscheduler.triggers.interval import IntervalTrigger

from canalclock.tls.authority import (
    Authority,
    check_given,
    check_time,
    day,
    fingerprint,
    made,
    split,
)
from canalclock.tls.certificate import RENEW_BEFORE, Issued, issued, why_due
from canalclock.tls.connection import Notice
from canalclock.tls.faults import TlsFault
from canalclock.tls.front import Front
from canalclock.tls.names import Interface, Reached, to_name
from canalclock.tls.own import Own, checked
from canalclock.tls.store import Store, open_to_others

LOOK_EVERY_S = 60.0
"""How often addresses, dates and files are looked at. [s]  A choice: a notice within a minute."""
AUTHORITY_NOTICE: Final = timedelta(days=90)
"""How long before an authority ends a person is told.  A choice."""
_log = logging.getLogger("canalclock.tls")


class Keeper(Protocol):
    """What keeps one certificate."""

    front: Front

    def look(self) -> None:
        """See what has changed, and change the certificate if one is due. Raises: TlsFault."""

    @property
    def ends(self) -> datetime:
        """When the certificate in use ends."""

    @property
    def reached(self) -> Reached:
        """What the certificate in use names."""

    def notices(self) -> tuple[Notice, ...]:
        """What a person should see to."""


class LocalKeeper:
    """The certificate of the local authority."""

    def __init__(
        self,
        store: Store,
        given: tuple[str, ...],
        host: Callable[[], str],
        interfaces: Callable[[], tuple[Interface, ...]],
        now: Callable[[], datetime],
        anew: bool = False,
    ) -> None:
        """
        Make the authority if there is none (or `anew`), and the certificate if one is due.

        Args:
            store: Where both are kept.
            given: Names and addresses from the person who starts it, tidy.
            host: What this machine calls itself.
            interfaces: The addresses that it has.
            now: Its clock.
            anew: Make another authority, in place of the one there is.

        Raises:
            TlsFault: One of them cannot be read, written or used.
        """
        self._store = store
        self._given = given
        self._host = host
        self._interfaces = interfaces
        self._now = now
        self._exposed = store.close_to_others()
        self._authority = self._bring(anew)
        check_time(self._authority, now())
        check_given(self._authority, given)
        self._beyond: tuple[str, ...] = ()
        self._issued: Issued | None = store.issued()
        self._renew()
        self.front = Front(store.server_file)

    @property
    def authority(self) -> Authority:
        """What devices trust."""
        return self._authority

    @property
    def fingerprint(self) -> str:
        """SHA-256 of what devices trust, in pairs."""
        return fingerprint(self._authority.root)

    @property
    def ends(self) -> datetime:
        """When the certificate in use ends."""
        return self._in_use.certificate.not_valid_after_utc

    @property
    def reached(self) -> Reached:
        """What the certificate names."""
        return split(self._authority, self._wanted())[0]

    def look(self) -> None:
        """Make another certificate if addresses, names or dates ask for one. Raises: TlsFault."""
        check_time(self._authority, self._now())
        if self._renew():
            self.front.use(self._store.server_file)

    def notices(self) -> tuple[Notice, ...]:
        """What a person should see to."""
        said = [Notice(code="exposed", about=str(file.name)) for file in self._exposed]
        if self._beyond:
            said.append(Notice(code="names_left_out", about=", ".join(self._beyond)))
        ends = self._authority.root.not_valid_after_utc
        if self._now() > ends - AUTHORITY_NOTICE:
            said.append(Notice(code="authority_ends", about=day(ends)))
        elif self._now() > self.ends - RENEW_BEFORE:
            said.append(Notice(code="ends_soon", about=day(self.ends)))
        return tuple(said)

    @property
    def _in_use(self) -> Issued:
        assert self._issued is not None
        return self._issued

    def _bring(self, anew: bool) -> Authority:
        kept = None if anew else self._store.authority()
        if kept is not None:
            return kept
        bare = self._host().split(".")[0].lower()
        authority = made(bare, self._given, self._now())
        self._store.keep_authority(authority)
        return authority

    def _wanted(self) -> Reached:
        return to_name(self._host(), self._given, self._interfaces())

    def _renew(self) -> bool:
        may, self._beyond = split(self._authority, self._wanted())
        old = self._issued
        why = "none yet" if old is None else why_due(old, self._authority, may, self._now())
        if why is None:
            return False
        new = issued(self._authority, may, self._now())
        self._store.keep_issued(new, self._authority)
        self._issued = new
        _log.info("a new certificate until %s: %s", day(self.ends), why)
        return True


class OwnKeeper:
    """The clinic's own certificate, read again when its files change."""

    def __init__(
        self, chain: Path, key: Path, names: tuple[str, ...], now: Callable[[], datetime]
    ) -> None:
        """
        Check it, and begin with it.

        Raises:
            TlsFault: It cannot be used.
        """
        self._chain = chain
        self._key = key
        self._names = names
        self._now = now
        self._own: Own = checked(chain, key, names, now())
        self._seen = self._stamp()
        self.front = Front(chain, key)

    @property
    def ends(self) -> datetime:
        """When the certificate in use ends."""
        return self._own.certificate.not_valid_after_utc

    @property
    def reached(self) -> Reached:
        """What the certificate names."""
        return self._own.reached

    def look(self) -> None:
        """Use what stands in the files now, if they changed. Raises: TlsFault; the old stays."""
        stamp = self._stamp()
        if stamp == self._seen:
            return
        own = checked(self._chain, self._key, self._names, self._now())
        self.front.use(self._chain, self._key)
        self._own, self._seen = own, stamp
        _log.info("the clinic's certificate was read again, until %s", day(self.ends))

    def notices(self) -> tuple[Notice, ...]:
        """What a person should see to."""
        said = []
        if self._key.exists() and open_to_others(self._key):
            said.append(Notice(code="exposed", about=self._key.name))
        if self._now() > self.ends - RENEW_BEFORE:
            said.append(Notice(code="ends_soon", about=day(self.ends)))
        return tuple(said)

    def _stamp(self) -> tuple[object, ...]:
        return tuple(
            (found.st_mtime_ns, found.st_size, found.st_ino)
            for found in (file.stat() for file in (self._chain, self._key) if file.exists())
        )


class Renewal:
    """Has a keeper look once a minute."""

    def __init__(self, keeper: Keeper, every_s: float | None = None) -> None:
        """`every_s`: seconds between looks; None = LOOK_EVERY_S."""
        self._keeper = keeper
        self._failing: str | None = None
        self._scheduler = AsyncIOScheduler(timezone=UTC)
        self._every_s = LOOK_EVERY_S if every_s is None else every_s

    def start(self) -> None:
        """Begin to look, on the running loop."""
        self._scheduler.add_job(
            self.look,
            IntervalTrigger(seconds=self._every_s, timezone=UTC),
            misfire_grace_time=None,
            coalesce=True,
            max_instances=1,
        )
        self._scheduler.start()

    def stop(self) -> None:
        """Look no more."""
        if self._scheduler.running:
            self._scheduler.shutdown(wait=False)

    def look(self) -> None:
        """Look once; what fails is said once, and again when it is something else."""
        try:
            self._keeper.look()
        except (TlsFault, OSError) as fault:
            if str(fault) != self._failing:
                _log.warning("the certificate stays as it is: %s", fault)
            self._failing = str(fault)
        else:
            self._failing = None

    def notices(self) -> tuple[Notice, ...]:
        """What a person should see to, the last failure first."""
        failed = () if self._failing is None else (self._failing,)
        return (*(Notice(code="not_renewed", about=why) for why in failed),
                *self._keeper.notices())  # fmt: skip
