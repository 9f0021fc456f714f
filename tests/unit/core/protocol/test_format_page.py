"""The format's page names every key, act, choice and code, and its example is a good file."""

import re
from typing import Any, get_args

import msgspec

from canalclock.core.protocol.definition import Act, Catalogue, Protocol
from canalclock.core.protocol.questions import QUESTIONS
from canalclock.core.protocol.reading import read_protocol
from canalclock.core.protocol.trade import written_key
from canalclock.protocol_files import protocols_dir, shipped_catalogue

PAGE = (protocols_dir() / "README.md").read_text(encoding="utf-8")
PROSE = re.sub(r"```.*?```", "", PAGE, flags=re.DOTALL)
WORDS = set(re.findall(r"[a-z0-9_]+", " ".join(re.findall(r"`([^`]+)`", PROSE))))
ROOM = protocols_dir().parent / "server" / "canalclock" / "core" / "protocol"


def keys_of(definition: Any) -> set[str]:
    """Every key of a definition and of the tables in it, as written."""
    schemas = msgspec.json.schema(definition)["$defs"].values()
    return {written_key(name) for s in schemas for name in s.get("properties", ())}


def test_every_key_is_on_the_page() -> None:
    roots = {"irrigants", "pairs"}  # the roots of two catalogue files are their names
    assert (keys_of(Protocol) | keys_of(Catalogue)) - roots - WORDS == set()


def test_every_act_and_question_is_on_the_page() -> None:
    listed = {q for group in QUESTIONS.values() for q in group if not q.startswith("allergy_")}
    assert (set(get_args(Act)) | listed) - WORDS == set()


def test_every_code_is_on_the_page_and_the_page_knows_no_other() -> None:
    table = PAGE[PAGE.index("| code |") :]
    listed = set(re.findall(r"`([a-z0-9_]+)`", "".join(re.findall(r"^\| (.*?) \|", table, re.M))))
    text = "".join(p.read_text(encoding="utf-8") for p in ROOM.glob("*.py"))
    assert {code for code in listed if f'"{code}"' not in text} == set()
    call = r'(?:problem|refuse|_whole)\(\s*(?:[^,"()]|\([^()]*\))+,\s*"([a-z0-9_]+)"'
    made = set(re.findall(call, text))
    assert len(made) >= 20
    assert made - listed == set()


def test_the_example_on_the_page_has_no_problem() -> None:
    example = re.findall(r"```toml\n(.*?)```", PAGE, re.DOTALL)[0]
    told = read_protocol(example.encode(), "example", shipped_catalogue())
    assert isinstance(told, Protocol), told
