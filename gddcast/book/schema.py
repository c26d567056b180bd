"""The tables of ``book.sqlite``, and the steps by which an older book becomes one of today.

Rows are added, never rewritten: triggers say so to every program that opens the file. What was
wrong gets a row in ``withdrawal`` and stays readable.
"""

from __future__ import annotations

#: What the file says it is, in its first hundred bytes: "gddc".
APPLICATION_ID = 0x67646463

_RECORDS = """
CREATE TABLE entry (              -- one row a command that wrote something
    number     INTEGER PRIMARY KEY,
    name       TEXT NOT NULL UNIQUE CHECK (name GLOB '[0-9][0-9][0-9][0-9]-[0-9]*'),
    entered_at TEXT NOT NULL      -- when it was written, with its zone; never when it was seen
               CHECK (datetime(entered_at) IS NOT NULL)
) STRICT;

CREATE TABLE withdrawal (         -- undo: the entry stays, marked
    entry        INTEGER PRIMARY KEY REFERENCES entry,
    withdrawn_at TEXT NOT NULL CHECK (datetime(withdrawn_at) IS NOT NULL),
    note         TEXT CHECK (note <> '')
) STRICT;

CREATE TABLE sighting (           -- a find, a clean look, or somebody else's report
    entry         INTEGER PRIMARY KEY REFERENCES entry,
    kind          TEXT NOT NULL CHECK (kind IN ('saw', 'none', 'heard')),
    organism      TEXT NOT NULL,  -- key of a card; '' is a look for everything watched
    event         TEXT NOT NULL,  -- key of a stage or of a sign; '' is every stage
    seen_on       TEXT NOT NULL CHECK (seen_on IS date(seen_on)),
    clean_on      TEXT CHECK (clean_on IS date(clean_on) AND clean_on < seen_on),
    sure          INTEGER NOT NULL CHECK (sure IN (0, 1)),
    "where"       TEXT CHECK ("where" <> ''),
    plants_looked INTEGER CHECK (plants_looked > 0),
    plants_with   INTEGER CHECK (plants_with BETWEEN 0 AND plants_looked),
    count         INTEGER CHECK (count >= 0),
    note          TEXT CHECK (note <> '')
) STRICT;

CREATE TABLE sowing (
    entry       INTEGER PRIMARY KEY REFERENCES entry,
    name        TEXT NOT NULL CHECK (name <> ''),
    crop        TEXT NOT NULL CHECK (crop <> ''),
    sown_on     TEXT NOT NULL CHECK (sown_on IS date(sown_on)),
    planted_out INTEGER NOT NULL CHECK (planted_out IN (0, 1)),
    bed         TEXT CHECK (bed <> ''),
    variety     TEXT CHECK (variety <> ''),
    note        TEXT CHECK (note <> '')
) STRICT;

CREATE TABLE job (
    entry   INTEGER PRIMARY KEY REFERENCES entry,
    job     TEXT NOT NULL CHECK (job <> ''),
    done_on TEXT NOT NULL CHECK (done_on IS date(done_on)),
    sowing  TEXT CHECK (sowing <> ''),
    bed     TEXT CHECK (bed <> ''),
    note    TEXT CHECK (note <> '')
) STRICT;

CREATE TABLE weather_source (     -- one file, download or reading brought in
    entry           INTEGER PRIMARY KEY REFERENCES entry,
    source          TEXT NOT NULL CHECK (source <> ''),
    unit            TEXT NOT NULL CHECK (unit <> ''),  -- what the source was in
    unit_decided_by TEXT NOT NULL CHECK (unit_decided_by <> ''),
    day_ends        TEXT NOT NULL CHECK (day_ends <> '')
) STRICT;

CREATE TABLE weather_day (        -- only days that were new or differed
    entry  INTEGER NOT NULL REFERENCES weather_source,
    day    TEXT NOT NULL CHECK (day IS date(day)),
    tmin   REAL,                  -- °C; NULL where this source did not know it
    tmax   REAL,
    origin INTEGER NOT NULL CHECK (origin BETWEEN 0 AND 4),  -- as gddcast.weather.series.Origin
    PRIMARY KEY (entry, day),
    -- A row without readings strikes what was there: somebody found it wrong.
    CHECK ((origin = 0) = (tmin IS NULL AND tmax IS NULL))
) STRICT, WITHOUT ROWID;
"""

