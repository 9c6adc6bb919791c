package archive

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"forayhall/internal/fault"
	"forayhall/internal/message"
)

func TestEscapeFormula(t *testing.T) {
	tests := map[string]string{
		"=1+1": "'=1+1", "+44 1": "'+44 1", "-x": "'-x", "@SUM(A1)": "'@SUM(A1)", "\tx": "'\tx", "\rx": "'\rx",
		"-1.5": "-1.5", "-3": "-3", "-": "'-", "-1.5.2": "'-1.5.2", "-1+2": "'-1+2", "-1.": "'-1.", "": "", "a=b": "a=b",
	}
	for cell, want := range tests {
		if got := EscapeFormula(cell); got != want {
			t.Errorf("%q became %q, want %q", cell, got, want)
		}
	}
}

func TestWriteCSV(t *testing.T) {
	rows := [][]string{{"=1", `say "x"`}, {"a;b"}, {"-1.5", "é"}}
	tests := []struct {
		rule   string
		escape Escape
		want   string
	}{
		{"raw stays raw, lines end in CRLF, short rows are filled", Raw, "n,t\r\n=1,\"say \"\"x\"\"\"\r\n\"a;b\",\r\n-1.5,é\r\n"},
		{"formulas are escaped, negative numbers are not", Formulas, "n,t\r\n'=1,\"say \"\"x\"\"\"\r\n\"a;b\",\r\n-1.5,é\r\n"},
	}
	for _, tt := range tests {
		var b bytes.Buffer
		if err := WriteCSV(&b, []string{"n", "t"}, rows, tt.escape); err != nil {
			t.Fatal(err)
		}
		if b.String() != tt.want {
			t.Errorf("%s: got %q", tt.rule, b.String())
		}
	}
}

func TestWriteOutcomeSpeaksTheReadersLanguage(t *testing.T) {
	refused := []Refused{{Line: 7, Field: "Slip no", Value: "=4l7", Reason: message.T("archive.name-missing")}}
	var b bytes.Buffer
	if err := WriteOutcome(&b, refused, message.For(message.Pseudo)); err != nil {
		t.Fatal(err)
	}
	if got := b.String(); !strings.HasPrefix(got, "line,column,value,reason\r\n7,Slip no,'=4l7,") || !strings.Contains(got, "⟦") {
		t.Errorf("got %q", got)
	}
}

func shout(in Input) ([][]string, error) {
	name := in.Get("name")
	if name == "" {
		return [][]string{{"", ""}}, nil
	}
	return [][]string{{strings.ToUpper(name), "4"}, {name + in.Get("mark"), ""}}, nil
}

var shouting = Pass{Required: []string{"name"}, Optional: []string{"mark"}, Output: []string{"name", "severity"},
	Numbers: []string{"severity"}, Row: shout}

func TestPass(t *testing.T) {
	tests := []struct{ rule, in, want string }{
		{"other columns go to the right, in order", "site;NAME;no\nHolt; ab ;1\nMoss;;2\n",
			"name,severity,site,no\r\nAB,4,Holt,1\r\nab,,Holt,1\r\n,,Moss,2\r\n"},
		{"a column with an output's name is carried under another", "name,severity,in_severity\nab,9,8\n",
			"name,severity,in_severity,in_in_severity\r\nAB,4,9,8\r\nab,,9,8\r\n"},
		{"a column that is read and not written is carried", "name,mark\nab,!\n",
			"name,severity,mark\r\nAB,4,!\r\nab!,,!\r\n"},
	}
	for _, tt := range tests {
		t.Run(tt.rule, func(t *testing.T) {
			var b bytes.Buffer
			if err := shouting.Run(&b, mustRead(t, tt.in), AsCSV); err != nil {
				t.Fatal(err)
			}
			if b.String() != tt.want {
				t.Errorf("got %q, want %q", b.String(), tt.want)
			}
		})
	}
}

func TestPassInJSONHasTheSameNamesInOrder(t *testing.T) {
	var b bytes.Buffer
	if err := shouting.Run(&b, mustRead(t, "name,no\na<b,1\n"), AsJSON); err != nil {
		t.Fatal(err)
	}
	want := "[\n{\"name\":\"A<B\",\"severity\":4,\"no\":\"1\"},\n{\"name\":\"a<b\",\"severity\":null,\"no\":\"1\"}\n]\n"
	if b.String() != want || !json.Valid(b.Bytes()) {
		t.Errorf("got %s", b.String())
	}
}

func TestPassWritesNothingWhenItFails(t *testing.T) {
	tests := []struct{ rule, in, key, says string }{
		{"a missing column is named with what was found", "taxon,no\na,1\n", "archive.column-missing", `no column "name". It has: taxon, no`},
		{"surplus is named with its line", "name,no\na,1\nb,2,c\n", "archive.surplus-in", `line 3: "c"`},
	}
	for _, tt := range tests {
		t.Run(tt.rule, func(t *testing.T) {
			var b bytes.Buffer
			err := shouting.Run(&b, mustRead(t, tt.in), AsCSV)
			wantFault(t, err, fault.Invalid, tt.key)
			if !strings.Contains(err.Error(), tt.says) || b.Len() > 0 {
				t.Errorf("said %q and wrote %q", err, b.String())
			}
		})
	}
}
