"""What a build of the program takes along: every package and every file of data, none of them listed by hand."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
BUILD = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["setuptools"]
ROOTS = {name: ROOT / folder for name, folder in BUILD["package-dir"].items()}
DATA = (".tcss", ".toml", ".typed")


def packages() -> set[str]:
    """Every folder with code under the three roots, by the name it is imported by."""
    return {
        ".".join((name, *path.parent.relative_to(folder).parts))
        for name, folder in ROOTS.items()
        for path in folder.rglob("*.py")
    }


def test_every_folder_with_code_is_a_package() -> None:
    """Each has its __init__.py, and so has every folder above it up to its root."""
    folders = {
        folder
        for root in ROOTS.values()
        for path in root.rglob("*.py")
        for folder in (path.parent, *path.parent.parents)
        if folder.is_relative_to(root)
    }
    assert [str(folder) for folder in folders if not (folder / "__init__.py").is_file()] == []
    assert len(folders) > 10


def test_the_build_finds_every_package() -> None:
    """No list by hand turns the finding off, and what setuptools finds under the roots holds every package."""
    assert not {"packages", "py-modules", "ext-modules"} & BUILD.keys()
    discovery = pytest.importorskip("setuptools.discovery", reason="the build brings its own setuptools")
    from setuptools import Distribution

    built = Distribution({"name": "trial", "package_dir": BUILD["package-dir"], "src_root": str(ROOT)})
    discovery.ConfigDiscovery(built)()
    assert packages() - set(built.packages) == set()


def test_the_build_takes_every_file_of_data() -> None:
    """The styles of the screens, the knowledge and the mark for typed code all match a pattern of the build."""
    taken = {
        path
        for name, patterns in BUILD["package-data"].items()
        for pattern in patterns
        for path in ROOTS[name].glob(pattern)
    }
    there = {path for root in ROOTS.values() for path in root.rglob("*") if path.suffix in DATA}
    assert there - taken == set()
    assert {path.suffix for path in there} == set(DATA)
