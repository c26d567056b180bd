"""Door for the notebooks and the records they read, as a teacher takes them along."""

from __future__ import annotations

from gddcast.readers.opening import data_folder

#: Folder of the records in ``data/``: from a notebook's own folder ``../data/records``.
RECORDS = "records"


def teaching_files() -> dict[str, bytes]:
    """Every file, by the name it has in the folder it is copied into.

    Notebooks stand in ``notebooks/`` and records in ``data/records/``, as in a checkout, so that
    the same relative paths hold.
    """
    data = data_folder()
    places = (data / "notebooks", data.parent / "notebooks")
    notebooks = next(place for place in places if place.is_dir())
    files = {f"notebooks/{file.name}": file for file in sorted(notebooks.glob("*.ipynb"))}
    files |= {f"data/{RECORDS}/{file.name}": file for file in sorted((data / RECORDS).iterdir())}
    return {name: file.read_bytes() for name, file in files.items()}
