package web

import (
	"net/http"

	"kerfbook/api/edge"
	"kerfbook/api/service"
	"kerfbook/web/cost"
	"kerfbook/web/frame"
	"kerfbook/web/papers"
	"kerfbook/web/shop"
	"kerfbook/web/study"
	"kerfbook/web/trade"
	"kerfbook/web/whatif"
)

// New makes the handler of all pages on an edge that other interfaces share. It is
// to be mounted at the root, beside the paths of those.
func New(e *edge.Edge, svc *service.Service) (http.Handler, error) {
	s, err := frame.NewSite(e, svc)
	if err != nil {
		return nil, err
	}
	return s.Handler(Rooms()...), nil
}

// Rooms lists the pages of every room.
func Rooms() [][]frame.Address {
	return [][]frame.Address{cost.Pages(), whatif.Pages(), study.Pages(), trade.Pages(), papers.Pages(), shop.Pages()}
}
