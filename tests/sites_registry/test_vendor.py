"""Third-party front-end assets: kept as published, with their licence; renewed by a maintainer's command."""

import hashlib
import io
import json
import os
import re
import tarfile
from pathlib import Path

import pytest
from django.conf import settings
from django.core.management import CommandError, call_command

VENDOR = settings.BASE_DIR / "sites_registry" / "static" / "vendor"
PACKAGES = json.loads((VENDOR / "vendor.json").read_text())["packages"]

# What the licence text itself says, by its SPDX identifier (spdx.org/licenses; wording from memory).
LICENCE_WORDS = {
    "MIT": "Permission is hereby granted, free of charge, to any person obtaining a copy",
    "0BSD": "Permission to use, copy, modify, and/or distribute this software for any purpose",
    "ISC": "provided that the above copyright notice and this permission notice appear in all copies",
    "OFL-1.1": "SIL Open Font License, Version 1.1",
}


def recorded_files():
    return [(f"{package['folder']}/{row['file']}", row["sha256"]) for package in PACKAGES for row in package["files"]]


@pytest.mark.parametrize(("path", "recorded"), recorded_files(), ids=[path for path, _ in recorded_files()])
def test_each_file_is_as_it_was_published(path, recorded):
    assert hashlib.sha256((VENDOR / path).read_bytes()).hexdigest() == recorded


def test_vendor_holds_no_file_that_is_not_recorded():
    found = {path.relative_to(VENDOR).as_posix() for path in VENDOR.rglob("*") if path.is_file()}
    assert found == {path for path, _ in recorded_files()} | {"vendor.json"}


@pytest.mark.parametrize("package", PACKAGES, ids=lambda package: package["name"])
def test_each_package_comes_with_the_licence_that_is_recorded(package):
    text = " ".join((VENDOR / package["folder"] / "LICENSE").read_text().split())
    assert LICENCE_WORDS[package["licence"]] in text


@pytest.mark.parametrize("package", PACKAGES, ids=lambda package: package["name"])
def test_each_folder_names_the_version_it_holds(package):
    assert package["folder"].endswith(f"-{package['version']}")


@pytest.mark.parametrize("path", [path for path, _ in recorded_files() if path.endswith((".css", ".js"))])
def test_each_source_map_that_is_named_is_there(path):
    # Otherwise the static files manifest refuses to be built.
    for named in re.findall(r"sourceMappingURL=(\S+?)(?:\s*\*/)?$", (VENDOR / path).read_text(), re.MULTILINE):
        assert (VENDOR / path).with_name(named).is_file()


class Registry:
    """A folder of assets with one package, and an `npm` that hands out what was put into it."""

    def __init__(self, folder):
        self.folder = folder / "vendor"
        self.published = folder / "published"
        self.published.mkdir()
        programs = folder / "bin"
        programs.mkdir()
        npm = programs / "npm"
        npm.write_text(
            "#!/bin/sh\n# npm pack --silent --ignore-scripts --pack-destination FOLDER NAME@VERSION\n"
            f'cp "{self.published}/$6.tgz" "$5/" || exit 1\n'
        )
        npm.chmod(0o755)
        self.path = f"{programs}{os.pathsep}{os.environ['PATH']}"
        self.asset = self.folder / "lamp-1.0.0" / "lamp.js"
        self.asset.parent.mkdir(parents=True)
        self.asset.write_bytes(b"lamp one")
        self.record("1.0.0", b"lamp one")

    def record(self, version, content):
        row = {
            "file": "lamp.js",
            "published_as": "dist/lamp.js",
            "sha256": hashlib.sha256(content).hexdigest(),
        }
        package = {
            "name": "lamp",
            "version": version,
            "licence": "MIT",
            "folder": f"lamp-{version}",
            "files": [row],
        }
        (self.folder / "vendor.json").write_text(json.dumps({"packages": [package]}))

    def publish(self, version, content, path="dist/lamp.js"):
        with tarfile.open(self.published / f"lamp@{version}.tgz", "w:gz") as archive:
            entry = tarfile.TarInfo(f"package/{path}")
            entry.size = len(content)
            archive.addfile(entry, io.BytesIO(content))

    def recorded(self):
        return json.loads((self.folder / "vendor.json").read_text())["packages"][0]

    def everything(self):
        return {path: path.read_bytes() for path in Path(self.folder).rglob("*") if path.is_file()}


@pytest.fixture
def registry(tmp_path, monkeypatch):
    registry = Registry(tmp_path)
    monkeypatch.setenv("PATH", registry.path)
    return registry


def test_refresh_brings_back_a_damaged_file(registry):
    registry.publish("1.0.0", b"lamp one")
    registry.asset.write_bytes(b"damaged")
    call_command("refresh_vendor", folder=registry.folder)
    assert registry.asset.read_bytes() == b"lamp one"


def test_refresh_refuses_what_differs_from_the_record_and_changes_nothing(registry):
    registry.publish("1.0.0", b"lamp one, but another")
    before = registry.everything()
    with pytest.raises(CommandError, match="dist/lamp.js is not what"):
        call_command("refresh_vendor", folder=registry.folder)
    assert registry.everything() == before


def test_refresh_moves_to_the_version_asked_for(registry):
    registry.publish("2.0.0", b"lamp two")
    call_command("refresh_vendor", "lamp@2.0.0", folder=registry.folder)
    assert not registry.asset.parent.exists()
    assert (registry.folder / "lamp-2.0.0" / "lamp.js").read_bytes() == b"lamp two"
    assert registry.recorded()["version"] == "2.0.0"
    assert registry.recorded()["files"][0]["sha256"] == hashlib.sha256(b"lamp two").hexdigest()


def test_refresh_changes_nothing_when_the_new_version_lacks_a_file(registry):
    registry.publish("2.0.0", b"lamp two", path="build/lamp.js")
    before = registry.everything()
    with pytest.raises(CommandError, match="no longer a file that vendor.json names"):
        call_command("refresh_vendor", "lamp@2.0.0", folder=registry.folder)
    assert registry.everything() == before


@pytest.mark.parametrize("argument", ["lamp", "lamp@", "lamp@../1.0.0", "candle@1.0.0", "@1.0.0"])
def test_refresh_refuses_a_package_it_does_not_know(registry, argument):
    with pytest.raises(CommandError, match=re.escape(f"'{argument}' is not NAME@VERSION")):
        call_command("refresh_vendor", argument, folder=registry.folder)


def test_refresh_says_when_the_version_cannot_be_had(registry):
    with pytest.raises(CommandError, match="npm could not fetch lamp@9"):
        call_command("refresh_vendor", "lamp@9", folder=registry.folder)
