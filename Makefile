# make check  the loop while writing, under a minute: format, vet, the two rules and the short tests of what differs from main
# make test   what the continuous integration runs: all tests as they are by day
# make night  all tests in full depth with a seed of its own, what starts goroutines under the race detector too, fuzzing
# make lines  lines of product and tests by package; fails above 3,500 in one
# make build  the one binary, in bin/
# make release  the programs for Windows, macOS and Linux with their SHA-256 sums, in bin/release/, each built twice alike
# make bench  the benchmarks, and the same work in other languages
# make fuzz   each fuzz target for a short while

GO ?= go
FUZZTIME ?= 30s
ifndef SEED
SEED := $(shell od -An -N4 -tu4 /dev/urandom | tr -d ' ')
endif
ALL = ./... ./testdata ./testdata/depth ./testdata/peers
# Packages that start goroutines or are called from several at a time. The race detector watches the tests that do either
# (.ci/race finds them), at night in full depth.
RACE = ./api/... ./cmd/... ./web/... ./costing/ask/simulate ./costing/graph/...

# Test programs build many small graphs: garbage is collected less often, within a bound of memory.
check test night: export GOGC = 400
check test night: export GOMEMLIMIT = 2GiB

.PHONY: check test night lines build release bench fuzz tools format

check: format
	@changed=$$(sh .ci/changed); if [ -n "$$changed" ]; then set -x; \
	  $(GO) vet $$changed && $(GO) test -vet=off -short -timeout 60s $$changed; fi
	$(GO) test -vet=off ./cmd/kerfbook -run 'Imports|Arithmetic'

test: tools format
	$(GO) vet $(ALL)
	$(GO) tool staticcheck $(ALL)
	$(GO) test -vet=off -timeout 15m ./... ./testdata/depth
	@sh .ci/race $(RACE)

night: tools format
	@echo "night $(SEED); to have it again: make night SEED=$(SEED)"
	KERFBOOK_NIGHT=$(SEED) $(GO) test -timeout 60m $(ALL)
	@KERFBOOK_NIGHT=$(SEED) sh .ci/race $(RACE)
	@$(MAKE) fuzz FUZZTIME=5s

format:
	@unformatted=$$(gofmt -l api bom cmd costing migrations testdata web); \
	  if [ -n "$$unformatted" ]; then echo "not formatted:"; echo "$$unformatted"; exit 1; fi

tools:
	@sh .ci/tools

lines:
	@sh .ci/lines

build:
	CGO_ENABLED=0 $(GO) build -trimpath -o bin/kerfbook ./cmd/kerfbook

release:
	@GO=$(GO) sh .ci/release bin/release

bench:
	$(GO) test -run '^$$' -bench . -benchmem ./costing/...
	$(GO) test -bench . -benchtime 1x ./testdata/peers

fuzz:
	@$(GO) list -f '{{.ImportPath}}' ./... | while read -r pkg; do \
	  for target in $$($(GO) test -list '^Fuzz' "$$pkg" | grep '^Fuzz'); do \
	    echo "$$pkg $$target"; $(GO) test -run '^$$' -fuzz "^$$target\$$" -fuzztime $(FUZZTIME) -fuzzminimizetime 10x "$$pkg" || exit 1; \
	  done; done
