-- +goose Up
-- What was found before: lists that a society took in, of a site, of the society, or the list of record of an area. A list
-- is never altered: it is withdrawn, and another is taken in. Names stand as they were written; what they are called now
-- is looked up at each read.
CREATE TABLE earlier_list (
  society_id uuid NOT NULL REFERENCES society (id),
  id uuid NOT NULL,
  title text COLLATE "C" NOT NULL CHECK (title <> ''),
  scope text COLLATE "C" NOT NULL CHECK (scope IN ('site', 'society', 'record')),
  site text COLLATE "C" NOT NULL DEFAULT '', -- its code or name, as the society uses it from event to event
  area text COLLATE "C" NOT NULL DEFAULT '', -- of a list of record, in words
  source text COLLATE "C" NOT NULL CHECK (source <> ''),
  period_text text COLLATE "C" NOT NULL DEFAULT '',
  period_from text COLLATE "C" NOT NULL DEFAULT '', -- ISO dates
  period_to text COLLATE "C" NOT NULL DEFAULT '',
  file text COLLATE "C" NOT NULL DEFAULT '',
  header text COLLATE "C" NOT NULL DEFAULT '', -- of the file, as CSV
  sha256 text COLLATE "C" NOT NULL, -- of what the file said
  lines integer NOT NULL CHECK (lines > 0),
  added_by uuid NOT NULL,
  added_at timestamptz NOT NULL,
  withdrawn_by uuid,
  withdrawn_at timestamptz,
  withdrawn_why text COLLATE "C" NOT NULL DEFAULT '',
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
  society_id uuid NOT NULL,
  list_id uuid NOT NULL,
  line integer NOT NULL CHECK (line > 0), -- of the file
  verbatim text COLLATE "C" NOT NULL CHECK (verbatim <> ''),
  name_key text COLLATE "C" NOT NULL DEFAULT '', -- as it was read when the list was taken in
  name text COLLATE "C" NOT NULL,
  author text COLLATE "C" NOT NULL DEFAULT '',
  name_rank text COLLATE "C" NOT NULL DEFAULT '',
  qualifier text COLLATE "C" NOT NULL DEFAULT '',
  qualifier_position text COLLATE "C" NOT NULL DEFAULT '',
  place text COLLATE "C" NOT NULL DEFAULT '',
  day_text text COLLATE "C" NOT NULL DEFAULT '',
  day_from text COLLATE "C" NOT NULL DEFAULT '', -- ISO dates
  day_to text COLLATE "C" NOT NULL DEFAULT '',
  n integer, -- how many, where a number was written
  n_text text COLLATE "C" NOT NULL DEFAULT '',
  collector text COLLATE "C" NOT NULL DEFAULT '',
  determiner text COLLATE "C" NOT NULL DEFAULT '',
  host text COLLATE "C" NOT NULL DEFAULT '',
  substrate text COLLATE "C" NOT NULL DEFAULT '',
  remarks text COLLATE "C" NOT NULL DEFAULT '',
  as_it_came text COLLATE "C" NOT NULL, -- the line, as CSV under the list's header
  PRIMARY KEY (society_id, list_id, line),
  FOREIGN KEY (society_id, list_id) REFERENCES earlier_list (society_id, id)
);

CREATE TRIGGER earlier_list_as_added BEFORE UPDATE OF society_id, id, title, scope, site, area, source, period_text, period_from,
  period_to, file, header, sha256, lines, added_by, added_at ON earlier_list FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER earlier_list_withdrawn_once BEFORE UPDATE OF withdrawn_by, withdrawn_at, withdrawn_why ON earlier_list FOR EACH ROW
  WHEN (OLD.withdrawn_at IS NOT NULL) EXECUTE FUNCTION append_only();
CREATE TRIGGER earlier_list_no_delete BEFORE DELETE ON earlier_list FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER earlier_list_no_truncate BEFORE TRUNCATE ON earlier_list FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER earlier_record_append_only BEFORE UPDATE OR DELETE ON earlier_record FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER earlier_record_no_truncate BEFORE TRUNCATE ON earlier_record FOR EACH STATEMENT EXECUTE FUNCTION append_only();
