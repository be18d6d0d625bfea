package export_test

import (
	"bytes"
	"encoding/csv"
	"errors"
	"reflect"
	"strings"
	"testing"

	"kerfbook/costing/export"
)

var csvRows = [][]export.Cell{
	{export.Text("figure"), export.Text("value"), export.Text("source")},
	{export.Text("plain words"), export.Number(number("2.50")), export.Text("")},
	{export.Text("comma, quote \" and\nline"), export.Number(number("-0.5")), export.Text(" space ")},
	{export.Text("=1+1"), export.Number(number("12000000000000000000.00")), export.Text("+49 30 123")},
	{export.Text("-2"), export.Number(number("1e3")), export.Text("@SUM(A1)")},
	{export.Text("\tcmd"), export.Text("\rcmd"), export.Text("\ncmd")},
	{export.Text("\x00cmd"), export.Text("'quoted'"), export.Text("Übermaß ½")},
	{export.Text("")},
	{export.Text(`=cmd|' /C calc'!A0`)},
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
	for profile, want := range map[export.Profile]string{export.Data: csvData, export.Spreadsheet: csvSpreadsheet} {
		var out bytes.Buffer
		if err := export.WriteCSV(&out, csvRows, profile); err != nil {
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
	cells := make([]export.Cell, len(texts))
	for i, s := range texts {
		cells[i] = export.Text(s)
	}
	var out bytes.Buffer
	if err := export.WriteCSV(&out, [][]export.Cell{cells}, export.Data); err != nil {
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
		if err := export.WriteCSV(&out, [][]export.Cell{{export.Text(text)}}, export.Spreadsheet); err != nil {
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

type brokenWriter struct{ left int }

var errBroken = errors.New("disk full")

func (w *brokenWriter) Write(p []byte) (int, error) {
	if w.left -= len(p); w.left < 0 {
		return 0, errBroken
	}
	return len(p), nil
}

func TestWritersReportErrors(t *testing.T) {
	t.Parallel()
	if err := export.WriteCSV(&brokenWriter{}, csvRows, export.Data); !errors.Is(err, errBroken) {
		t.Errorf("CSV: %v", err)
	}
	s := newSample(t)
	if err := export.WriteWorkbook(&brokenWriter{left: 100}, sampleModel(t, s), sampleMeta); !errors.Is(err, errBroken) {
		t.Errorf("workbook: %v", err)
	}
}
