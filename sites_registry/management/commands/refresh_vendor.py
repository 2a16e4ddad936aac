import hashlib
import json
import re
import shutil
import subprocess
import tarfile
import tempfile
from pathlib import Path

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError


class Command(BaseCommand):
    help = (
        "Fetches the third-party front-end assets as they were published (needs npm and a network). "
        "Without arguments it holds them against the recorded hashes; NAME@VERSION moves to that version."
    )

    def add_arguments(self, parser):
        parser.add_argument("packages", nargs="*", metavar="NAME@VERSION")
        parser.add_argument(
            "--folder",
            type=Path,
            default=settings.BASE_DIR / "sites_registry" / "static" / "vendor",
            help="where vendor.json is (default: %(default)s)",
        )

    def handle(self, *, packages, folder, **options):
        listing_path = folder / "vendor.json"
        listing = json.loads(listing_path.read_text())
        wanted = wanted_versions(packages, listing)
        for package in listing["packages"]:
            name = package["name"]
            version = wanted.get(name, package["version"])
            if packages and name not in wanted:
                continue
            published = published_files(name, version, [row["published_as"] for row in package["files"]])
            if version == package["version"]:
                write_as_recorded(folder, package, published)
                self.stdout.write(f"{name} {version}: as recorded")
            else:
                old = package["folder"]
                replace_version(folder, package, version, published)
                # One package at a time, so that a later failure leaves no folder without its record.
                listing_path.write_text(json.dumps(listing, indent=2) + "\n")
                self.stdout.write(
                    f"{name}: {package['folder']} in place of {old}. Read its LICENSE, "
                    f"and change what names the old folder: git grep --files-with-matches {old}"
                )


def wanted_versions(arguments, listing):
    """The version asked for, by package name. Raises CommandError for what cannot be meant."""
    known = {package["name"] for package in listing["packages"]}
    wanted = {}
    for argument in arguments:
        name, _, version = argument.rpartition("@")
        if name not in known or not re.fullmatch(r"[0-9A-Za-z.+-]+", version):
            raise CommandError(
                f"'{argument}' is not NAME@VERSION of a package in vendor.json, which has {', '.join(sorted(known))}."
            )
        wanted[name] = version
    return wanted


def published_files(name, version, paths):
    """The bytes of files of a published package, by path. Raises CommandError when one is not to be had."""
    npm = shutil.which("npm")
    if npm is None:
        raise CommandError("npm is not installed. Only this command needs it; the register does not.")
    with tempfile.TemporaryDirectory() as folder:
        fetched = subprocess.run(  # noqa: S603 -- fixed program, and npm gets no more than a name and a version
            [npm, "pack", "--silent", "--ignore-scripts", "--pack-destination", folder, f"{name}@{version}"],
            capture_output=True,
            text=True,
            check=False,
        )
        archives = list(Path(folder).glob("*.tgz"))
        if fetched.returncode or len(archives) != 1:
            raise CommandError(f"npm could not fetch {name}@{version}: {fetched.stderr.strip()}")
        with tarfile.open(archives[0]) as archive:
            try:
                return {path: archive.extractfile(f"package/{path}").read() for path in paths}
            except KeyError as error:
                raise CommandError(
                    f"{name}@{version} has no longer a file that vendor.json names: {error.args[0]} "
                    "Correct 'published_as' there first."
                ) from error


def write_as_recorded(folder, package, published):
    """Write the files of the recorded version, if every one of them has its recorded hash."""
    for row in package["files"]:
        if sha256(published[row["published_as"]]) != row["sha256"]:
            raise CommandError(
                f"{package['name']} {package['version']}: what is published as {row['published_as']} "
                "is not what vendor.json records. Nothing was written for this package. "
                "Find out why before you go on."
            )
    write_files(folder, package, published)


def replace_version(folder, package, version, published):
    """Put another version in the place of the recorded one, and record it."""
    old = folder / package["folder"]
    package["folder"] = package["folder"].removesuffix(package["version"]) + version
    package["version"] = version
    for row in package["files"]:
        row["sha256"] = sha256(published[row["published_as"]])
    write_files(folder, package, published)
    shutil.rmtree(old)


def write_files(folder, package, published):
    (folder / package["folder"]).mkdir(exist_ok=True)
    for row in package["files"]:
        (folder / package["folder"] / row["file"]).write_bytes(published[row["published_as"]])


def sha256(content):
    return hashlib.sha256(content).hexdigest()
