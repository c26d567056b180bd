"""How ``book.sqlite`` is opened: checked first, read in one snapshot, written in one transaction.

A transaction is on the disk before a command says that it is (WAL, synchronous FULL). A second
writer waits; a reader never does. The file of anything but a sound season book is left as it is.
"""

from __future__ import annotations

import contextlib
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from gddcast.book import checksums, faults, schema
from gddcast.book.leftovers import sweep
from gddcast.commits import commit

#: How long a writer waits for another. [s]
WAIT = 5.0
_MAGIC = b"SQLite format 3\0"


def create(file: Path) -> None:
    """Make an empty record, whole or not at all, and never over another file."""
    with faults.explained(file, WAIT):
        if file.exists():
            raise faults.book_exists(file.parent)
        with tempfile.TemporaryDirectory(dir=file.parent, prefix=".new-book-") as folder:
            fresh = Path(folder) / file.name
            fresh.touch()
            with closing(_connected(fresh, WAIT)) as connection:
                connection.execute("PRAGMA journal_mode = WAL")
                _take_steps(connection, 0)
            put_beside(fresh, file)
            commit(file)


def put_beside(fresh: Path, file: Path) -> None:
    """Give a finished file its name, never over another one."""
    try:
        file.hardlink_to(fresh)
    except FileExistsError:
        raise faults.book_exists(file.parent) from None
    except OSError:  # a disk without such links
        fresh.rename(file)


@contextmanager
def reading(file: Path, wait: float = WAIT) -> Iterator[sqlite3.Connection]:
    """One snapshot of a sound book."""
    with faults.explained(file, wait), closing(_opened(file, wait)) as connection:
        connection.execute("BEGIN")
        yield connection


@contextmanager
def writing(file: Path, wait: float = WAIT) -> Iterator[sqlite3.Connection]:
    """One transaction on a sound book: all of it, or on any failure nothing."""
    sweep(file.parent)
    opened = _which(file)
    with (
        faults.explained(file, wait),
        closing(_opened(file, wait)) as connection,
    ):
        before = connection.total_changes
        with _whole_or_nothing(connection):
            yield connection
            checksums.seal(connection)
            _same(file, opened)
        if connection.total_changes > before:
            _same(file, opened)
            commit(file)


def _which(file: Path) -> tuple[int, int] | None:
    """Which file of the disk has this name now."""
    try:
        found = file.stat()
    except OSError:
        return None
    return found.st_dev, found.st_ino


def _same(file: Path, opened: tuple[int, int] | None) -> None:
    """Refuse an entry that would stand in a file nobody finds: a synced folder replaced it."""
    if _which(file) != opened:
        raise faults.replaced(file)


@contextmanager
def _whole_or_nothing(connection: sqlite3.Connection) -> Iterator[None]:
    connection.execute("BEGIN IMMEDIATE")
    try:
        yield
    except BaseException:
        # A full disk has already rolled back by itself.
        if connection.in_transaction:
            connection.execute("ROLLBACK")
        raise
    connection.execute("COMMIT")


def _opened(file: Path, wait: float) -> sqlite3.Connection:
    """A connection to a book of today's version."""
    if not file.exists():
        raise faults.records_missing(file)
    with file.open("rb") as head:
        magic = head.read(len(_MAGIC))
    if magic != _MAGIC:
        raise faults.not_a_book(file, "it is no SQLite file" if magic else "it is empty")
    with faults.legible(file):
        connection = _connected(file, wait)
    try:
        with faults.legible(file):
            _checked(file, connection)
        if _version(connection) < schema.VERSION:
            _brought_up_to_date(file, connection)
    except BaseException:
        connection.close()
        raise
    return connection


def _connected(file: Path, wait: float) -> sqlite3.Connection:
    address = file.resolve().as_uri()
    try:
        return _connection(f"{address}?mode=rw", wait)
    except sqlite3.OperationalError as error:
        wal = file.with_name(file.name + "-wal")
        if faults.is_waiting(error) or (wal.exists() and wal.stat().st_size):
            raise
        # A folder that takes no writing, such as a shared copy: nobody can change it under us.
        return _connection(f"{address}?immutable=1", wait)


