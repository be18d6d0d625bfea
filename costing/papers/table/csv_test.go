package table_test

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"reflect"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/costing/papers/quotetest"
	"kerfbook/costing/papers/table"
)

var csvRows = [][]table.Cell{
	{table.Text("figure"), table.Text("value"), table.Text("source")},
	{table.Text("plain words"), table.Number(decimal.RequireFromString("2.50")), table.Text("")},
	{table.Text("comma, quote \" and\nline"), table.Number(decimal.RequireFromString("-0.5")), table.Text(" space ")},
	{table.Text("=1+1"), table.Number(decimal.RequireFromString("12000000000000000000.00")), table.Text("+49 30 123")},
	{table.Text("-2"), table.Number(decimal.RequireFromString("1e3")), table.Text("@SUM(A1)")},
	{table.Text("\tcmd"), table.Text("\rcmd"), table.Text("\ncmd")},
	{table.Text("\x00cmd"), table.Text("'quoted'"), table.Text("Übermaß ½")},
	{table.Text("")},
	{table.Text(`=cmd|' /C calc'!A0`)},
}

const csvData = "figure,value,source\r\n" +
	"plain words,2.50,\r\n" +
	"\"comma, quote \"\" and\nline\",-0.5, space \r\n" +
	"=1+1,12000000000000000000.00,+49 30 123\r\n" +
	"-2,1000,@SUM(A1)\r\n" +
	"\tcmd,\"\rcmd\",\"\ncmd\"\r\n" +
	"\x00cmd,'quoted',Übermaß ½\r\n" +
	"\"\"\r\n" +
	"=cmd|' /C calc'!A0\r\n"

const csvSpreadsheet = "\uFEFF\"figure\",\"value\",\"source\"\r\n" +
	"\"plain words\",\"2.50\",\"\"\r\n" +
	"\"comma, quote \"\" and\nline\",\"-0.5\",\" space \"\r\n" +
	"\"'=1+1\",\"12000000000000000000.00\",\"'+49 30 123\"\r\n" +
	"\"'-2\",\"1000\",\"'@SUM(A1)\"\r\n" +
	"\"'\tcmd\",\"'\rcmd\",\"'\ncmd\"\r\n" +
	"\"'\x00cmd\",\"''quoted'\",\"Übermaß ½\"\r\n" +
	"\"\"\r\n" +
	"\"'=cmd|' /C calc'!A0\"\r\n"

func TestWriteCSV(t *testing.T) {
	t.Parallel()
	for profile, want := range map[table.Profile]string{table.Data: csvData, table.Spreadsheet: csvSpreadsheet} {
		var out bytes.Buffer
		if err := table.WriteCSV(&out, csvRows, profile); err != nil {
			t.Fatal(err)
		}
		if out.String() != want {
			t.Errorf("profile %d:\n%q, want\n%q", profile, out.String(), want)
		}
	}
}

// The data profile gives every text back to any reader of RFC 4180.
func TestCSVDataReadsBack(t *testing.T) {
	t.Parallel()
	texts := []string{"a", "", "x\ny", `"`, `""`, ",", " lead", "=1", "\x00", "'"}
	cells := make([]table.Cell, len(texts))
	for i, s := range texts {
		cells[i] = table.Text(s)
	}
	var out bytes.Buffer
	if err := table.WriteCSV(&out, [][]table.Cell{cells}, table.Data); err != nil {
		t.Fatal(err)
	}
	got, err := csv.NewReader(&out).Read()
	if err != nil || !reflect.DeepEqual(got, texts) {
		t.Errorf("read back %q, %v; want %q", got, err, texts)
	}
}

// FuzzCSVSpreadsheet: no field begins like a formula, and taking one apostrophe
// off gives the text back.
func FuzzCSVSpreadsheet(f *testing.F) {
	for _, s := range []string{"=1", "'=1", "a", "", "\r\n"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		var out bytes.Buffer
		if err := table.WriteCSV(&out, [][]table.Cell{{table.Text(text)}}, table.Spreadsheet); err != nil {
			t.Fatal(err)
		}
		field := strings.TrimSuffix(strings.TrimPrefix(out.String(), "\uFEFF\""), "\"\r\n")
		field = strings.ReplaceAll(field, `""`, `"`)
		if field != "" && strings.ContainsRune("=+-@\t\r\n\x00", rune(field[0])) {
			t.Errorf("%q is written as %q", text, field)
		}
		if strings.TrimPrefix(field, "'") != text {
			t.Errorf("%q comes back as %q", text, field)
		}
	})
}

func TestWritersReportErrors(t *testing.T) {
	t.Parallel()
	full := errors.New("disk full")
	reader, broken := io.Pipe()
	reader.CloseWithError(full)
	if err := table.WriteCSV(broken, csvRows, table.Data); !errors.Is(err, full) {
		t.Errorf("CSV: %v", err)
	}
	d, v := quotetest.Issued(t, quotetest.Request("PT", "DAP"))
	if err := table.WriteQuoteWorkbook(broken, d, v); !errors.Is(err, full) {
		t.Errorf("workbook: %v", err)
	}
}

// TestMarksByChoice: fields are quoted by the separator they have, and words keep their
// points.
func TestMarksByChoice(t *testing.T) {
	t.Parallel()
	rows := [][]table.Cell{{table.Text("a;b"), table.Text("1.5, so"), table.Number(decimal.RequireFromString("-2.50"))}}
	for _, c := range []struct{ separator, decimal, want string }{
		{"", "", `"a;b","1.5, so","-2.50"`}, {",", ".", `"a;b","1.5, so","-2.50"`}, {";", ",", `"a;b";"1.5, so";"-2,50"`}, {"tab", ",", "\"a;b\"\t\"1.5, so\"\t\"-2,50\""},
	} {
		var out bytes.Buffer
		profile, err := table.Spreadsheet.Marked(c.separator, c.decimal)
		if err == nil {
			err = table.WriteCSV(&out, rows, profile)
		}
		if err != nil || out.String() != "\uFEFF"+c.want+"\r\n" {
			t.Errorf("%q and %q: %q, %v", c.separator, c.decimal, out.String(), err)
		}
	}
	var out bytes.Buffer
	data, _ := table.Data.Marked(";", ",")
	if err := table.WriteCSV(&out, rows, data); err != nil || out.String() != "\"a;b\";1.5, so;-2,50\r\n" {
		t.Errorf("as data: %q, %v", out.String(), err)
	}
	for _, c := range [][2]string{{"", ","}, {",", ","}, {"|", ""}, {"", "'"}} {
		if _, err := table.Data.Marked(c[0], c[1]); err == nil {
			t.Errorf("%q and %q are taken", c[0], c[1])
		}
	}
}
