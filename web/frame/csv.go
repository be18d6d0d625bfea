package frame

import (
	"kerfbook/api/edge"
	"kerfbook/costing/papers/table"
)

// CSVType is the media type of a table.
const CSVType = "text/csv; charset=utf-8"

// CSVProfile is how the person wants a CSV: as chosen beside the button, else as the
// spreadsheet of one who writes a comma or a point expects it.
func (c *Call) CSVProfile() (table.Profile, error) {
	separator, decimal := c.R.Form.Get("separator"), c.R.Form.Get("decimal")
	if separator == "" && decimal == "" && c.Style.Comma {
		separator, decimal = ";", ","
	}
	p, err := table.Spreadsheet.Marked(separator, decimal)
	if err != nil {
		return p, &edge.Refusal{Kind: edge.BadRequest, Detail: err.Error()}
	}
	return p, nil
}

// CSVFields ask how a CSV is wanted.
func (c *Call) CSVFields() []Field {
	separator, decimal := Field{Name: "separator", Label: "Between fields"}, Field{Name: "decimal", Label: "Decimal mark"}
	nowSeparator, nowDecimal := ",", "."
	if c.Style.Comma {
		nowSeparator, nowDecimal = ";", ","
	}
	separator.Offer([]Option{{Value: ",", Label: "comma"}, {Value: ";", Label: "semicolon"}, {Value: "tab", Label: "tab"}}, nowSeparator)
	decimal.Offer([]Option{{Value: ".", Label: "point"}, {Value: ",", Label: "comma"}}, nowDecimal)
	return []Field{separator, decimal}
}
