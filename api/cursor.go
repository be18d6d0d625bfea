package api

import (
	"cmp"
	"encoding/base64"
	"strings"

	"kerfbook/api/edge"
)

// pageParams are those of every list.
type pageParams struct {
	After    string `query:"after" maxLength:"400" doc:"The cursor of the page before, from its next; its form may change at any time"`
	PageSize int    `query:"page_size" minimum:"1" doc:"Entries a page, 50 if absent; more than 200 are cut to 200"`
}

// page reads where a page begins and how long it is. A cursor of another list is
// refused.
func (a *API) page(list string, p pageParams) (after string, size int, err error) {
	size = cmp.Or(p.PageSize, a.edge.Config.PageSize)
	size = min(size, a.edge.Config.MaxPageSize)
	if p.After == "" {
		return "", size, nil
	}
	data, err := base64.RawURLEncoding.DecodeString(p.After)
	name, after, ok := strings.Cut(string(data), "\n")
	if err != nil || !ok || name != list || after == "" {
		return "", 0, &edge.Refusal{Kind: edge.BadRequest, Detail: "this cursor does not belong to this list",
			Fields: []edge.Field{{Parameter: "after", Detail: "take it from next of the page before"}}}
	}
	return after, size, nil
}

// cursor makes the opaque text for the page after an entry; "" for none.
func cursor(list, after string) string {
	if after == "" {
		return ""
	}
	return base64.RawURLEncoding.EncodeToString([]byte(list + "\n" + after))
}
