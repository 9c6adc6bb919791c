package archive

import (
	"encoding/json"
	"io/fs"
	"regexp"
	"strings"

	"forayhall/internal/fault"
)

// PackageFormat is the version of the container. It changes only when an older reader could not read the new one;
// what the tables hold has the schema version.
const PackageFormat = 1

const manifestName = "manifest.json"

// What a package holds: an installation, without society and event in its manifest, or one event.
const (
	Backup = "backup"
	Event  = "event"
)

// Manifest says what a package is and what must be in it.
type Manifest struct {
	Format  int      `json:"format"` // set by the writer
	Schema  int      `json:"schema"` // version of the tables' columns
	Kind    string   `json:"kind"`   // Backup or Event
	Society Owner    `json:"society"`
	Event   Owner    `json:"event"`
	About   string   `json:"about,omitempty"` // said to whoever opens the package by hand
	Lost    []string `json:"lost,omitempty"`  // blobs that rows name and that were gone, or damaged, where it was written
	Members []Member `json:"members"`         // set by the writer, in the order written
}

// Owner is a society or an event by its key and the code people know it by.
type Owner struct {
	ID   string `json:"id"`
	Code string `json:"code"`
}

// Member is one file of a package.
type Member struct {
	Path   string `json:"path"`
	Rows   int    `json:"rows"` // lines of a table; 0 for a blob
	Size   int64  `json:"size"`
	SHA256 string `json:"sha256"`
}

var (
	tableName = regexp.MustCompile(`^[a-z][a-z0-9_]{0,62}$`)
	sha256Hex = regexp.MustCompile(`^[0-9a-f]{64}$`)
)

func tablePath(name string) string { return "tables/" + name + ".jsonl" }

// blobPath spreads blobs over 256 folders, so that an unpacked package can be looked at.
func blobPath(hash string) string { return "blobs/" + hash[:2] + "/" + hash }

// table is the name of the table that a member is; "" for anything else.
func (m Member) table() string {
	name, ok := strings.CutPrefix(m.Path, "tables/")
	name, tail := strings.CutSuffix(name, ".jsonl")
	if !ok || !tail || !tableName.MatchString(name) {
		return ""
	}
	return name
}

func (m Member) blob() string {
	if !strings.HasPrefix(m.Path, "blobs/") || !sha256Hex.MatchString(m.SHA256) || m.Path != blobPath(m.SHA256) {
		return ""
	}
	return m.SHA256
}

// readManifest looks at the format alone before it reads anything that another format may mean differently.
func readManifest(data []byte) (Manifest, error) {
	var version struct {
		Format int `json:"format"`
	}
	if err := json.Unmarshal(data, &version); err != nil || version.Format < 1 {
		return Manifest{}, damaged(manifestName, err)
	}
	if version.Format > PackageFormat {
		return Manifest{}, fault.New(fault.Refused, "archive.package-newer", "format", version.Format,
			"known", PackageFormat)
	}
	var m Manifest
	if err := json.Unmarshal(data, &m); err != nil {
		return Manifest{}, damaged(manifestName, err)
	}
	return m, m.check()
}

func (m Manifest) check() error {
	seen := map[string]bool{}
	for _, member := range m.Members {
		if err := checkPath(member.Path); err != nil {
			return err
		}
		if seen[member.Path] {
			return fault.New(fault.Invalid, "archive.package-twice", "member", member.Path)
		}
		seen[member.Path] = true
		if member.Size < 0 || member.Rows < 0 || member.table() == "" && member.blob() == "" {
			return fault.New(fault.Invalid, "archive.package-stranger", "member", member.Path)
		}
	}
	return nil
}

// checkPath refuses a path that would leave the folder it is unpacked into.
func checkPath(path string) error {
	if fs.ValidPath(path) && !strings.ContainsAny(path, `\:`) {
		return nil
	}
	return fault.New(fault.Invalid, "archive.package-path", "member", path)
}

func damaged(member string, cause error) error {
	e := fault.New(fault.Invalid, "archive.package-damaged", "member", member)
	e.Cause = cause
	return e
}
