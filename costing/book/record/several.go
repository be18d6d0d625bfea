package record

import (
	"maps"
	"reflect"
	"slices"

	"kerfbook/costing/text"
)

// Proposal is a record as it was sent, or the id of one that is to be removed.
type Proposal struct {
	Kind    Kind
	ID      string
	Value   reflect.Value // of a record
	Removed bool
	Path    string // in the text
	Version string // that the change is for; empty for a new record
}

// severalType is what a text of several records is read into: records and remove,
// each with lists named like those of the book, and if_match, versions by kind/id.
var severalType = newSeveralType()

func newSeveralType() reflect.Type {
	var records, remove []reflect.StructField
	for _, k := range kinds {
		f := reflect.StructField{Name: "X" + k.Name, Type: reflect.SliceOf(k.Type), Tag: reflect.StructTag(`book:"` + k.Name + `"`)}
		if k.Only {
			f.Type = reflect.PointerTo(k.Type)
		}
		records = append(records, f)
		f.Type = reflect.TypeFor[[]string]()
		remove = append(remove, f)
	}
	return reflect.StructOf([]reflect.StructField{
		{Name: "Records", Type: reflect.StructOf(records), Tag: `book:"records"`},
		{Name: "Remove", Type: reflect.StructOf(remove), Tag: `book:"remove"`},
		{Name: "IfMatch", Type: reflect.TypeFor[map[string]string](), Tag: `book:"if_match"`},
	})
}

// ReadSeveral reads a text of several records strictly. A record that may have more
// than one id takes the one that if_match names, if it names one.
func ReadSeveral(written []byte, hints ...text.Hints) ([]Proposal, text.Places, error) {
	into := reflect.New(severalType)
	places, err := text.DecodeRecord(written, into.Interface(), hints...)
	if err != nil {
		return nil, places, err
	}
	records, remove := into.Elem().Field(0), into.Elem().Field(1)
	versions := into.Elem().Field(2).Interface().(map[string]string)
	var out []Proposal
	for i, k := range kinds {
		out = append(out, k.sent(records.Field(i), versions)...)
	}
	for i, k := range kinds {
		for j, id := range remove.Field(i).Interface().([]string) {
			out = append(out, Proposal{Kind: k, ID: id, Removed: true, Path: text.Index("remove."+k.Name, j)})
		}
	}
	known := map[string]bool{}
	var faults []text.Error
	fault := func(path, message string) {
		at := places.Of(path)
		faults = append(faults, text.Error{Line: at.Line, Column: at.Column, Path: path, Message: message})
	}
	for i := range out {
		key := out[i].Kind.Name + "/" + out[i].ID
		if known[key] {
			fault(out[i].Path, key+" is named twice")
		}
		known[key] = true
		out[i].Version = versions[key]
	}
	for _, key := range slices.Sorted(maps.Keys(versions)) {
		if !known[key] {
			fault(text.Key("if_match", key), "the change has no such record; name one by its kind and id, as in parts/A-10")
		}
	}
	if len(out) == 0 {
		fault("", "there is nothing to do; give records, or ids under remove")
	}
	if len(faults) > 0 {
		return nil, places, text.NewErrors(faults)
	}
	return out, places, nil
}

// sent lists the records of a kind.
func (k Kind) sent(list reflect.Value, versions map[string]string) []Proposal {
	if k.Only {
		if list.IsNil() {
			return nil
		}
		return []Proposal{{Kind: k, ID: k.Name, Value: list.Elem(), Path: "records." + k.Name}}
	}
	var out []Proposal
	for i := range list.Len() {
		s := Proposal{Kind: k, Value: list.Index(i), Path: text.Index("records."+k.Name, i)}
		ids, _ := k.Identify(s.Value)
		s.ID = ids[0]
		for _, id := range ids[1:] {
			if _, named := versions[k.Name+"/"+id]; named {
				s.ID = id
			}
		}
		out = append(out, s)
	}
	return out
}
