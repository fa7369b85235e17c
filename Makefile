# make demo   builds the program and judges the first example
# make test   everything that must hold before a change is merged
# make docs   writes the generated pages again
# make bench  times the hot paths
# Only Go is needed (1.26 or later); make test installs or names the rest.

GO ?= $(or $(shell command -v go),/usr/local/go/bin/go)
export CGO_ENABLED ?= 0

EXAMPLE = examples/crate-portal/gantry.yaml

.PHONY: demo build test docs bench clean

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

clean:
	rm -rf bin