# What people were told, so that a date that moves can be said to have moved.
_ANNOUNCEMENTS = """
CREATE TABLE own_goal (           -- a heat sum fitted to own finds, kept on request; °C·d
    entry    INTEGER PRIMARY KEY REFERENCES entry,
    organism TEXT NOT NULL CHECK (organism <> ''),
    event    TEXT NOT NULL CHECK (event <> ''),
    goal     REAL NOT NULL CHECK (goal > 0),
    low      REAL NOT NULL CHECK (low <= goal),
    high     REAL NOT NULL CHECK (high >= goal),
    kept_on  TEXT NOT NULL CHECK (kept_on IS date(kept_on)),
    note     TEXT CHECK (note <> '')
) STRICT;

CREATE TABLE announcement (       -- a date told to people; no entry of theirs, so no undo
    number       INTEGER PRIMARY KEY,
    told_by      TEXT NOT NULL CHECK (told_by <> ''),  -- walk, calendar, …
    told_at      TEXT NOT NULL CHECK (datetime(told_at) IS NOT NULL),
    told_on      TEXT NOT NULL CHECK (told_on IS date(told_on)),  -- today at the place
    season       TEXT NOT NULL CHECK (season <> ''),
    organism     TEXT NOT NULL CHECK (organism <> ''),
    event        TEXT NOT NULL CHECK (event <> ''),
    clock        TEXT NOT NULL,   -- which clock of the stage, in words
    opens        TEXT CHECK (opens IS date(opens)),
    earliest     TEXT CHECK (earliest IS date(earliest)),
    latest       TEXT CHECK (latest IS date(latest)),
    fingerprint  TEXT NOT NULL    -- of the weather it was worked out from
) STRICT;
"""

# A kept sum belongs to the method it was fitted with; a stage can be closed before its time.
_METHODS_AND_CLOSINGS = """
ALTER TABLE own_goal ADD COLUMN spread  REAL CHECK (spread >= 0);    -- between years; °C·d
ALTER TABLE own_goal ADD COLUMN seasons INTEGER CHECK (seasons > 0);
ALTER TABLE own_goal ADD COLUMN lower   REAL;                        -- °C
ALTER TABLE own_goal ADD COLUMN upper   REAL CHECK (upper > lower);  -- °C; NULL: there is none
ALTER TABLE own_goal ADD COLUMN shape   TEXT CHECK (shape <> '');
ALTER TABLE own_goal ADD COLUMN cutoff  TEXT CHECK (cutoff <> '');
ALTER TABLE own_goal ADD COLUMN starts  TEXT CHECK (starts GLOB '[01][0-9]-[0-3][0-9]');

CREATE TABLE closing (            -- nobody looks for it any more this season
    entry     INTEGER PRIMARY KEY REFERENCES entry,
    organism  TEXT NOT NULL CHECK (organism <> ''),
    event     TEXT NOT NULL,      -- key of a stage; '' is every stage
    closed_on TEXT NOT NULL CHECK (closed_on IS date(closed_on)),
    note      TEXT CHECK (note <> '')
) STRICT;
"""

# Forecasts are no readings: what was said of a day is kept beside what came, so that how far
# forecasts are off can be learnt.
_FORECASTS = """
CREATE TABLE forecast_day (       -- a day foretold, as it was issued; kept when its day has come
    entry     INTEGER NOT NULL REFERENCES weather_source,
    issued_on TEXT NOT NULL CHECK (issued_on IS date(issued_on)),
    day       TEXT NOT NULL CHECK (day IS date(day) AND day >= issued_on),
    tmin      REAL NOT NULL CHECK (tmin >= -90),              -- °C, as cold and as hot as air gets
    tmax      REAL NOT NULL CHECK (tmax BETWEEN tmin AND 60),
    PRIMARY KEY (entry, issued_on, day)
) STRICT, WITHOUT ROWID;
"""

