package schema

import (
	_ "embed"
	"maps"
	"slices"
	"strings"
	"sync"

	"github.com/danielgtaylor/huma/v2"

	"kerfbook/costing/text"
)

//go:embed wire.yaml
var wireText []byte

// wire says of fields of answers and requests what they are, by name or by type and name.
var wire = sync.OnceValues(func() (map[string]string, error) {
	var all struct {
		Fields map[string]string `book:"fields"`
	}
	_, err := text.Decode(wireText, &all)
	return all.Fields, err
})

// Finish completes a document whose routes are all described: every field of an answer
// says what it is; answers are open, since the next version may say more, and their lists
// are never null.
func (s Schemas) Finish(document *huma.OpenAPI) {
	says, _ := wire() // a test reads them
	for name, schema := range s.Map() {
		for field, p := range schema.Properties {
			if p.Description == "" {
				schema.Properties[field] = about(p, says[field])
			}
			if special := says[name+"."+field]; special != "" {
				schema.Properties[field] = about(p, special)
			}
		}
	}
	answered := answers{s.Map(), map[string]bool{}}
	for _, route := range document.Paths {
		for _, op := range []*huma.Operation{route.Get, route.Put, route.Post, route.Delete} {
			if op == nil {
				continue
			}
			for _, status := range slices.Sorted(maps.Keys(op.Responses)) {
				for _, content := range op.Responses[status].Content {
					answered.open(content.Schema)
				}
			}
		}
	}
}

// answers opens what is answered.
type answers struct {
	components map[string]*huma.Schema
	seen       map[string]bool
}

func (a answers) open(s *huma.Schema) {
	if s == nil {
		return
	}
	if name := s.Ref[strings.LastIndexByte(s.Ref, '/')+1:]; name != "" && !a.seen[name] {
		a.seen[name] = true
		a.open(a.components[name])
	}
	if s.AdditionalProperties == false {
		s.AdditionalProperties = nil
	}
	if s.Type == huma.TypeArray {
		s.Nullable = false
	}
	inner, _ := s.AdditionalProperties.(*huma.Schema)
	for _, part := range slices.Concat([]*huma.Schema{s.Items, inner}, s.OneOf, s.AllOf, s.AnyOf, slices.Collect(maps.Values(s.Properties))) {
		a.open(part)
	}
}
