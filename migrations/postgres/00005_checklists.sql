-- +goose Up
-- Lists of names of others' making. Each is compiled into an index file that stands among the blobs under its hash; a
-- society follows one of them, or the names that ship.
CREATE TABLE checklist (
  id uuid NOT NULL PRIMARY KEY,
  title text COLLATE "C" NOT NULL CHECK (title <> ''),
  edition text COLLATE "C" NOT NULL DEFAULT '', -- as it says of itself: a version, or a date
  file text COLLATE "C" NOT NULL DEFAULT '', -- what was imported, without its folder
  index_sha256 text COLLATE "C" NOT NULL CHECK (length(index_sha256) = 64),
  revision text COLLATE "C" NOT NULL,
  accepted integer NOT NULL CHECK (accepted >= 0),
  former integer NOT NULL CHECK (former >= 0),
  refused integer NOT NULL CHECK (refused >= 0),
  imported_at timestamptz NOT NULL
);

-- Which list a society follows; no row: the names that ship.
CREATE TABLE society_checklist (
  society_id uuid NOT NULL PRIMARY KEY REFERENCES society (id),
  checklist_id uuid NOT NULL REFERENCES checklist (id),
  chosen_by uuid NOT NULL,
  chosen_at timestamptz NOT NULL,
  FOREIGN KEY (society_id, chosen_by) REFERENCES person (society_id, id)
);
