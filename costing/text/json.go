package text

import (
	"bytes"
	"encoding/json"

	"go.yaml.in/yaml/v3"
)

// parseJSON builds the same tree from JSON that the YAML parser would. JSON has a
// reader of its own because the YAML parser refuses some of its escapes (\/ and
// pairs of surrogates). It is not ok for anything that is no valid JSON.
func parseJSON(data []byte) (*yaml.Node, bool) {
	trimmed := bytes.TrimLeft(data, " \t\r\n")
	if len(trimmed) == 0 || trimmed[0] != '{' || !json.Valid(data) {
		return nil, false
	}
	r := &jsonReader{data: data, decoder: json.NewDecoder(bytes.NewReader(data)), at: Position{1, 1}}
	r.decoder.UseNumber()
	root, err := r.value()
	return root, err == nil
}

// ByHand gives a text as its author wrote it, from its first line on that is not empty and
// with its last one ended; ok is false for JSON, which says values alone.
func ByHand(written []byte) (text []byte, ok bool) {
	if _, isJSON := parseJSON(written); isJSON {
		return nil, false
	}
	text = bytes.Trim(bytes.ReplaceAll(bytes.TrimPrefix(written, byteOrderMark), []byte("\r\n"), []byte("\n")), "\n")
	return append(text, '\n'), true
}

// jsonReader keeps count of lines and columns from token to token.
type jsonReader struct {
	data    []byte
	decoder *json.Decoder
	offset  int
	at      Position
}

// token reads the next token and notes where it begins.
func (r *jsonReader) token() (json.Token, *yaml.Node, error) {
	token, err := r.decoder.Token()
	if err != nil {
		return nil, nil, err
	}
	for bytes.IndexByte([]byte(" \t\r\n,:"), r.data[r.offset]) >= 0 {
		r.pass(r.offset + 1)
	}
	n := &yaml.Node{Kind: yaml.ScalarNode, Line: r.at.Line, Column: r.at.Column}
	r.pass(int(r.decoder.InputOffset()))
	return token, n, nil
}

func (r *jsonReader) pass(end int) {
	for ; r.offset < end; r.offset++ {
		switch c := r.data[r.offset]; {
		case c == '\n' || c == '\r' && !bytes.HasPrefix(r.data[r.offset+1:], []byte("\n")):
			r.at = Position{r.at.Line + 1, 1}
		case c&0xC0 != 0x80: // not inside a character
			r.at.Column++
		}
	}
}

func (r *jsonReader) value() (*yaml.Node, error) {
	token, n, err := r.token()
	if err != nil {
		return nil, err
	}
	switch v := token.(type) {
	case json.Delim:
		n.Kind, n.Style = yaml.SequenceNode, yaml.FlowStyle
		if v == '{' {
			n.Kind = yaml.MappingNode
		}
		return n, r.content(n)
	case string:
		n.Value, n.Tag, n.Style = v, "!!str", yaml.DoubleQuotedStyle
	case json.Number:
		n.Value = v.String()
	case bool:
		n.Value = map[bool]string{true: "true", false: "false"}[v]
	case nil:
		n.Value, n.Tag = "null", "!!null"
	}
	return n, nil
}

// content reads up to the closing bracket.
func (r *jsonReader) content(n *yaml.Node) error {
	for r.decoder.More() {
		child, err := r.value()
		if err != nil {
			return err
		}
		n.Content = append(n.Content, child)
	}
	_, _, err := r.token()
	return err
}
