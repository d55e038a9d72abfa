# Pintle. Everything that is built goes to build/. The targets are listed by `make help`.
#
#   make                   the program, build/pintle
#   make VARIANT=debug     another variant in build/<variant>/: debug, release, asan, cov
#
# CC CFLAGS CPPFLAGS LDFLAGS LDLIBS PREFIX DESTDIR are the user's and come last.

.DELETE_ON_ERROR:
.SUFFIXES:
.SECONDARY:
.DEFAULT_GOAL := all
SHELL := /bin/sh
export LC_ALL := C

VARIANT ?= release
ifeq ($(filter $(VARIANT),debug release asan cov),)
$(error VARIANT=$(VARIANT) is not one of debug, release, asan, cov)
endif

PREFIX ?= /usr/local
DESTDIR ?=
JOBS ?= $(shell nproc 2>/dev/null || echo 2)
FUZZ_SECS ?= 60
EXAMPLE ?= examples/harbour-yard

B := build/$(VARIANT)
OUT := $(if $(filter release,$(VARIANT)),build,$(B))
LIBRARY := $(OUT)/libpintle.a
PROGRAM := $(OUT)/pintle
UNIT := $(B)/unit-tests
FAILING := $(B)/failing.so
SPOIL := $(B)/spoil
REFERENCE := $(B)/reference
MEASURE := $(B)/measure
RECKON_CLI := $(B)/reckon_cli
GEOMETRY_TIME := $(B)/geometry_time
# Where processes may be slow or write at exit, thousands of them are not run.
MUTANTS := $(if $(filter asan cov,$(VARIANT)),,$(B)/mutants/run)
# Not where a sanitizer brings an allocator of its own, or counting coverage writes at exit.
SWEEP := $(if $(filter asan cov,$(VARIANT)),,$(B)/sweep)

# ---- what there is ------------------------------------------------------------------------------

