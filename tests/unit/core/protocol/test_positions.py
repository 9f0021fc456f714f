"""The scanner of places sees exactly the keys that the standard reader sees."""

import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from canalclock.core.protocol.positions import key_lines
from canalclock.core.protocol.problems import Path as KeyPath
from canalclock.protocol_files import protocols_dir

FILES = [
    *protocols_dir().rglob("*.toml"),
    *(Path(__file__).parents[3] / "protocols" / "valid").glob("*.toml"),
]

ODD = (
    r'''
a.b."c d".'e#f' = 1 # a comment with = and [brackets]
"quoted \" key" = "a \\" # not the end
text = """
[not.a.table]
key = 1 \
   """
ends = """two quotes""""" # after
raw = '''
    + "'''"
    + r"""C:\[x]\""""
    + "'''"
    + r"""
when = 1979-05-27 07:32:00
[ x . "y.z" ] # header
k = [ [1, 2], # one
  {n = 1, m.o = [ "]", '}' ]}, ]
[[t]]
[[t]]
[t.sub]
deep = {e = {}, f = []}
[[t.list]]
v = 1
[[t.list]]
w = 2
[[t]]
z = true
"""
)


def seen(value: object, path: KeyPath = ()) -> Iterator[KeyPath]:
    """Every path of a read document."""
    yield path
    items = (
        value.items()
        if isinstance(value, dict)
        else enumerate(value)
        if isinstance(value, list)
        else ()
    )
    for key, inner in items:
        yield from seen(inner, (*path, key))


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.name)
def test_a_files_places_are_those_of_its_keys(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert set(key_lines(text)) == set(seen(tomllib.loads(text)))


def test_odd_but_valid_toml_loses_no_key() -> None:
    assert set(key_lines(ODD)) == set(seen(tomllib.loads(ODD)))


def test_lines_are_counted_from_one_and_through_long_strings() -> None:
    lines = key_lines(ODD)
    at = {text: n for n, text in enumerate(ODD.split("\n"), 1)}
    assert lines[("a", "b", "c d", "e#f")] == 2
    assert lines[("x", "y.z")] == at['[ x . "y.z" ] # header']
    assert lines[("t", 1, "sub", "deep", "e")] == at["deep = {e = {}, f = []}"]
    assert lines[("t", 1, "list", 1, "w")] == at["w = 2"]
    assert lines[("t", 2)] == lines[("t", 2, "z")] - 1


KEYS = st.one_of(
    st.from_regex(r"[A-Za-z0-9_-]{1,5}", fullmatch=True),
    st.text("ab.#\"'[]{}=, \\", min_size=1, max_size=4).map(
        lambda k: '"' + k.replace("\\", "\\\\").replace('"', '\\"') + '"'
    ),
)
SCALARS = st.one_of(
    st.integers(-99, 99).map(str),
    st.sampled_from(["true", "1.5e3", "nan", "1979-05-27", "'''\n]'''", '"""a\n"b" \\\n """']),
    st.text("a#[]{}=,'", max_size=5).map(lambda t: f'"{t}"'),
)
VALUES = st.recursive(
    SCALARS,
    lambda inner: st.one_of(
        st.lists(inner, max_size=3).map(lambda v: "[" + ", # [\n ".join(v) + "\n]"),
        st.dictionaries(KEYS, st.integers(0, 9).map(str), max_size=3).map(
            lambda d: "{" + ", ".join(f"{k} = {v}" for k, v in d.items()) + "}"
        ),
    ),
    max_leaves=6,
)
TABLES = st.lists(
    st.tuples(st.sampled_from(["", "[{}]", "[[{}]]"]), KEYS, st.dictionaries(KEYS, VALUES)),
    max_size=4,
)


@settings(max_examples=60, deadline=None)
@given(TABLES)
def test_whatever_the_reader_takes_the_scanner_places(
    tables: list[tuple[str, str, dict[str, str]]],
) -> None:
    text = ""
    for head, name, pairs in tables:
        text += (head.format(name) + "\n") if head else ""
        text += "".join(f"{k} = {v}\n" for k, v in pairs.items())
    try:
        read = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return  # not valid, so not the scanner's to place
    assert set(key_lines(text)) == set(seen(read))
