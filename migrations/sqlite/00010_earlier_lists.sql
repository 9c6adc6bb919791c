-- +goose Up
-- What was found before: lists that a society took in, of a site, of the society, or the list of record of an area. A list
-- is never altered: it is withdrawn, and another is taken in. Names stand as they were written; what they are called now
-- is looked up at each read.
CREATE TABLE earlier_list (
  society_id TEXT NOT NULL REFERENCES society (id),
  id TEXT NOT NULL,
  title TEXT NOT NULL CHECK (title <> ''),
  scope TEXT NOT NULL CHECK (scope IN ('site', 'society', 'record')),
  site TEXT NOT NULL DEFAULT '', -- its code or name, as the society uses it from event to event
  area TEXT NOT NULL DEFAULT '', -- of a list of record, in words
  source TEXT NOT NULL CHECK (source <> ''),
  period_text TEXT NOT NULL DEFAULT '',
  period_from TEXT NOT NULL DEFAULT '', -- ISO dates
  period_to TEXT NOT NULL DEFAULT '',
  file TEXT NOT NULL DEFAULT '',
  header TEXT NOT NULL DEFAULT '', -- of the file, as CSV
  sha256 TEXT NOT NULL, -- of what the file said
  lines INTEGER NOT NULL CHECK (lines > 0),
  added_by TEXT NOT NULL,
  added_at TEXT NOT NULL,
  withdrawn_by TEXT,
  withdrawn_at TEXT,
  withdrawn_why TEXT NOT NULL DEFAULT '',
  PRIMARY KEY (society_id, id),
  FOREIGN KEY (society_id, added_by) REFERENCES person (society_id, id),
  FOREIGN KEY (society_id, withdrawn_by) REFERENCES person (society_id, id),
  CHECK ((scope = 'site') = (site <> '')),
  CHECK ((scope = 'record') = (area <> '')),
  CHECK ((withdrawn_by IS NULL) = (withdrawn_at IS NULL)),
  CHECK ((withdrawn_by IS NULL) = (withdrawn_why = ''))
);

-- What one file says of one place is in force once.
CREATE UNIQUE INDEX earlier_list_once ON earlier_list (society_id, scope, site, area, sha256) WHERE withdrawn_at IS NULL;

CREATE TABLE earlier_record (
  society_id TEXT NOT NULL,
  list_id TEXT NOT NULL,
  line INTEGER NOT NULL CHECK (line > 0), -- of the file
  verbatim TEXT NOT NULL CHECK (verbatim <> ''),
  name_key TEXT NOT NULL DEFAULT '', -- as it was read when the list was taken in
  name TEXT NOT NULL,
  author TEXT NOT NULL DEFAULT '',
  name_rank TEXT NOT NULL DEFAULT '',
  qualifier TEXT NOT NULL DEFAULT '',
  qualifier_position TEXT NOT NULL DEFAULT '',
  place TEXT NOT NULL DEFAULT '',
  day_text TEXT NOT NULL DEFAULT '',
  day_from TEXT NOT NULL DEFAULT '', -- ISO dates
  day_to TEXT NOT NULL DEFAULT '',
  n INTEGER, -- how many, where a number was written
  n_text TEXT NOT NULL DEFAULT '',
  collector TEXT NOT NULL DEFAULT '',
  determiner TEXT NOT NULL DEFAULT '',
  host TEXT NOT NULL DEFAULT '',
  substrate TEXT NOT NULL DEFAULT '',
  remarks TEXT NOT NULL DEFAULT '',
  as_it_came TEXT NOT NULL, -- the line, as CSV under the list's header
  PRIMARY KEY (society_id, list_id, line),
  FOREIGN KEY (society_id, list_id) REFERENCES earlier_list (society_id, id)
);

-- +goose StatementBegin
CREATE TRIGGER earlier_list_as_added BEFORE UPDATE OF society_id, id, title, scope, site, area, source, period_text, period_from,
  period_to, file, header, sha256, lines, added_by, added_at ON earlier_list
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'earlier_list is only added to and withdrawn'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER earlier_list_withdrawn_once BEFORE UPDATE OF withdrawn_by, withdrawn_at, withdrawn_why ON earlier_list
WHEN OLD.withdrawn_at IS NOT NULL AND NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'earlier_list is withdrawn once'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER earlier_list_no_delete BEFORE DELETE ON earlier_list
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'earlier_list keeps its rows'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER earlier_record_no_update BEFORE UPDATE ON earlier_record
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'earlier_record is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER earlier_record_no_delete BEFORE DELETE ON earlier_record
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'earlier_record is append-only'); END;
-- +goose StatementEnd
