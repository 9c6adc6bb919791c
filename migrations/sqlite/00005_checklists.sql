-- +goose Up
-- Lists of names of others' making. Each is compiled into an index file that stands among the blobs under its hash; a
-- society follows one of them, or the names that ship.
CREATE TABLE checklist (
  id TEXT NOT NULL PRIMARY KEY,
  title TEXT NOT NULL CHECK (title <> ''),
  edition TEXT NOT NULL DEFAULT '', -- as it says of itself: a version, or a date
  file TEXT NOT NULL DEFAULT '', -- what was imported, without its folder
  index_sha256 TEXT NOT NULL CHECK (length(index_sha256) = 64),
  revision TEXT NOT NULL,
  accepted INTEGER NOT NULL CHECK (accepted >= 0),
  former INTEGER NOT NULL CHECK (former >= 0),
  refused INTEGER NOT NULL CHECK (refused >= 0),
  imported_at TEXT NOT NULL
);

-- Which list a society follows; no row: the names that ship.
CREATE TABLE society_checklist (
  society_id TEXT NOT NULL PRIMARY KEY REFERENCES society (id),
  checklist_id TEXT NOT NULL REFERENCES checklist (id),
  chosen_by TEXT NOT NULL,
  chosen_at TEXT NOT NULL,
  FOREIGN KEY (society_id, chosen_by) REFERENCES person (society_id, id)
);
