# make test   everything the continuous integration runs
# make build  the one binary, in bin/
# make bench  the benchmarks
# make fuzz   each fuzz target for a short while

GO ?= go
STATICCHECK = honnef.co/go/tools/cmd/staticcheck@v0.8.2
FUZZTIME ?= 30s

.PHONY: test build bench fuzz tools

test: tools
	@unformatted=$$(gofmt -l api bom cmd costing testdata $$(ls -d migrations web 2>/dev/null)); \
	  if [ -n "$$unformatted" ]; then echo "not formatted:"; echo "$$unformatted"; exit 1; fi
	$(GO) vet ./... ./testdata ./testdata/peers
	$(GO) run $(STATICCHECK) ./... ./testdata ./testdata/peers
	$(GO) test -race -timeout 30m ./... ./testdata/peers

tools:
	@sh .ci/tools

build:
	CGO_ENABLED=0 $(GO) build -trimpath -o bin/kerfbook ./cmd/kerfbook

bench:
	$(GO) test -run '^$$' -bench . -benchmem ./costing/...
	$(GO) test -run '^$$' -bench . -benchtime 1x ./testdata/peers

fuzz:
	@$(GO) list -f '{{.ImportPath}}' ./... | while read -r pkg; do \
	  for target in $$($(GO) test -list '^Fuzz' "$$pkg" | grep '^Fuzz'); do \
	    echo "$$pkg $$target"; $(GO) test -run '^$$' -fuzz "^$$target\$$" -fuzztime $(FUZZTIME) -fuzzminimizetime 10x "$$pkg" || exit 1; \
	  done; done
