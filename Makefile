# make demo   builds the program and judges the first example
# make test   everything that must hold before a change is merged
# make docs   writes the generated pages again
# make bench  times the hot paths
# make race   looks for goroutines that disturb each other; needs a C compiler, takes some ten minutes
# Only Go is needed (1.26 or later); make test installs or names the rest.

GO ?= $(or $(shell command -v go),/usr/local/go/bin/go)
export CGO_ENABLED ?= 0

EXAMPLE = examples/crate-portal/gantry.yaml

.PHONY: demo build test docs bench race clean

demo: build
	bin/spanwright check $(EXAMPLE)
	@echo
	bin/spanwright explain $(EXAMPLE) tool.sag.variation

build:
	$(GO) build -o bin/spanwright ./cmd/spanwright

test:
	@GO="$(GO)" build/test

docs:
	$(GO) test ./parts ./design ./section ./verification ./cmd/... -update

bench:
	$(GO) test -run '^$$' -bench . ./...

race:
	CGO_ENABLED=1 $(GO) test -race -timeout 60m ./internal/... ./sparse ./frame ./structure ./assess ./improve ./search ./serve/...

clean:
	rm -rf bin