def _connection(address: str, wait: float) -> sqlite3.Connection:
    connection = sqlite3.connect(address, uri=True, timeout=wait, isolation_level=None)
    try:
        connection.execute("PRAGMA foreign_keys = ON")
        connection.execute("PRAGMA synchronous = FULL")
        connection.execute("PRAGMA fullfsync = ON")  # macOS: past the drive's own cache
        connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
    except BaseException:
        connection.close()
        raise
    return connection


def _version(connection: sqlite3.Connection) -> int:
    return int(connection.execute("PRAGMA user_version").fetchone()[0])


def _checked(file: Path, connection: sqlite3.Connection) -> None:
    """Refuse what is no season book, what is damaged and what is from the future."""
    (application,) = connection.execute("PRAGMA application_id").fetchone()
    if application != schema.APPLICATION_ID:
        raise faults.not_a_book(file, "another program made it")
    (found,) = connection.execute("PRAGMA integrity_check(1)").fetchone()
    if found != "ok":
        raise faults.damaged(file, str(found).splitlines()[-1])
    version = _version(connection)
    if version > schema.VERSION:
        raise faults.too_new(file, version, schema.VERSION)


def _brought_up_to_date(file: Path, connection: sqlite3.Connection) -> None:
    """Migrate, after a copy of the book as it was has reached the disk."""
    with _whole_or_nothing(connection):
        version = _version(connection)  # another process may have been quicker
        if version < schema.VERSION:
            copy(file, file.with_stem(f"{file.stem}-before-version-{version + 1}"))
            _take_steps_inside(connection, version)


def copy(file: Path, to: Path, *, journal: str = "DELETE") -> None:
    """Copy a record as it stands into one file, whole before it has its name."""
    with closing(_connected(file, WAIT)) as source:
        copy_of(source, to, journal=journal)


def copy_of(source: sqlite3.Connection, to: Path, *, journal: str = "DELETE") -> None:
    """The same of a record that is open already."""
    half = to.with_name(f".{to.name}.half")
    half.unlink(missing_ok=True)
    with closing(sqlite3.connect(half, isolation_level=None)) as target:
        source.backup(target)
        target.execute(
            f"PRAGMA journal_mode = {journal}"
        )  # closed, it is one file, whole in itself
    half.replace(to)


@contextmanager
def alone(file: Path) -> Iterator[sqlite3.Connection]:
    """A record that nobody else reads or writes until it is let go."""
    with closing(_connected(file, WAIT)) as connection:
        connection.execute("PRAGMA locking_mode = EXCLUSIVE")
        connection.execute("BEGIN IMMEDIATE")  # from here on the lock outlasts its transaction
        connection.execute("COMMIT")
        yield connection


def _take_steps(connection: sqlite3.Connection, version: int) -> None:
    with _whole_or_nothing(connection):
        _take_steps_inside(connection, version)


def _take_steps_inside(connection: sqlite3.Connection, version: int) -> None:
    for step in schema.STEPS[version:]:
        for statement in _statements(step):
            connection.execute(statement)
    if schema.VERSION >= schema.SEALED:
        checksums.seal(connection)
    connection.execute(f"PRAGMA application_id = {schema.APPLICATION_ID}")
    connection.execute(f"PRAGMA user_version = {schema.VERSION}")


def _statements(script: str) -> Iterator[str]:
    """Single statements: ``executescript`` would end our transaction first."""
    gathered = ""
    for line in script.splitlines(keepends=True):
        gathered += line
        if sqlite3.complete_statement(gathered):
            yield gathered
            gathered = ""


def holds_a_book(folder: Path) -> bool:
    """Whether somebody keeps a season book there."""
    with contextlib.suppress(OSError):
        return (folder / "book.toml").is_file()
    return False
