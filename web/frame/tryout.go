package frame

import (
	"net/url"
	"strconv"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/bom"
)

// ChangeFields are the hidden fields of the form that tries changes out in the batch line.
func (c *Call) ChangeFields(changes ...change.Change) []Link {
	out := []Link{{Label: "mix", Href: MixText(c.View.Lines)}, {Label: "day", Href: string(c.View.Day)}}
	if c.View.Together {
		out = append(out, Link{Label: "as", Href: "one"})
	}
	for i, ch := range changes {
		out = append(out, Link{Label: "key", Href: ch.Key}, Link{Label: ValueName(i), Href: c.AsTyped(ch.Value)})
	}
	return out
}

// ChangeHref is the address at which changes are tried out.
func (c *Call) ChangeHref(changes ...change.Change) string {
	q := url.Values{}
	for _, f := range c.ChangeFields(changes...) {
		q.Add(f.Label, f.Href)
	}
	return "/change?" + q.Encode()
}

// ValueName names the field of the value of a change.
func ValueName(i int) string {
	if i == 0 {
		return "value"
	}
	return "value." + strconv.Itoa(i)
}

// AsTyped writes a value as the person types it, where it is a number.
func (c *Call) AsTyped(value string) string {
	if _, err := bom.ParseDecimal(value); err != nil {
		return value
	}
	return c.Style.Text(value)
}

// Signed writes a difference with its sign, so that its direction is never told
// by colour alone.
func Signed(f Fig) string {
	d, ok := answer.Figure{Value: f.Value}.Number()
	text := f.Text
	if share, isShare := strings.CutSuffix(text, " %"); isShare {
		text = share + " points" // of a share, not a share of it
	}
	if ok && d.IsPositive() {
		return "+" + text
	}
	return text
}
