package archive

import (
	"hash/maphash"
	"strings"

	"forayhall/internal/fault"
	"forayhall/internal/message"
	"forayhall/internal/taxon"
)

// nodes is what is kept of every row after the first reading: enough to follow what points where, and no more.
type nodes struct {
	all     []node
	names   []byte           // the names of all nodes, one behind the other, those of accepted ones with their authors
	files   []string         // that rows come from
	ids     map[string]int32 // the number of each id, met as a row's own or as a pointer
	ofID    []int32          // the node with that id, or none
	written []string         // ids by number, made when they must be said
	leaned  []bool           // another row points to that id
	seen    map[uint64]int32 // by name and author
	wide    map[string]wide  // names of genus and above by key
	chains  map[string]*[5]string
	shared  map[[5]string]*[5]string
	seed    maphash.Seed
	byName  bool // rows may point to others with their names
	limit   int
	refuse  func(file string, line int, name string, why message.Text)
}

const none = int32(-1)

type nodeState uint8

const (
	nodeAccepted nodeState = iota
	nodeFormer
	nodeTwin   // the same name and author stands in another row, which target is
	nodePassed // of a rank that is not kept
	nodeRefused
)

type node struct {
	at     uint32 // of the name in names
	length uint16
	author uint16 // length of the author behind the name
	state  nodeState
	depth  uint8 // of the rank
	said   bool  // former by a word
	split  bool  // former for more than one
	file   uint8
	line   int32
	id     int32
	target int32 // number of the id of the accepted name; the node itself for a twin, and once settled
	parent int32 // number of an id
}

// wide is a name that may be a parent of others.
type wide struct {
	name     string
	depth    uint8
	accepted bool
}

func newNodes(limit int, refuse func(string, int, string, message.Text)) *nodes {
	return &nodes{ids: map[string]int32{}, seen: map[uint64]int32{}, wide: map[string]wide{},
		chains: map[string]*[5]string{}, shared: map[[5]string]*[5]string{}, seed: maphash.MakeSeed(), limit: limit, refuse: refuse}
}

func (c *nodes) name(i int32) string {
	n := &c.all[i]
	return string(c.names[n.at : n.at+uint32(n.length)])
}

func (c *nodes) author(i int32) string {
	n := &c.all[i]
	start := n.at + uint32(n.length)
	return string(c.names[start : start+uint32(n.author)])
}

// number gives an id its number. Names that rows point with stand among the ids behind a sign that no id has.
func (c *nodes) number(id string) int32 {
	if n, there := c.ids[id]; there {
		return n
	}
	n := int32(len(c.ofID))
	c.ids[strings.Clone(id)] = n
	c.ofID, c.leaned = append(c.ofID, none), append(c.leaned, false)
	return n
}

const nameMark = "\x00"

func (c *nodes) pointer(id, name string) int32 {
	switch {
	case id != "":
	case name != "":
		id = nameMark + taxon.Key(taxon.Read(name).Canonical)
	default:
		return none
	}
	n := c.number(id)
	c.leaned[n] = true
	return n
}

// take looks at one row for the first time.
func (c *nodes) take(u *usage, source string) error {
	if len(c.all) == c.limit {
		return fault.New(fault.Invalid, "checklist.too-many-rows", "file", u.file.name, "limit", c.limit)
	}
	row, passed, why := u.read(source)
	n := node{file: c.file(u.file.name), line: int32(u.line), id: none, target: none, parent: none}
	i := int32(len(c.all))
	var s standing
	if why.IsZero() {
		s = u.standing(row.Name)
		why = s.why
	}
	if u.id != "" {
		n.id = c.number(u.id)
		if first := c.ofID[n.id]; first != none {
			n.id, why, passed = none, message.T("checklist.refused-id-twice", "id", u.id, "first", c.all[first].line), false
		} else {
			c.ofID[n.id] = i
		}
	}
	n.parent, n.depth, n.said = c.pointer(u.parentID, u.parent), rankDepth[row.Rank], s.said
	switch {
	case passed:
		n.state = nodePassed
	case !why.IsZero():
		n.state = nodeRefused
	case s.former:
		n.state, n.split, n.target = nodeFormer, s.kind == "split", c.pointer(u.acceptedID, u.accepted)
	}
	c.keepName(&n, row)
	c.all = append(c.all, n)
	if !why.IsZero() {
		c.refuse(u.file.name, u.line, u.shown(), why)
		return nil
	}
	c.compare(i, row)
	c.placeWide(i, u)
	return nil
}

