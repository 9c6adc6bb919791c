package demo

import (
	"slices"
	"strings"

	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/outside"
	"forayhall/internal/hall/setup"
)

// readActs reads what goes through commands of its own. Within a minute they come before what happens to plates.
func (e *event) readActs() error {
	for _, read := range []func() error{e.readBlocks, e.readFlags, e.readMembers, e.readHeads, e.readWishes, e.readGroups,
		e.readFates, e.readSplits, e.readMerges, e.readPapers, e.readSeenThere, e.readStands, e.readRain,
		e.readDryers, e.readVouchers} {
		if err := read(); err != nil {
			return err
		}
	}
	return nil
}

// acts reads the rows of a table that are of this event; columns are those after event, at and by.
func (e *event) acts(table, columns string, take func(*row) act) error {
	all := append([]string{"event", "at", "by"}, strings.Split(columns, ",")...)
	looks := slices.Contains([]string{"fates", "splits", "merges", "papers", "dryers", "vouchers"}, table)
	return e.happens(table, "by", "at", all, func(r *row, m *moment) { m.does, m.looks = take(r), looks })
}

func (e *event) readBlocks() error {
	return e.acts("blocks", "from,to,team,person,remarks", func(r *row) act {
		return using(setup.Block{From: r.whole("from"), To: r.whole("to"), Team: r.text("team"), Person: r.text("person"),
			Remarks: r.text("remarks")}, setup.IssueBlock)
	})
}

func (e *event) readFlags() error {
	return e.acts("flags", "name,flag,source,permit", func(r *row) act {
		return using(setup.Flag{Name: r.text("name"), Flag: r.text("flag"), Source: r.text("source"), Permit: r.text("permit")}, setup.AddFlag)
	})
}

// readMembers reads sheets: those registered for a team in the same minute are one act.
func (e *event) readMembers() error {
	sheets := map[string]*sheet{}
	return e.acts("members", "team,key,person,name,minor,vulnerable,guardian,drives,driver,out,phone,car,emergency,medical", func(r *row) act {
		m := member{team: r.text("team"), key: r.text("key"), person: r.text("person"), guardian: r.text("guardian"), driver: r.text("driver"),
			about: outside.About{Name: r.text("name"), Minor: r.yes("minor"), Vulnerable: r.yes("vulnerable"), Drives: r.yes("drives")},
			out:   r.yes("out"), private: outside.Private{Phone: r.text("phone"), Car: r.text("car"), Emergency: r.text("emergency"),
				Medical: r.text("medical")}}
		if m.out {
			return m.joins
		}
		key := r.text("at") + " " + m.team
		if have, ok := sheets[key]; ok {
			have.members = append(have.members, m)
			return nil
		}
		sheets[key] = &sheet{members: []member{m}}
		return sheets[key].registered
	})
}

func (e *event) readHeads() error {
	return e.acts("heads", "team,what,heads,who,remarks", func(r *row) act {
		return heads{team: r.text("team"), what: r.text("what"), heads: r.maybe("heads"), who: r.words("who"), remarks: r.text("remarks")}.counted
	})
}

func (e *event) readWishes() error {
	return e.acts("wishes", "walks,with", func(r *row) act { return wishes(r.text("walks"), r.text("with")) })
}

func (e *event) readGroups() error {
	return e.acts("groups", "person,groups", func(r *row) act { return groups(r.text("person"), r.text("groups")) })
}

func (e *event) readFates() error {
	return e.acts("fates", "number,to,fate,reason", func(r *row) act {
		return using(desk.Fate{Number: r.text("number"), To: r.text("to"), Fate: r.text("fate"), Reason: r.text("reason")}, desk.SayFate)
	})
}

func (e *event) readSplits() error {
	return e.acts("splits", "number,groups,remarks,reason", func(r *row) act {
		in := desk.Split{Reason: r.text("reason")}
		for _, g := range r.words("groups") {
			in.Parts = append(in.Parts, desk.Part{Group: g, Remarks: r.text("remarks")})
		}
		return splits(r.text("number"), in)
	})
}

func (e *event) readMerges() error {
	return e.acts("merges", "number,into,reason", func(r *row) act {
		return merges(r.text("number"), desk.Merge{Into: r.text("into"), Reason: r.text("reason")})
	})
}

func (e *event) readPapers() error {
	return e.acts("papers", "what", func(r *row) act { return papers(r.text("what")) })
}
