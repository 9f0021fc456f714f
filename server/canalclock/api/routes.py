"""The application over HTTP: every door, the one shape of refusals, the headers of all."""

from collections.abc import Callable
from pathlib import Path

from litestar import Litestar
from litestar.config.compression import CompressionConfig
from litestar.di import Provide
from litestar.exceptions import HTTPException, NotFoundException

from canalclock.api.batches import append
from canalclock.api.calc import calculate, calculate_curve, calculators
from canalclock.api.cards import incident_card
from canalclock.api.clinic import clinic, clock, devices, health, put_device
from canalclock.api.connection import connection_code, connection_said
from canalclock.api.description import description
from canalclock.api.files import file_routers, page_or_problem
from canalclock.api.headers import before_send, own_site
from canalclock.api.kits import kit_document, kits, protocols
from canalclock.api.live import feed, live
from canalclock.api.problems import Refusal, on_anything, on_http, on_ledger, on_refusal
from canalclock.api.report_doors import audit, audit_csv_file, report_csv_file, report_json
from canalclock.api.service import Service
from canalclock.api.set_out import set_out_sheet
from canalclock.api.visits import events, one_visit, sign, visits
from canalclock.ledger.port import LedgerError
from canalclock.tls.connection import PLAIN, Connection

BODY_MAX = 65_536
"""Largest body of a door that says nothing else. [bytes]"""

DOORS = (
    health, clock, clinic, devices, put_device, protocols, kits, kit_document, visits, one_visit,
    events, append, sign, feed, live, incident_card, report_json, report_csv_file,
    audit, audit_csv_file,
    calculators, calculate, calculate_curve,
    set_out_sheet,
    connection_said, connection_code,
)  # fmt: skip


def application(
    service: Service,
    web: Path,
    names: tuple[str, ...] = (),
    connection: Callable[[], Connection] = lambda: PLAIN,
) -> Litestar:
    """The service behind its doors, and the built web app beside them."""
    return Litestar(
        route_handlers=[*DOORS, *file_routers(web)],
        dependencies={
            "service": Provide(lambda: service, sync_to_thread=False, use_cache=True),
            "connection": Provide(connection, sync_to_thread=False),
        },
        exception_handlers={
            Refusal: on_refusal,
            NotFoundException: page_or_problem(web),
            HTTPException: on_http,
            LedgerError: on_ledger,
            Exception: on_anything,
        },
        guards=[own_site(names)],
        before_send=[before_send],
        compression_config=CompressionConfig(backend="gzip", minimum_size=1000),
        request_max_body_size=BODY_MAX,
        openapi_config=description(service.version),
        logging_config=None,
    )