found = $(shell find $(1) -type f -name '$(2)' ! -name '.*' 2>/dev/null | sort)
MAIN := $(wildcard src/cli/main.c)
BAKE_MAIN := src/yaml/bake.c
SOURCES := $(filter-out src/cli/main.c $(BAKE_MAIN),$(call found,src,*.c))
HEADERS := $(call found,src,*.h)
UNIT_SOURCES := $(call found,tests/unit,*.c)
HARNESSES := $(filter-out tests/fuzz/replay_main.c,$(wildcard tests/fuzz/*.c))
DATA := docs/record.schema.json $(shell find hazards templates -type f ! -name '.*' ! -name '*~' 2>/dev/null | sort)

# YAML is built in as the tree that it holds.
TREES := $(patsubst %.yaml,build/embed/%.tree,$(filter %.yaml,$(DATA)))
EMBEDDED := $(filter-out %.yaml,$(DATA)) $(TREES)
BAKE := build/embed/bake
BAKE_SOURCES := $(BAKE_MAIN) src/yaml/baked_write.c src/yaml/tree.c $(filter src/base/%,$(SOURCES))
BAKE_HEADERS := $(filter src/base/% src/yaml/%,$(HEADERS)) $(wildcard src/base/*.def)

OBJECTS := $(SOURCES:%.c=$(B)/%.o) $(B)/embed/table.o $(B)/embed/data.o
FUZZERS := $(HARNESSES:tests/fuzz/%.c=$(B)/fuzz/%)

# ---- flags --------------------------------------------------------------------------------------

WARNINGS := -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wstrict-prototypes \
	-Wmissing-prototypes -Wpointer-arith -Wcast-qual -Wwrite-strings -Wundef -Wvla -Wformat=2

# No contraction: the same figures on every machine. The prefix map: no machine path in a binary.
BASE_CFLAGS := -std=c11 -Isrc -D_GNU_SOURCE -g -ffp-contract=off \
	-ffile-prefix-map=$(CURDIR)=. -fstack-protector-strong
FLAGS_release := -O2 -U_FORTIFY_SOURCE -D_FORTIFY_SOURCE=2
FLAGS_debug := -O1 -Werror
FLAGS_asan := -O1 -Werror -fsanitize=address,undefined -fno-sanitize-recover=all \
	-fno-omit-frame-pointer
FLAGS_cov := -O0 --coverage
# gcc's shared libubsan takes no notice of log_path.
LINK_asan := -fsanitize=address,undefined \
	$(if $(findstring clang,$(CC)),,-static-libasan -static-libubsan)
LINK_cov := --coverage

OWN_CFLAGS := $(BASE_CFLAGS) $(WARNINGS) $(FLAGS_$(VARIANT))
OWN_LDFLAGS := $(LINK_$(VARIANT)) -Wl,--as-needed
OWN_LDLIBS := -lyaml -lhpdf -lpcre2-8 -lcmark -lsodium -ljansson -lpng -ljpeg -lz -lpthread -lm

# Short lines; V=1 shows the commands.
Q := $(if $(V),,@)
say = $(if $(V),,@printf '  %-5s %s\n' '$(1)' '$(2)')

COMPILE = $(Q)$(CC) $(OWN_CFLAGS) $(CPPFLAGS) $(CFLAGS) -MMD -MP -MT $@ -MF $(@:.o=.d) -c -o $@
LINK = $(Q)$(CC) $(OWN_CFLAGS) $(CFLAGS) $(OWN_LDFLAGS) $(LDFLAGS)

# ---- the program --------------------------------------------------------------------------------

.PHONY: all help
all: $(LIBRARY) $(if $(MAIN),$(PROGRAM))

help:
	@sed -n 's/^#: //p' Makefile

# Rewritten only when its words change: another flag or a removed source rebuilds what it touches.
# What is shared is moved into place whole: two runs of make at once must not see half of it.
.PHONY: always
write-if-changed = @mkdir -p $(@D); new=$@.$$$$; printf '%s\n' '$(subst ','\'',$(1))' >$$new; \
	if cmp -s $$new $@; then rm -f $$new; else mv $$new $@; fi
$(B)/flags: always
	$(call write-if-changed,$(CC) $(OWN_CFLAGS) $(CPPFLAGS) $(CFLAGS) | $(OWN_LDFLAGS) $(LDFLAGS) \
	$(OWN_LDLIBS) $(LDLIBS))
$(B)/objects: always
	$(call write-if-changed,$(OBJECTS))
$(B)/units: always
	$(call write-if-changed,$(UNIT_SOURCES))
build/embed/list: always
	$(call write-if-changed,$(EMBEDDED))
build/embed/flags: always
	$(call write-if-changed,$(BAKE_COMPILE))

$(B)/%.o: %.c $(B)/flags
	@mkdir -p $(@D)
	$(call say,CC,$<)
	$(COMPILE) $<

$(LIBRARY): $(OBJECTS) $(B)/objects
	$(call say,AR,$@)
	$(Q)ar rcsD $@.$$$$ $(OBJECTS) && mv $@.$$$$ $@

$(PROGRAM): $(B)/src/cli/main.o $(LIBRARY)
	$(call say,LINK,$@)
	$(LINK) -o $@.$$$$ $^ $(OWN_LDLIBS) $(LDLIBS) && mv $@.$$$$ $@

# One for all variants, without what they differ in.
BAKE_COMPILE = $(CC) $(BASE_CFLAGS) $(WARNINGS) -O1 $(CPPFLAGS) $(CFLAGS) $(LDFLAGS)
$(BAKE): $(BAKE_SOURCES) $(BAKE_HEADERS) build/embed/flags
	$(call say,CC,$@)
	$(Q)$(BAKE_COMPILE) -o $@.$$$$ $(BAKE_SOURCES) -lyaml -lm $(LDLIBS) && mv $@.$$$$ $@

build/embed/%.tree: %.yaml $(BAKE)
	@mkdir -p $(@D)
	$(call say,BAKE,$<)
	$(Q)$(BAKE) $< >$@.$$$$ && mv $@.$$$$ $@ || { rm -f $@.$$$$; exit 1; }

# The library, the templates and the fonts, built in. Fonts are checked against their digests.
build/embed/data.S build/embed/table.c &: src/sys/embed.sh $(wildcard src/type/fonts.def) \
		build/embed/list $(EMBEDDED)
	$(call say,EMBED,build/embed)
	$(Q)sh src/sys/embed.sh build/embed src/type/fonts.def $(EMBEDDED)

$(B)/embed/data.o: build/embed/data.S $(EMBEDDED)
	@mkdir -p $(@D)
	$(call say,AS,$<)
	$(Q)$(CC) -c -o $@ $<

$(B)/embed/table.o: build/embed/table.c $(B)/flags
	@mkdir -p $(@D)
	$(COMPILE) $<

# ---- set-up -------------------------------------------------------------------------------------

RUN_PACKAGES := build-essential libyaml-dev libhpdf-dev libpcre2-dev libcmark-dev libsodium-dev \
	libjansson-dev libpng-dev libjpeg62-turbo-dev zlib1g-dev \
	$(shell sh src/sys/embed.sh --packages src/type/fonts.def)
TEST_PACKAGES := libcriterion-dev locales groff poppler-utils mupdf-tools qpdf openjdk-17-jre-headless \
	libpdfbox2-java libactivation-java libjaxb-api-java
LINT_PACKAGES := clang libclang-rt-14-dev clang-tidy cppcheck universal-ctags groff git

parallel = $(if $(findstring j,$(filter -j% --jobserver%,$(MAKEFLAGS))),,-j$(JOBS))

.PHONY: demo setup-demo setup-test setup-lint
#: demo           install what running needs, build, check and bind the finished example
setup-demo:
	@sh tests/tools/packages.sh $(RUN_PACKAGES)
setup-test:
	@sh tests/tools/with-proc.sh sh tests/tools/packages.sh $(RUN_PACKAGES) $(TEST_PACKAGES)
setup-lint:
	@sh tests/tools/with-proc.sh sh tests/tools/packages.sh $(RUN_PACKAGES) $(TEST_PACKAGES) $(LINT_PACKAGES)

demo: setup-demo
	@$(MAKE) --no-print-directory $(parallel) all
	build/pintle check $(EXAMPLE)
	@mkdir -p build/demo
	build/pintle bind $(EXAMPLE) --into build/demo
	@echo "The documents of $(EXAMPLE):"
	@find build/demo -name '*.pdf' | sort | sed 's/^/  /'

# ---- tests --------------------------------------------------------------------------------------

.PHONY: test test-run test-parts unit fuzz-replay fuzz check-asan coverage golden-update
#: test           set up, then unit tests, saved fuzz inputs and suites
test: setup-test
	@$(MAKE) --no-print-directory $(parallel) test-parts
	@$(MAKE) --no-print-directory test-run

test-parts: all $(UNIT) $(FUZZERS) $(FAILING) $(SWEEP) $(SPOIL) $(REFERENCE) $(MEASURE) $(RECKON_CLI) $(GEOMETRY_TIME) \
	$(MUTANTS)

test-run: test-parts
	@VARIANT=$(VARIANT) BUILD=$(B) PINTLE=$(PROGRAM) FAILING=$(FAILING) SPOIL=$(SPOIL) FUZZERS="$(FUZZERS)" \
		UNIT=$(UNIT) sh tests/tools/with-proc.sh sh tests/run.sh

#: unit           only the unit tests; ONLY='suite/test' pattern selects
unit: $(UNIT)
	$(UNIT) $(if $(ONLY),--filter '$(ONLY)')

$(UNIT): $(UNIT_SOURCES:%.c=$(B)/%.o) $(LIBRARY) $(B)/units
	$(call say,LINK,$@)
	$(LINK) -o $@.$$$$ $(filter-out $(B)/units,$^) -lcriterion $(OWN_LDLIBS) $(LDLIBS) && mv $@.$$$$ $@

$(MEASURE): $(B)/tests/tools/measure.o
	$(call say,LINK,$@)
	$(LINK) -o $@ $^

$(GEOMETRY_TIME): $(B)/tests/tools/geometry_time.o $(LIBRARY)
	$(call say,LINK,$@)
	$(LINK) -o $@ $^ $(OWN_LDLIBS) $(LDLIBS)

# The engine's own sources, optimised: looking is a thousand times as much work as finding.
BRUTE_SOURCES := tests/tools/clearance_brute.c tests/unit/calc_clearance_bench.c \
	$(patsubst %,src/calc/%.c,clearance cell motion polygon) src/base/arena.c
$(B)/clearance_brute: $(BRUTE_SOURCES:%.c=$(B)/%.o) $(B)/flags
	$(call say,LINK,$@)
	$(LINK) -o $@ $(filter %.o,$^) -lm $(LDLIBS)

#: brute          hold the clearances of pairs by lot against looking very often: some minutes
.PHONY: brute
brute: $(B)/clearance_brute
	$(Q)$(B)/clearance_brute
	$(Q)$(B)/clearance_brute time

#: bench          milliseconds to judge each example without its files, and to find its clearances
.PHONY: bench
bench: $(GEOMETRY_TIME)
	$(Q)$(GEOMETRY_TIME) $(sort $(wildcard examples/*/gate.yaml))

