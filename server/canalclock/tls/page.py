"""The page that brings a device to trust the authority: plain HTML, nothing in it runs."""

from html import escape
from typing import Final

from msgspec import Struct

from canalclock.tls import words
from canalclock.tls.words import WAYS, Way


class Facts(Struct, frozen=True, kw_only=True):
    """What the page has to say of one service."""

    fingerprint: str
    issuer: str
    names: tuple[str, ...]
    """Names that the authority may vouch for."""
    addresses: tuple[str, ...]
    """Https addresses to open."""
    certificate: str
    """Where the certificate is, as a path; the same with .pem is its PEM form."""
    pem: str
    now: str
    """This machine's clock, as text."""


def page(facts: Facts, browser: str) -> str:
    """
    The page, with the way of the reader's own platform open.

    Args:
        facts: Of this service.
        browser: How the browser describes itself (User-Agent).
    """
    mine = platform_of(browser)
    limits = words.LIMITS.format(names=", ".join(facts.names))
    opened = [f'<li><a href="{escape(a)}">{escape(a)}</a></li>' for a in facts.addresses]
    fails = [text.format(issuer=facts.issuer) for text in words.FAILS]
    return "\n".join(
        (
            '<!doctype html><html lang="en"><head><meta charset="utf-8">',
            '<meta name="viewport" content="width=device-width, initial-scale=1">',
            f"<title>{words.TITLE}</title>",
            '<link rel="stylesheet" href="/trust/style.css"></head><body><main>',
            f"<h1>{words.TITLE}</h1>",
            *_paragraphs(words.WHY, words.ONCE, limits),
            f"<h2>{words.CHECK_TITLE}</h2>",
            *_paragraphs(words.CHECK),
            f'<p class="fingerprint" translate="no">{_pairs(facts.fingerprint)}</p>',
            f"<h2>{words.GET_TITLE}</h2>",
            f'<p><a class="press" href="{escape(facts.certificate)}">{words.GET}</a></p>',
            f'<p><a href="{escape(facts.pem)}">{words.GET_PEM}</a></p>',
            f"<h2>{words.DO_TITLE}</h2>",
            *(_way(way, way is mine) for way in WAYS),
            f"<h2>{words.OPEN_TITLE}</h2>",
            *_paragraphs(words.OPEN if opened else words.NO_ADDRESS),
            f"<ul>{''.join(opened)}</ul>" if opened else "",
            f"<h2>{words.CLOCK_TITLE}</h2>",
            _list([words.CLOCK.format(now=facts.now), *fails]),
            "</main></body></html>",
        )
    )


def platform_of(browser: str) -> Way | None:
    """The platform that a browser says it runs on; None = it does not say."""
    return next((way for way in WAYS if any(mark in browser for mark in way.marks)), None)


def _way(way: Way, is_open: bool) -> str:
    steps = "".join(f"<li>{escape(step)}</li>" for step in way.steps)
    return (
        f'<details id="{way.key}"{" open" if is_open else ""}>'
        f"<summary>{escape(way.title)}</summary>"
        f"<ol>{steps}</ol><h3>If it does not work</h3>{_list(list(way.fails))}"
        f"<h3>To take it away again</h3><p>{escape(way.undo)}</p></details>"
    )


def _pairs(fingerprint: str) -> str:
    pairs = fingerprint.split(" ")
    rows = [" ".join(pairs[at : at + 8]) for at in range(0, len(pairs), 8)]
    return "".join(f"<span>{escape(row)}</span> " for row in rows)


def _paragraphs(*texts: str) -> list[str]:
    return [f"<p>{escape(text)}</p>" for text in texts]


def _list(texts: list[str]) -> str:
    return f"<ul>{''.join(f'<li>{escape(text)}</li>' for text in texts)}</ul>"


STYLE: Final = """\
:root { color-scheme: light dark; font: 1.0625rem/1.5 system-ui, sans-serif; }
body { margin: 0; background: #f6f5f1; color: #1c1f21; }
main { max-width: 40rem; margin: 0 auto; padding: 1rem 1rem 4rem; }
h1 { font-size: 1.6rem; line-height: 1.2; }
h2 { font-size: 1.2rem; margin-top: 2rem; }
h3 { font-size: 1rem; margin: 1rem 0 .25rem; }
a { color: #0b4f7d; overflow-wrap: anywhere; }
a.press { display: block; padding: 1.1rem 1rem; border-radius: .75rem; background: #0b4f7d;
  color: #fff; text-align: center; text-decoration: none; font-weight: 600; }
.fingerprint { font: 1.1rem/1.7 ui-monospace, monospace; padding: .75rem 1rem;
  border: 1px solid currentColor; }
.fingerprint span { display: block; }
details { border-top: 1px solid #8a8f92; padding: .25rem 0; }
summary { padding: .9rem 0; font-weight: 600; cursor: pointer; }
li { margin: .4rem 0; }
:focus-visible { outline: 3px solid #b35c00; outline-offset: 2px; }
@media (prefers-color-scheme: dark) {
  body { background: #14181a; color: #e8e6df; }
  a { color: #8cc8f0; }
  a.press { background: #8cc8f0; color: #0d1113; }
}
"""
