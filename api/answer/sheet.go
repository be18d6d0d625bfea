package answer

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"sync"

	"kerfbook/bom"
	"kerfbook/costing/book/record"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/graph/proof"
	"kerfbook/costing/text"
)

// Sheet is an evaluated batch in which every figure can be looked up: by its
// key, by the place in the book it was entered at, with what uses it and what it
// rests on.
type Sheet struct {
	graph   *graph.Graph
	values  *exact.Values
	byPath  func() map[string]graph.ID
	records func() map[string]bool
	read    func() Reader // marks figures that rest on a row without a source
	// of is the batch, whose inputs may be asked for by keys they had before.
	of *estimate.Estimate
}

// Sheet gives a batch for looking up.
func (o Origin) Sheet(ctx context.Context, mix []estimate.MixLine, day bom.Date) (*Sheet, error) {
	e, err := o.Evaluate(ctx, mix, day)
	if err != nil {
		return nil, err
	}
	return e.Sheet(), nil
}

func newSheet(e *Evaluation) *Sheet {
	s := &Sheet{graph: e.Estimate.Graph, values: e.Values, of: e.Estimate}
	s.read = sync.OnceValue(func() Reader { return NewReader(s.graph, s.values) })
	s.byPath = sync.OnceValue(func() map[string]graph.ID { return inputsByPath(s.graph) })
	s.records = sync.OnceValue(s.recordsIn)
	return s
}

// EmptySheet has no figures.
func EmptySheet() *Sheet {
	return newSheet(&Evaluation{Frame: newFrame(&estimate.Estimate{Graph: new(graph.Graph)})})
}

// inputsByPath finds inputs by the place in the book they were entered at.
func inputsByPath(g *graph.Graph) map[string]graph.ID {
	out := map[string]graph.ID{}
	for id := range graph.ID(g.Len()) {
		if g.Kind(id) != graph.Input {
			continue
		}
		path := g.Node(id).Source.Path
		if _, known := out[path]; path != "" && !known {
			out[path] = id
		}
	}
	return out
}

// Figure looks up a key; the zero Figure stands for one that does not exist.
func (s *Sheet) Figure(key string) Figure {
	if id, ok := s.graph.Find(key); ok {
		return s.read().Figure(id)
	}
	return Figure{}
}

// Entered looks up the number that was entered at a place of the book, if the
// batch uses it.
func (s *Sheet) Entered(path string) Figure {
	if id, ok := s.byPath()[path]; ok {
		return s.read().Figure(id)
	}
	return Figure{}
}

// Records tells the records that the batch has numbers of, by their paths. It is not to
// be changed.
func (s *Sheet) Records() map[string]bool { return s.records() }

func (s *Sheet) recordsIn() map[string]bool {
	out := map[string]bool{}
	for place := range s.byPath() {
		if k, position, _, ok := record.Locate(place); ok {
			out[k.Path(position)] = true
		}
	}
	return out
}

// Gaps lists what a record of the book, given by its place, lacks for landed prices.
func (s *Sheet) Gaps(record string) []Gap {
	var out []Gap
	for _, f := range s.graph.Findings() {
		gap := Gap{f.Message, f.Path}
		lacking := f.Severity == graph.Gap || f.Severity == graph.Warning && strings.HasPrefix(f.Key, "destination/")
		if lacking && strings.HasPrefix(f.Path, record+".") && !slices.Contains(out, gap) {
			out = append(out, gap)
		}
	}
	return out
}

// IsInput reports whether a key is a number that was entered and may be changed,
// and where.
func (s *Sheet) IsInput(key string) (path string, ok bool) {
	id, found := s.graph.Find(key)
	if !found || s.graph.Node(id).Kind != graph.Input {
		return "", false
	}
	path = s.graph.Node(id).Source.Path
	return path, path != ""
}

// IsComputed reports whether a number may be put in the place of a figure: it is
// computed, and none has been.
func (s *Sheet) IsComputed(key string) bool {
	id, found := s.graph.Find(key)
	return found && s.graph.Node(id).Kind == graph.Computed && !strings.HasSuffix(key, "/computed")
}

