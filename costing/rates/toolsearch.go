package rates

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"kerfbook/bom"
)

// ToolSearch looks for the tools that can cut a feature.
type ToolSearch struct {
	Tools     []bom.Tool
	Data      CuttingTables
	Centre    bom.ID
	Materials []bom.ID // names of the material cut, narrowest first
	Day       bom.Date // empty: rows of any day

	lacking map[dataUse]string // what was looked up before
}

// dataUse is what decides which cutting data a tool lacks.
type dataUse struct {
	tool        *bom.Tool
	kind        bom.FeatureKind
	speed, feed bool // the feature states its own
}

// For gives the places of the tools that can cut a feature, in order of their ids,
// since the place of a tool in a list means nothing, or says why each tool of the
// right kind, or each that the feature names, cannot.
func (s *ToolSearch) For(f *bom.Feature) (places []int, why string) {
	var reasons []string
	others := 0
	for at := range s.Tools {
		t := &s.Tools[at]
		named := slices.Contains(f.Tools, t.ID)
		if len(f.Tools) > 0 && !named {
			continue
		}
		if !named && !slices.Contains(f.Kind.ToolKinds(), t.Kind) {
			others++
			continue
		}
		reason := t.Misfit(f, s.Centre)
		if reason == "" {
			reason = s.lacks(dataUse{t, f.Kind, f.SpeedMMin != nil, f.FeedMM != nil})
		}
		if reason == "" {
			places = append(places, at)
		} else {
			reasons = append(reasons, string(t.ID)+" "+reason)
		}
	}
	if len(places) > 0 {
		slices.SortFunc(places, func(a, b int) int { return cmp.Compare(s.Tools[a].ID, s.Tools[b].ID) })
		return places, ""
	}
	return nil, strings.Join(append(reasons, s.other(f, others)...), "; ")
}

// other tells of the tools of kinds that do not cut the feature.
func (s *ToolSearch) other(f *bom.Feature, others int) []string {
	wanted := f.Kind.Noun() + " is cut by " + bom.ToolNouns(f.Kind.ToolKinds())
	if like := f.Kind.Like(); len(f.Tools) == 0 && slices.ContainsFunc(s.Tools, func(t bom.Tool) bool {
		return slices.Contains(like.ToolKinds(), t.Kind) && !slices.Contains(f.Kind.ToolKinds(), t.Kind) && t.KeptAt(s.Centre)
	}) {
		wanted += ", or make its kind " + string(like) + ", which the tools here can cut"
	}
	switch {
	case len(s.Tools) == 0:
		return []string{"there is no tool; " + wanted + ", so add one, take a set under Book, Tools, To begin with, or enter the minutes"}
	case others == 1:
		return []string{"1 tool is of another kind; " + wanted}
	case others > 1:
		return []string{fmt.Sprintf("%d tools are of another kind; %s", others, wanted)}
	}
	return nil
}

// lacks says which cutting data a tool lacks for a feature, of all features alike once.
func (s *ToolSearch) lacks(u dataUse) string {
	reason, known := s.lacking[u]
	if !known {
		if s.lacking == nil {
			s.lacking = map[dataUse]string{}
		}
		reason = s.lookUp(u)
		s.lacking[u] = reason
	}
	return reason
}

func (s *ToolSearch) lookUp(u dataUse) string {
	t := u.tool
	// Taps and threads advance by their pitch.
	speed, feed := u.speed, u.feed && t.Kind != bom.BandSaw || t.Kind == bom.TapTool || t.Kind == bom.ThreadingTool
	for c := range s.Data.fitting(CuttingUse{Materials: s.Materials, Tool: t, Feature: u.kind, Day: s.Day}) {
		speed = speed || c.row.SpeedMMin != nil
		feed = feed || c.row.HasFeed(t)
	}
	var missing string
	switch {
	case speed && feed:
		return ""
	case !speed && !feed:
		missing = "cutting data"
	case !speed:
		missing = "cutting speed"
	default:
		missing = "feed"
	}
	return fmt.Sprintf("has no %s for %s (%s of %s); add a row to cutting_data, or cutting_as to the material", missing, s.Materials[0], t.Kind.Noun(), gradeWords(t.GradeOf()))
}

// gradeWords is a grade as a person says it.
func gradeWords(g bom.ToolGrade) string {
	if g == bom.HSS {
		return "high-speed steel"
	}
	return string(g)
}
