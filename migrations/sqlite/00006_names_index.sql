-- +goose Up
-- Finds of a taxon are looked for by the keys of its names, over all events of a society.
CREATE INDEX slip_name_key ON slip_name (society_id, name_key);
CREATE INDEX field_record_key ON field_record (society_id, name_key);
