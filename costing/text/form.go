package text

import (
	"fmt"

	"go.yaml.in/yaml/v3"

	"kerfbook/bom"
)

// inspect walks the whole document for what a reader of another make could take
// differently, whether or not a field is known.
func (d *decoder) inspect(n *yaml.Node, path string, depth int) {
	if d.full() {
		return
	}
	switch {
	case depth > MaxDepth:
		d.fail(n, path, fmt.Sprintf("nested deeper than %d levels", MaxDepth))
		return
	case n.Kind == yaml.AliasNode:
		d.fail(n, path, fmt.Sprintf("the alias *%s is not read; write the value itself, or put the text in quotes", bom.Shorten(n.Value)))
		return
	case n.Anchor != "":
		d.fail(n, path, fmt.Sprintf("the anchor &%s is not read; leave it out, or put the text in quotes", bom.Shorten(n.Anchor)))
	}
	if n.Style&yaml.TaggedStyle != 0 {
		d.fail(n, path, fmt.Sprintf("the tag %s is not read; leave it out, or put the text in quotes", bom.Shorten(n.Tag)))
	}
	switch n.Kind {
	case yaml.SequenceNode:
		for i, entry := range n.Content {
			d.inspect(entry, Index(path, i), depth+1)
		}
	case yaml.MappingNode:
		d.inspectKeys(n, path, depth)
	}
}

func (d *decoder) inspectKeys(n *yaml.Node, path string, depth int) {
	first := make(map[string]int, len(n.Content)/2)
	for i := 0; i+1 < len(n.Content); i += 2 {
		key := n.Content[i]
		at := Key(path, bom.Shorten(key.Value))
		d.inspect(key, at, depth+1)
		d.inspect(n.Content[i+1], at, depth+1)
		switch line, twice := first[key.Value]; {
		case key.Kind == yaml.AliasNode:
		case key.Kind != yaml.ScalarNode:
			d.fail(key, path, "a name is expected before the colon, not a list or mapping")
		case isMerge(key):
			d.fail(key, path, "the merge key << is not read; write the fields themselves")
		case twice:
			d.fail(key, at, fmt.Sprintf("given twice; the first is on line %d", line))
		default:
			first[key.Value] = key.Line
		}
	}
}

func isMerge(key *yaml.Node) bool { return key.Value == "<<" && key.Style == 0 }