// Explain gives the proof of a figure down to a depth. The error is an
// *UnknownKeyError for a key that does not exist.
func (s *Sheet) Explain(key string, depth int) (proof.Step, error) {
	if _, ok := s.graph.Find(key); !ok && s.of != nil {
		var mix []estimate.MixLine
		for _, v := range s.of.Variants {
			mix = append(mix, v.Line)
		}
		key = estimate.Renamed(s.of.Book, mix, key)
	}
	return Explain(s.graph, s.values, key, depth)
}

func Explain(g *graph.Graph, values proof.Values, key string, depth int) (proof.Step, error) {
	id, ok := g.Find(key)
	if !ok {
		return proof.Step{}, &UnknownKeyError{key, Similar(g, key)}
	}
	return proof.Explain(g, values, id, depth), nil
}

// UsedBy lists the figures computed directly from one, at most limit.
func (s *Sheet) UsedBy(key string, limit int) []Figure {
	of, ok := s.graph.Find(key)
	if !ok {
		return nil
	}
	var out []Figure
	for id := of + 1; id < graph.ID(s.graph.Len()) && len(out) < limit; id++ {
		for _, a := range s.graph.Args(id) {
			if a == of {
				out = append(out, s.read().Figure(id))
				break
			}
		}
	}
	return out
}

// Below lists the figures whose keys lie below a prefix such as work-centre/, and
// end with a name.
func (s *Sheet) Below(prefix, name string) []Figure {
	var out []Figure
	for id := range graph.ID(s.graph.Len()) {
		if k := s.graph.Key(id); strings.HasPrefix(k, prefix) && strings.HasSuffix(k, "/"+name) {
			out = append(out, s.read().Figure(id))
		}
	}
	return out
}

// Unverified lists the sources without proof that a figure rests on as it stands,
// each once. A row that would bear only at another value is not among them.
func (s *Sheet) Unverified(key string) []graph.Source {
	id, ok := s.graph.Find(key)
	if !ok || !s.read().unverified[id] {
		return nil
	}
	var out []graph.Source
	named := map[string]bool{}
	rests := proof.Rests(s.graph, s.values, id)
	for at := id; at >= 0; at-- {
		if !rests[at] {
			continue
		}
		if src := s.graph.Node(at).Source; src.Unverified && !named[src.Where] {
			named[src.Where] = true
			out = append(out, src)
		}
	}
	return out
}

// UnknownKeyError is a key that no figure of the estimate has.
type UnknownKeyError struct {
	Key     string
	Similar []string // keys that contain or resemble it, at most ten
}

func (e *UnknownKeyError) Error() string {
	if len(e.Similar) == 0 {
		return fmt.Sprintf("no figure has the key %q", e.Key)
	}
	return fmt.Sprintf("no figure has the key %q; similar keys:\n  %s", e.Key, strings.Join(e.Similar, "\n  "))
}

// mostSimilar is how many keys are suggested; a key longer than the longest is no
// slip of the hand.
const mostSimilar, longestTyped = 10, 200

// Similar lists keys in place of one that is unknown: those a slip of the
// fingers away, the nearest first, then those that share its last element or
// contain it.
func Similar(g *graph.Graph, key string) []string {
	type near struct {
		key  string
		away int
	}
	var typed []near
	var alike []string
	last := key[strings.LastIndex(key, "/")+1:]
	most := max(2, len(key)/8)
	for id := range graph.ID(g.Len()) {
		k := g.Node(id).Key
		if away, ok := slip(key, k, most); ok {
			typed = append(typed, near{k, away})
		} else if len(alike) < mostSimilar && (strings.HasSuffix(k, "/"+last) || strings.Contains(k, key)) {
			alike = append(alike, k)
		}
	}
	slices.SortStableFunc(typed, func(a, b near) int { return a.away - b.away })
	var out []string
	for _, n := range typed {
		out = append(out, n.key)
	}
	out = append(out, alike...)
	return out[:min(mostSimilar, len(out))]
}

// slip counts the letters wrong between what was typed and a key.
func slip(typed, key string, most int) (away int, ok bool) {
	if len(typed) > longestTyped {
		return 0, false
	}
	return text.Distance(typed, key, most)
}
