"""Digests of files and of tables, by which a copy is told from what it is a copy of."""

import hashlib
from dataclasses import asdict, dataclass, field

CHUNK_BYTES = 1024 * 1024


@dataclass(frozen=True)
class FileDigest:
    size_bytes: int
    sha256: str


@dataclass(frozen=True)
class TableDigest:
    """How many rows, and the sum of their SHA-256, modulo 2²⁵⁶: the same in whatever order a database gives them."""

    rows: int
    sha256_sum: str


@dataclass(frozen=True)
class Facts:
    """What a database holds: `tables` by name, `kept_files` by path below the folder of files, both with digests."""

    server: str
    migrations: list[str]
    tables: dict[str, TableDigest]
    kept_files: dict[str, FileDigest] = field(default_factory=dict)


def table_digest(rows):
    """Of rows as bytes."""
    count = total = 0
    for row in rows:
        count += 1
        total += int.from_bytes(hashlib.sha256(row).digest())
    return TableDigest(count, f"{total % 2**256:064x}")


def copy_with_digest(source, *targets):
    """Copy what is left of an open file into these; returns the FileDigest."""
    digest, size_bytes = hashlib.sha256(), 0
    while piece := source.read(CHUNK_BYTES):
        digest.update(piece)
        size_bytes += len(piece)
        for target in targets:
            target.write(piece)
    return FileDigest(size_bytes, digest.hexdigest())


def first_difference(expected, found):
    """A sentence on the first table that is not as it should be, or None."""
    for table in sorted(expected.keys() | found.keys()):
        before, after = expected.get(table), found.get(table)
        if before == after:
            continue
        if before is None or after is None:
            return f"The table {table} is there only {'afterwards' if before is None else 'before'}."
        if before.rows != after.rows:
            return f"The table {table} had {before.rows} rows and has {after.rows}."
        return f"The table {table} has {after.rows} rows as before, but they are not the same."
    return None


def as_plain(digests):
    """Digests by name as JSON takes them."""
    return {name: asdict(digest) for name, digest in sorted(digests.items())}