#: Forecasts that books of versions 1 to 3 laid among the readings (origin 4). They did not say
#: when one was issued: on the day it was written down, unless its first day is far from that.
FORECASTS_OF_OLD = """
INSERT INTO forecast_day
WITH issue AS (
    SELECT weather_day.entry AS entry, min(day) AS first, substr(entered_at, 1, 10) AS written
    FROM weather_day JOIN entry ON entry.number = weather_day.entry
    WHERE origin = 4 GROUP BY weather_day.entry
)
SELECT entry,
       CASE WHEN written BETWEEN date(first, '-15 days') AND first THEN written ELSE first END,
       day, tmin, tmax
FROM weather_day JOIN issue USING (entry)
WHERE origin = 4 AND tmin >= -90 AND tmax BETWEEN tmin AND 60;
"""

# What a disk or a copy changes behind our back is noticed; see `checksums`.
_CHECKSUMS = """
CREATE TABLE checksum (
    part   TEXT NOT NULL CHECK (part IN ('entry', 'announcement', 'withdrawal')),
    number INTEGER NOT NULL,
    sums   BLOB NOT NULL,         -- CRC-32 of each of its rows
    PRIMARY KEY (part, number)
) STRICT, WITHOUT ROWID;
"""

# Redo is an entry like any other, so undo takes it back, and whoever looks at an earlier day finds
# the book as it was then.
_RESTORATIONS = """
CREATE TABLE restoration (        -- redo: an entry that was withdrawn stands again
    entry  INTEGER PRIMARY KEY REFERENCES entry,
    target TEXT NOT NULL REFERENCES entry (name)  -- the one that stands again
) STRICT;
"""


# A look into a trap is a look of its own kind; several people look.
_TRAPS = """
ALTER TABLE sighting ADD COLUMN trap   INTEGER CHECK (trap IN (0, 1));  -- NULL, in old rows: no
ALTER TABLE sighting ADD COLUMN nights INTEGER CHECK (nights > 0);  -- since it was last emptied
ALTER TABLE sighting ADD COLUMN "by"   TEXT CHECK ("by" <> '');     -- who looked
"""

# Where a file stood and how it was read, so that it can be brought in once more.
_FILES = """
ALTER TABLE weather_source ADD COLUMN file    TEXT CHECK (file <> '');   -- from the book's folder
ALTER TABLE weather_source ADD COLUMN options TEXT CHECK (options <> '');  -- JSON: what was said
"""


def _append_only(*tables: str) -> str:
    """Triggers by which rows of these tables can be added and nothing else."""
    return "".join(
        f"CREATE TRIGGER {table}_{verb} BEFORE {verb} ON {table} BEGIN "
        "SELECT RAISE(ABORT, 'rows of a season book are added, never rewritten'); END;\n"
        for table in tables
        for verb in ("UPDATE", "DELETE")
    )


#: Each step takes a book from the version of its position to the next; a new book takes them all.
STEPS = (
    _RECORDS
    + _append_only(
        "entry", "withdrawal", "sighting", "sowing", "job", "weather_source", "weather_day"
    ),
    _ANNOUNCEMENTS + _append_only("own_goal", "announcement"),
    _METHODS_AND_CLOSINGS + _append_only("closing"),
    _FORECASTS + FORECASTS_OF_OLD + _append_only("forecast_day"),
    _CHECKSUMS + _append_only("checksum"),
    _RESTORATIONS + _append_only("restoration"),
    _TRAPS,
    _FILES,
)
#: Version of the books written here.
VERSION = len(STEPS)
#: The first whose rows have checksums.
SEALED = 5
