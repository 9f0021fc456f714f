"""The built web app's files, and its page for every address that is not one of them."""

from pathlib import Path
from typing import Any

from litestar import Request, Response, Router
from litestar.datastructures import CacheControlHeader
from litestar.exceptions import NotFoundException
from litestar.static_files import create_static_files_router

from canalclock.api.problems import on_http

NOT_BUILT = (
    "<!doctype html><title>Canalclock</title><p>The web app has not been built into this "
    "package; the service itself answers under /api."
)
FOR_EVER = CacheControlHeader(public=True, max_age=31_536_000, immutable=True)
CHECKED = CacheControlHeader(no_cache=True)


def file_routers(web: Path) -> list[Router]:
    """Routers of the built files: hashed names are kept for ever, the rest is checked again."""
    if not web.is_dir():
        return []
    routers = [
        create_static_files_router(path="/", directories=[web], name="web", cache_control=CHECKED)
    ]
    if (web / "assets").is_dir():
        routers.append(
            create_static_files_router(
                path="/assets", directories=[web / "assets"], name="assets", cache_control=FOR_EVER
            )
        )
    return routers


def page_or_problem(web: Path) -> Any:
    """
    What is answered where nothing was found: the app's page to a browser, else a problem.

    `/` is the page whatever is accepted: the service worker fetches it with `*/*`.
    """

    def answer(request: Request[Any, Any, Any], fault: NotFoundException) -> Response[bytes]:
        path = request.url.path
        html = path == "/" or "text/html" in request.headers.get("accept", "")
        if request.method != "GET" or not html or path == "/api" or path.startswith("/api/"):
            return on_http(request, fault)
        page = web / "index.html"
        content = page.read_bytes() if page.is_file() else NOT_BUILT.encode()
        return Response(content, media_type="text/html", headers={"Cache-Control": "no-cache"})

    return answer