$(SPOIL): $(B)/tests/tools/spoil.o $(LIBRARY)
	$(call say,LINK,$@)
	$(LINK) -o $@ $^ $(OWN_LDLIBS) $(LDLIBS)

$(RECKON_CLI): $(B)/tests/tools/reckon_cli.o $(B)/tests/unit/published_rows.o $(LIBRARY)
	$(call say,LINK,$@)
	$(LINK) -o $@.$$$$ $^ $(OWN_LDLIBS) $(LDLIBS) && mv $@.$$$$ $@

# ---- mutants: src/calc with switches in it, and the unit tests that have to notice -----------------

CALC := $(wildcard src/calc/*.c)
MUTATED := $(CALC:src/calc/%.c=$(B)/mutants/%.c)
MUTANT_TESTS := $(wildcard tests/unit/calc_*.c tests/unit/published*.c tests/unit/assess_reckon*.c) \
	$(wildcard tests/unit/*_bench.c) \
	tests/mutants/run.c tests/mutants/library.c
MUTANT_OBJECTS := $(MUTATED:.c=.o) $(MUTANT_TESTS:%.c=$(B)/mutants/%.o)

$(B)/mutants/mutate: tests/mutants/mutate.c $(B)/flags
	@mkdir -p $(@D)
	$(call say,CC,$<)
	$(LINK) -o $@ $<

$(B)/mutants/list.tsv $(MUTATED) &: $(B)/mutants/mutate $(CALC)
	$(Q)$(B)/mutants/mutate $(B)/mutants $(CALC)

# Written by a machine, and with statements in expressions: no warnings.
$(MUTATED:.c=.o): %.o: %.c tests/mutants/mutant.h $(B)/flags
	$(call say,CC,$<)
	$(Q)$(CC) $(BASE_CFLAGS) -std=gnu11 -O1 -w -include tests/mutants/mutant.h -MMD -MP -c -o $@ $<

# The stand-in for Criterion is found before it.
$(B)/mutants/tests/%.o: tests/%.c $(B)/flags
	@mkdir -p $(@D)
	$(call say,CC,$<)
	$(Q)$(CC) $(BASE_CFLAGS) -O1 -w -Itests/mutants -Itests/unit -MMD -MP -c -o $@ $<

$(B)/mutants/run: $(MUTANT_OBJECTS) $(LIBRARY)
	$(call say,LINK,$@)
	$(LINK) -Wl,--wrap=bench_shipped,--wrap=rows_read -o $@.$$$$ $^ $(OWN_LDLIBS) $(LDLIBS) && mv $@.$$$$ $@

.PHONY: mutants
#: mutants        change every comparison and figure, one at a time; rewrites docs/mutants.md
mutants: setup-test
	@$(MAKE) --no-print-directory $(parallel) $(B)/mutants/run
	$(B)/mutants/run $(B)/mutants/list.tsv tests/mutants/explained.tsv --report docs/mutants.md

$(FAILING): tests/tools/failing.c $(B)/flags
	@mkdir -p $(@D)
	$(call say,CC,$<)
	$(Q)$(CC) -std=c11 -D_GNU_SOURCE -O2 $(WARNINGS) -Wno-pedantic -fPIC -shared -o $@ $< -ldl

# The arena comes before the library: its blocks, and the pools of libharu, are of the driver's size.
$(B)/sweep-arena.o: src/base/arena.c tests/tools/sweep_block.h $(B)/flags
	@mkdir -p $(@D)
	$(call say,CC,$<)
	$(COMPILE) -include tests/tools/sweep_block.h $<

$(B)/sweep: $(B)/tests/tools/sweep.o $(B)/tests/tools/sweep_memory.o $(B)/sweep-arena.o $(LIBRARY)
	$(call say,LINK,$@)
	$(LINK) -Wl,--wrap=HPDF_NewEx -o $@.$$$$ $^ $(OWN_LDLIBS) $(LDLIBS) && mv $@.$$$$ $@

#: fuzz-replay    every saved input of every fuzz harness, once
fuzz-replay: $(FUZZERS)
	@for f in $(FUZZERS); do $$f tests/fuzz/seeds/$$(basename $$f) || exit 1; done

$(B)/fuzz/%: $(B)/tests/fuzz/%.o $(B)/tests/fuzz/replay_main.o $(LIBRARY)
	@mkdir -p $(@D)
	$(call say,LINK,$@)
	$(LINK) -o $@ $^ $(OWN_LDLIBS) $(LDLIBS)

#: fuzz           clang's fuzzer on every harness, FUZZ_SECS each
FUZZ_FLAGS := $(BASE_CFLAGS) -O1 -fsanitize=fuzzer-no-link,address,undefined \
	-fno-sanitize-recover=undefined
fuzz: setup-lint build/embed/data.S
	@mkdir -p build/fuzz
	@sh tests/tools/fuzz.sh $(FUZZ_SECS) "$(FUZZ_FLAGS)" "$(OWN_LDLIBS)" $(HARNESSES)

#: check-asan     unit tests and suites under AddressSanitizer and UndefinedBehaviorSanitizer
check-asan: setup-test
	@rm -rf build/asan/logs && mkdir -p build/asan/logs
	@$(MAKE) --no-print-directory $(parallel) VARIANT=asan test-parts
	@status=0; \
	ASAN_OPTIONS=log_path=$(CURDIR)/build/asan/logs/san:exitcode=99 \
	UBSAN_OPTIONS=log_path=$(CURDIR)/build/asan/logs/san:exitcode=99:print_stacktrace=1 \
		$(MAKE) --no-print-directory VARIANT=asan test-run || status=1; \
	if ls build/asan/logs/san.* >/dev/null 2>&1; then cat build/asan/logs/san.*; \
		echo "check-asan: a sanitizer reported the above"; status=1; fi; exit $$status
	@echo "check-asan: no sanitizer report"

#: coverage       which lines the tests reach, per file
coverage: setup-test
	@find build/cov -name '*.gcda' -delete 2>/dev/null || true
	@$(MAKE) --no-print-directory $(parallel) VARIANT=cov test-parts
	@$(MAKE) --no-print-directory VARIANT=cov test-run
	@sh tests/tools/coverage.sh build/cov

#: golden-update  rewrite expected files from what the program says now, and show the difference
golden-update: test-parts
	@VARIANT=$(VARIANT) BUILD=$(B) PINTLE=$(PROGRAM) FAILING=$(FAILING) GOLDEN_UPDATE=1 \
		sh tests/run.sh --suites-only || true
	@git --no-pager diff --stat -p -- tests

# ---- docs ---------------------------------------------------------------------------------------

.PHONY: docs docs-pictures
#: docs           those papers of docs/ that follow from tables: references, schema, findings
docs: $(REFERENCE)
	@sh tests/tools/docs.sh $(REFERENCE) docs

$(REFERENCE): $(B)/tests/tools/reference.o $(LIBRARY)
	@mkdir -p $(@D)
	$(call say,LINK,$@)
	$(LINK) -o $@.$$$$ $^ $(OWN_LDLIBS) $(LDLIBS) && mv $@.$$$$ $@

#: docs-pictures  the pictures of the README, from the finished example; needs tmux and ImageMagick
docs-pictures: all
	@PINTLE=$(PROGRAM) EXAMPLE=$(EXAMPLE) BUILD=build sh docs/make-pictures.sh

# ---- lint ---------------------------------------------------------------------------------------

.PHONY: lint lint-parts
#: lint           layers, purity, headers, sizes, static analysis, the manual
lint: setup-lint
	@status=0; $(MAKE) --no-print-directory $(parallel) -k VARIANT=debug lint-parts || status=1; \
	BUILD=build/debug sh tests/lint.sh || status=1; exit $$status

TIDY := $(SOURCES:%.c=$(B)/%.tidy) $(MAIN:%.c=$(B)/%.tidy) $(BAKE_MAIN:%.c=$(B)/%.tidy)
ALONE := $(HEADERS:%.h=$(B)/%.alone)

# A source is analysed again when its object was made again, that is when it or a header changed.
$(B)/%.tidy: $(B)/%.o .clang-tidy
	$(call say,TIDY,$*.c)
	@clang-tidy --quiet $*.c -- $(BASE_CFLAGS) 2>$@.log >$@.out \
		|| { cat $@.out; grep -v 'warnings generated\|^Suppressed\|^Use -header' $@.log; exit 1; }
	@touch $@

$(B)/%.alone: %.h $(HEADERS) $(B)/flags
	@mkdir -p $(@D)
	@printf '#include "%s"\n' $(<:src/%=%) >$@.c
	$(Q)$(CC) $(OWN_CFLAGS) -fsyntax-only $@.c
	@touch $@

$(B)/cppcheck: $(SOURCES) $(MAIN) $(BAKE_MAIN) $(HEADERS)
	@mkdir -p $(@D)/cppcheck-cache
	$(call say,CHECK,cppcheck)
	$(Q)cppcheck --quiet --std=c11 --enable=warning,performance,portability --inline-suppr \
		--error-exitcode=1 --suppress=missingIncludeSystem \
		--suppress=va_list_usedBeforeStarted --suppress=internalAstError \
		--suppress=ctuuninitvar --suppress=autoVariables -Isrc -D_GNU_SOURCE -DHPDF_VERSION_ID=20300 -j$(JOBS) \
		--cppcheck-build-dir=$(@D)/cppcheck-cache $(SOURCES) $(MAIN) $(BAKE_MAIN)
	@touch $@

lint-parts: all $(UNIT) $(FUZZERS) $(ALONE) $(TIDY) $(B)/cppcheck

# ---- install ------------------------------------------------------------------------------------

PAPERS := LICENSE $(notdir $(wildcard docs/*.md docs/*.json))

.PHONY: install uninstall clean
#: install        program, manual and licence under DESTDIR PREFIX (uninstall takes them away)
install: all
	install -d $(DESTDIR)$(PREFIX)/bin $(DESTDIR)$(PREFIX)/share/man/man1 \
		$(DESTDIR)$(PREFIX)/share/doc/pintle
	install -m 755 build/pintle $(DESTDIR)$(PREFIX)/bin/pintle
	install -m 644 docs/pintle.1 $(DESTDIR)$(PREFIX)/share/man/man1/pintle.1
	install -m 644 LICENSE $(wildcard docs/*.md docs/*.json) $(DESTDIR)$(PREFIX)/share/doc/pintle

uninstall:
	rm -f $(DESTDIR)$(PREFIX)/bin/pintle $(DESTDIR)$(PREFIX)/share/man/man1/pintle.1 \
		$(addprefix $(DESTDIR)$(PREFIX)/share/doc/pintle/,$(PAPERS))
	-rmdir $(DESTDIR)$(PREFIX)/share/doc/pintle 2>/dev/null

#: clean          remove build/
clean:
	rm -rf build

-include $(patsubst %.o,%.d,$(filter %.o,$(OBJECTS)) $(B)/src/cli/main.o \
	$(BAKE_MAIN:%.c=$(B)/%.o) $(UNIT_SOURCES:%.c=$(B)/%.o) $(HARNESSES:%.c=$(B)/%.o) \
	$(B)/tests/fuzz/replay_main.o \
	$(B)/tests/tools/reference.o $(B)/tests/tools/spoil.o $(B)/tests/tools/reckon_cli.o $(MUTANT_OBJECTS) \
	$(B)/tests/tools/sweep.o $(B)/tests/tools/sweep_memory.o $(B)/sweep-arena.o)
