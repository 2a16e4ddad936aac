import hashlib
import io
import json
import re
import shutil
import subprocess
import tarfile
import tempfile
from pathlib import Path

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from fontTools.merge import Merger
from fontTools.ttLib import TTFont


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
            published = published_files(name, version, [row["published_as"] for row in of_package(package)])
            published |= merged_files(package, published)
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


def of_package(package):
    """The rows of its files that are kept as published."""
    return [row for row in package["files"] if "merged_from" not in row]


def merged_files(package, published):
    """The files that are made of published ones, by their own name: a typeface in parts as one, for typesetting paper.

    The typesetter reads no woff2, and takes a typeface from one file only.
    """
    content_of = {row["file"]: published[row["published_as"]] for row in of_package(package)}
    return {
        row["file"]: merged_font([content_of[name] for name in row["merged_from"]], row["family"])
        for row in package["files"]
        if "merged_from" in row
    }


def merged_font(parts, family):
    """One TrueType font of several in WOFF2, under a name of our own; the same parts give the same bytes."""
    with tempfile.TemporaryDirectory() as folder:
        paths = []
        for number, content in enumerate(parts):
            font = TTFont(io.BytesIO(content), recalcTimestamp=False)
            font.flavor = None
            paths.append(Path(folder) / f"{number}.ttf")
            font.save(paths[-1])
        merged = Merger().merge([str(path) for path in paths])
    merged.recalcTimestamp = False
    merged["head"].created = merged["head"].modified = font["head"].modified
    named_otherwise = {1: family, 4: family, 6: family.replace(" ", "-")}
    names = merged["name"]
    names.names = [record for record in names.names if record.nameID not in (3, 16, 17)]
    for record in names.names:
        record.string = named_otherwise.get(record.nameID, record.string)
    file = io.BytesIO()
    merged.save(file)
    return file.getvalue()


def content_of_row(row, published):
    return published[row.get("published_as", row["file"])]


def write_as_recorded(folder, package, published):
    """Write the files of the recorded version, if every one of them has its recorded hash."""
    for row in package["files"]:
        if sha256(content_of_row(row, published)) != row["sha256"]:
            raise CommandError(
                f"{package['name']} {package['version']}: what is published as {row.get('published_as', row['file'])} "
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
        row["sha256"] = sha256(content_of_row(row, published))
    write_files(folder, package, published)
    shutil.rmtree(old)


def write_files(folder, package, published):
    (folder / package["folder"]).mkdir(exist_ok=True)
    for row in package["files"]:
        (folder / package["folder"] / row["file"]).write_bytes(content_of_row(row, published))


def sha256(content):
    return hashlib.sha256(content).hexdigest()