// shown is what a refused row is called by.
func (u *usage) shown() string {
	if name := u.written(); name != "" {
		return shorten(name)
	}
	return shorten(u.id)
}

func (c *nodes) file(name string) uint8 {
	for i, known := range c.files {
		if known == name {
			return uint8(i)
		}
	}
	if len(c.files) == 255 {
		return 254
	}
	c.files = append(c.files, name)
	return uint8(len(c.files) - 1)
}

// keepName keeps the author as well where former names may have to say which of two homonyms they mean, which may be
// every name whose status is not former by a word.
func (c *nodes) keepName(n *node, row taxon.Row) {
	n.at, n.length = uint32(len(c.names)), uint16(len(row.Name)) // a name that was read is shorter than 1,000 bytes
	c.names = append(c.names, row.Name...)
	if n.state == nodeAccepted || n.state == nodeFormer && !n.said {
		n.author = uint16(min(len(row.Author), maxUint16))
		c.names = append(c.names, row.Author[:n.author]...)
	}
}

var authorSigns = strings.NewReplacer(".", "", " ", "", ",", "")

// compare refuses the second row with one name and author; of an accepted and a former one the accepted stands.
// Homonyms have different authors and both stand.
func (c *nodes) compare(i int32, row taxon.Row) {
	key := taxon.Key(row.Name)
	sum := c.sum(key + "\x00" + authorSigns.Replace(taxon.Fold(row.Author)))
	first, twice := c.seen[sum]
	if !twice {
		c.seen[sum] = i
		c.named(key, i)
		return
	}
	loser, winner := i, first
	if c.all[i].state == nodeAccepted && c.all[first].state == nodeFormer {
		loser, winner = first, i
		c.seen[sum] = i
	}
	if a, b := &c.all[i], &c.all[first]; a.state == nodeFormer && b.state == nodeFormer && a.target != b.target {
		b.split = true
	}
	n := &c.all[loser]
	n.state, n.target = nodeTwin, winner
	c.named(key, winner)
	c.refuse(c.files[n.file], int(n.line), c.name(loser), message.T("checklist.refused-twice", "first", c.all[winner].line))
}

// named lets rows that point with a name find it; an accepted name is what such rows mean.
func (c *nodes) named(key string, i int32) {
	n, asked := c.ids[nameMark+key]
	if !asked {
		if !c.byName {
			return
		}
		n = c.number(nameMark + key)
	}
	if there := c.ofID[n]; there == none || c.all[there].state != nodeAccepted {
		c.ofID[n] = i
	}
}

// placeWide keeps which genera and wider names the list has, and the first classification that is given for a genus.
func (c *nodes) placeWide(i int32, u *usage) {
	n := c.all[i]
	if n.state == nodeTwin {
		return
	}
	name := c.name(i)
	if n.depth <= genusDepth {
		key := taxon.Key(name)
		if old, there := c.wide[key]; !there || !old.accepted && n.state == nodeAccepted {
			c.wide[key] = wide{name, n.depth, n.state == nodeAccepted}
		}
	}
	if n.state != nodeAccepted || n.depth < genusDepth || u.wider == [5]string{} {
		return
	}
	if key := genusKey(name); c.chains[key] == nil || n.depth == genusDepth {
		c.chains[key] = c.chain(u.wider)
	}
}

func genusKey(name string) string {
	genus, _, _ := strings.Cut(taxon.Key(name), " ")
	return genus
}

func genusWord(name string) string {
	genus, _, _ := strings.Cut(strings.TrimPrefix(name, "× "), " ")
	return genus
}

// chain keeps one copy of what thousands of rows say alike.
func (c *nodes) chain(names [5]string) *[5]string {
	if known := c.shared[names]; known != nil {
		return known
	}
	var own [5]string
	for i, name := range names {
		own[i] = strings.Clone(name)
	}
	c.shared[own] = &own
	return &own
}

func (c *nodes) sum(s string) uint64 { return maphash.String(c.seed, s) }
