"""Where a book lives: one SQLite file with its journal, snapshots and upgrades, and the plain JSON form."""

from costing.store.faults import FileFault, FileTooNew
from costing.store.form import FORMAT
from costing.store.migrate import snapshot
from costing.store.plainfile import export_json, import_json, read_json, write_json
from costing.store.sqlite import SqliteStore, create, open_store

__all__ = [
    "FORMAT", "FileFault", "FileTooNew", "SqliteStore", "create", "export_json", "import_json", "open_store",
    "read_json", "snapshot", "write_json",
]  # fmt: skip
