# Bedtally: one plain GNU makefile. `make help` lists the targets.
VERSION := 0.1.0

PREFIX  ?= /usr/local
DESTDIR ?=
MODE    ?= release
ifeq ($(origin CC),default)
CC := gcc
endif
ifeq ($(origin AR),default)
AR := ar
endif
# Compilers and modes never share objects.
BUILD ?= build/$(notdir $(CC))-$(MODE)

# What `make demo` runs.
DEMO ?= worked-examples/three-sisters

# ---- packages (Debian names) -------------------------------------------------------------------
# pkg-config names, and the libraries that have no .pc file. A new library is one word in one of
# these and its package below.
PC_LIBS    := gsl jansson libxml-2.0
PLAIN_LIBS := -lcsv -ludunits2 -lglpk
PACKAGES   := libc6-dev pkg-config libgsl-dev libjansson-dev libcsv-dev libudunits2-dev libglpk-dev \
              libxml2-dev
TEST_PACKAGES := libcmocka-dev jq glpk-utils libxml2-utils python3-jsonschema
ifneq (,$(findstring clang,$(CC)))
PACKAGES += clang
else
PACKAGES += gcc
endif

# ---- flags -------------------------------------------------------------------------------------
WARN := -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wstrict-prototypes -Wmissing-prototypes \
        -Wcast-qual -Wformat=2 -Wundef -Wvla -Wdouble-promotion
ifeq ($(CI),true)
WARN += -Werror
endif
SANITIZE := -fsanitize=address,undefined -fno-sanitize-recover=all -fno-omit-frame-pointer
MODEFLAGS_release  :=
MODEFLAGS_debug    := -O0 -g
MODEFLAGS_asan     := -O1 -g $(SANITIZE)
MODEFLAGS_valgrind := -O1 -gdwarf-4
MODEFLAGS_cover    := -O0 -g --coverage
MODEFLAGS_fuzz     := -O1 -g -fsanitize=fuzzer-no-link,address,undefined \
                      -fno-sanitize-recover=all -fno-omit-frame-pointer
CFLAGS ?= -g
# Deferred (=), so that pkg-config is asked after `deps` has installed it.
ALLCFLAGS = -std=c17 -D_POSIX_C_SOURCE=200809L -pthread -O3 -fno-math-errno -ffp-contract=off $(WARN) \
            $(CFLAGS) $(MODEFLAGS_$(MODE)) -Isrc -Iinclude -Itests $(CPPFLAGS) \
            $(shell pkg-config --cflags $(PC_LIBS))
ALLLDFLAGS = $(LDFLAGS) $(MODEFLAGS_$(MODE)) -pthread
LDLIBS = $(shell pkg-config --libs $(PC_LIBS)) $(PLAIN_LIBS) -lm

# `make V=1` shows the commands; JOBS compilers run at a time where a target builds for itself.
Q   := $(if $(V),,@)
say := @$(if $(V),:,printf '  %s\n')
JOBS ?= $(shell nproc 2>/dev/null || echo 2)

# ---- files -------------------------------------------------------------------------------------
LIB_SRC  := $(filter-out src/command/% src/serve/%,$(wildcard src/*/*.c)) \
            $(wildcard src/run.c src/api.c)
CMD_SRC  := $(wildcard src/command/*.c src/serve/*.c)
TEST_SRC := $(wildcard tests/test_*.c)
BENCH_SRC := $(wildcard tests/bench_*.c)
FUZZ_SRC := $(wildcard tests/fuzz/fuzz_*.c)
HEADERS  := $(wildcard src/*.h src/*/*.h include/bedtally/*.h tests/*.h)
SOURCES  := $(LIB_SRC) $(CMD_SRC) $(wildcard src/main.c) $(TEST_SRC) $(BENCH_SRC) \
            $(FUZZ_SRC)
TABLES   := $(sort $(wildcard tables/*.csv))
SCRIPTS  := $(wildcard tests/check_*.sh)

object    = $(patsubst %.c,$(BUILD)/%.o,$(1))
LIB_OBJ  := $(call object,$(LIB_SRC)) $(BUILD)/embedded.o
CMD_OBJ  := $(call object,$(CMD_SRC))
MAIN_OBJ := $(call object,src/main.c)
OBJECTS  := $(LIB_OBJ) $(CMD_OBJ) $(MAIN_OBJ) $(call object,$(TEST_SRC) $(BENCH_SRC) $(FUZZ_SRC))
LIBRARY  := $(BUILD)/libbedtally.a
COMMANDS := $(BUILD)/libcommand.a
PROGRAM  := $(BUILD)/bedtally
TESTS    := $(patsubst tests/%.c,$(BUILD)/%,$(TEST_SRC))
BENCHES  := $(patsubst tests/%.c,$(BUILD)/%,$(BENCH_SRC))
FUZZERS  := $(patsubst tests/fuzz/%.c,$(BUILD)/%,$(FUZZ_SRC))

.PHONY: all demo deps deps-test check check-built check-report check-asan check-valgrind tests lint format \
        format-check layers units bench golden-update install uninstall dist clean help FORCE
.DELETE_ON_ERROR:

all: $(PROGRAM) $(LIBRARY)                 ## build the program and the library

demo: deps                                 ## install what is needed, build, and show an answer
	@$(MAKE) --no-print-directory -j$(JOBS) all
	$(PROGRAM) budget $(DEMO)

deps:                                      ## install the packages the program needs, if missing
	@.ci/packages $(PACKAGES)

deps-test: deps                            ## and those of the tests
	@.ci/packages $(TEST_PACKAGES)

# ---- building ----------------------------------------------------------------------------------
# Only these know the version.
VERSIONED := $(MAIN_OBJ) $(CMD_OBJ) $(call object,src/api.c)
$(VERSIONED): EXTRA := -DBT_VERSION='"$(VERSION)"'

$(BUILD)/%.o: %.c $(BUILD)/flags
	@mkdir -p $(@D)
	$(say) 'compile $<'
	$(Q)$(CC) $(ALLCFLAGS) $(EXTRA) -MMD -MP -c -o $@ $<

# Objects follow a change of flags.
$(BUILD)/flags: FORCE
	@mkdir -p $(@D)
	@printf '%s\n' '$(subst ','\'',$(CC) $(ALLCFLAGS) $(VERSION))' >$@.new
	@if cmp -s $@.new $@; then rm $@.new; else mv $@.new $@; fi

# The handbook's tables, as bytes; made anew when one changes, comes or goes.
$(BUILD)/tables.list: FORCE
	@mkdir -p $(@D)
	@printf '%s\n' '$(TABLES)' >$@.new
	@if cmp -s $@.new $@; then rm $@.new; else mv $@.new $@; fi
$(BUILD)/embedded.c: src/input/embed.sh $(TABLES) $(BUILD)/tables.list
	$(Q)src/input/embed.sh $(TABLES) >$@
$(BUILD)/embedded.o: $(BUILD)/embedded.c $(BUILD)/flags
	$(say) 'compile the tables'
	$(Q)$(CC) $(ALLCFLAGS) -MMD -MP -c -o $@ $<

$(LIBRARY): $(LIB_OBJ)
	@rm -f $@
	$(Q)$(AR) rcs $@ $(LIB_OBJ)
$(COMMANDS): $(CMD_OBJ)
	@rm -f $@
	$(Q)$(AR) rcs $@ $(CMD_OBJ)
$(PROGRAM): $(MAIN_OBJ) $(COMMANDS) $(LIBRARY)
	$(say) 'link    $@'
	$(Q)$(CC) $(ALLLDFLAGS) -o $@ $^ $(LDLIBS)
$(TESTS): $(BUILD)/test_%: $(BUILD)/tests/test_%.o $(COMMANDS) $(LIBRARY)
	$(say) 'link    $@'
	$(Q)$(CC) $(ALLLDFLAGS) -o $@ $^ -lcmocka $(LDLIBS)
$(BENCHES): $(BUILD)/bench_%: $(BUILD)/tests/bench_%.o $(LIBRARY)
	$(say) 'link    $@'
	$(Q)$(CC) $(ALLLDFLAGS) -o $@ $^ $(LDLIBS)

$(FUZZERS): $(BUILD)/fuzz_%: $(BUILD)/tests/fuzz/fuzz_%.o $(LIBRARY)
	$(CC) $(ALLLDFLAGS) -fsanitize=fuzzer -o $@ $^ $(LDLIBS)

# ---- checking ----------------------------------------------------------------------------------
check: deps-test                           ## install what is needed, build, run every test
	@$(MAKE) --no-print-directory -j$(JOBS) tests
	@$(MAKE) --no-print-directory check-built

tests: $(TESTS) $(PROGRAM)                 ## build the test programs, run none

# No stamp files: changed tables and examples must always be tried again.
check-built: layers units tests
	@$(PROGRAM) handbook | sed -n '1,/^  all /p'
	@BEDTALLY=$(abspath $(PROGRAM)) tests/run_all.sh $(TESTS) $(SCRIPTS)

check-asan:                                ## the same under the address and undefined sanitizers
	ASAN_OPTIONS=allocator_may_return_null=1 $(MAKE) --no-print-directory MODE=asan check

check-valgrind:                            ## the test programs under valgrind
	@.ci/packages $(PACKAGES) $(TEST_PACKAGES) valgrind
	@$(MAKE) --no-print-directory -j$(JOBS) MODE=valgrind tests
	@$(MAKE) --no-print-directory MODE=valgrind valgrind-built
.PHONY: valgrind-built
valgrind-built: tests
	@RUN='valgrind -q --error-exitcode=9 --leak-check=full --errors-for-leak-kinds=definite' \
	    tests/run_all.sh $(TESTS)

check-report: all                          ## open the reports in a browser, print them, look for barriers
	@.ci/packages chromium npm poppler-utils
	@BEDTALLY=$(abspath $(PROGRAM)) tests/report_page.sh

# Every compiler that is here, with and without sanitizers.
check-reproducible: all                    ## same seed, same bytes: threads, compilers, sanitizers
	@others=; for cc in gcc clang; do \
	    command -v $$cc >/dev/null || continue; \
	    for mode in release asan; do \
	        $(MAKE) --no-print-directory CC=$$cc MODE=$$mode BUILD=build/$$cc-$$mode all || exit 1; \
	        others="$$others build/$$cc-$$mode/bedtally"; \
	    done; \
	done; \
	BEDTALLY=$(abspath $(PROGRAM)) tests/check_reproducible.sh $$others
.PHONY: check-reproducible

# Seconds for each target; what falls out is kept in build/fuzz-crashes and belongs into a test.
FUZZ_SECONDS ?= 60
fuzz:                                      ## try the readers on made-up bytes, FUZZ_SECONDS each
	@.ci/packages $(PACKAGES) clang libclang-rt-14-dev libomp-dev
	@$(MAKE) --no-print-directory CC=clang MODE=fuzz fuzz-built
.PHONY: fuzz fuzz-built
fuzz-built: $(FUZZERS)
	@mkdir -p build/fuzz-crashes
	@for f in $(FUZZERS); do \
	    name=$${f##*/fuzz_}; mkdir -p build/fuzz/$$name; \
	    echo "fuzz $$name, $(FUZZ_SECONDS) s"; \
	    $$f -max_total_time=$(FUZZ_SECONDS) -timeout=60 -rss_limit_mb=4096 -print_final_stats=1 \
	        -verbosity=0 -artifact_prefix=build/fuzz-crashes/$$name- \
	        build/fuzz/$$name tests/fuzz/corpus/$$name \
	        || exit 1; \
	done

layers:                                    ## do the rooms include only what they may?
	@awk -f tests/layers.awk $(wildcard src/*/*.[ch])

units:                                     ## do names that meet end in the same unit?
	@awk -f tests/units.awk $(wildcard src/*/*.[ch])

golden-update: all                         ## show how the examples' answers changed, keep if agreed
	@BEDTALLY=$(abspath $(PROGRAM)) tests/check_golden.sh --update

# clang-tidy one file a call: several in one call give a false report in version 14. What cppcheck is
# not asked: NULL ends libxml2's lists (here it is a pointer), and three kinds of false reports of its
# walk over values (it takes an enum's bound for 0; gcc and the sanitizers see these).
lint:                                      ## clang-tidy and cppcheck
	@.ci/packages $(PACKAGES) $(TEST_PACKAGES) clang-tidy cppcheck
	@fail=0; for f in $(SOURCES); do \
	    clang-tidy --quiet $$f -- $(ALLCFLAGS) -DBT_VERSION='"$(VERSION)"' 2>/dev/null || fail=1; \
	done; exit $$fail
	cppcheck --quiet --std=c11 --enable=warning,performance,portability,style --inline-suppr \
	    --suppress=unusedStructMember --suppress=varFuncNullUB --suppress=knownConditionTrueFalse \
	    --suppress=arrayIndexOutOfBoundsCond --suppress=uninitvar:src/chance/worth.c \
	    --error-exitcode=1 -Isrc -Iinclude -Itests \
	    -DBT_VERSION='"$(VERSION)"' $(filter src/%,$(SOURCES))

format:                                    ## lay the sources out
	@.ci/packages clang-format
	clang-format -i $(SOURCES) $(HEADERS)

format-check:                              ## are the sources laid out?
	@.ci/packages clang-format
	clang-format --dry-run -Werror $(SOURCES) $(HEADERS)

bench: deps                                ## measure time and memory
	@.ci/packages time
	@$(MAKE) --no-print-directory bench-built
.PHONY: bench-built
bench-built: all $(BENCHES)
	@for b in $(BENCHES); do $$b || exit 1; done
	@BEDTALLY=$(abspath $(PROGRAM)) tests/bench.sh

# Beside other programs; installs them, which takes a while.
bench-peers: deps                          ## the same model in numpy, R and Octave
	@.ci/packages python3-numpy r-base-core octave
	@$(MAKE) --no-print-directory $(BUILD)/bench_25
	@tests/bench_peers.sh $(BUILD)/bench_25
.PHONY: bench-peers

# ---- installing --------------------------------------------------------------------------------
BIN   := $(DESTDIR)$(PREFIX)/bin
LIB   := $(DESTDIR)$(PREFIX)/lib
INC   := $(DESTDIR)$(PREFIX)/include/bedtally
SHARE := $(DESTDIR)$(PREFIX)/share/bedtally

install: all                               ## install below DESTDIR and PREFIX
	install -d '$(BIN)' '$(LIB)/pkgconfig' '$(INC)' '$(SHARE)/tables' '$(SHARE)/examples'
	install -m 755 $(PROGRAM) '$(BIN)/bedtally'
	install -m 644 $(LIBRARY) '$(LIB)/libbedtally.a'
	install -m 644 include/bedtally/bedtally.h '$(INC)/bedtally.h'
	for t in $(TABLES); do install -m 644 $$t '$(SHARE)/tables/' || exit 1; done
	cp -R worked-examples/. '$(SHARE)/examples/'
	printf '%s\n' 'prefix=$(PREFIX)' 'libdir=$${prefix}/lib' 'includedir=$${prefix}/include' '' \
	    'Name: bedtally' 'Description: nitrogen budgets of mixed vegetable beds' \
	    'Version: $(VERSION)' 'Requires.private: $(PC_LIBS)' \
	    'Libs: -L$${libdir} -lbedtally' 'Libs.private: $(PLAIN_LIBS) -pthread -lm' \
	    'Cflags: -I$${includedir}' >'$(LIB)/pkgconfig/bedtally.pc'

uninstall:                                 ## take away what install put there
	rm -f '$(BIN)/bedtally' '$(LIB)/libbedtally.a' '$(LIB)/pkgconfig/bedtally.pc' '$(INC)/bedtally.h'
	rm -rf '$(SHARE)/tables' '$(SHARE)/examples'
	-rmdir '$(INC)' '$(SHARE)'

dist:                                      ## a source archive of the last commit
	@mkdir -p build
	git archive --format=tar.gz --prefix=bedtally-$(VERSION)/ \
	    -o build/bedtally-$(VERSION).tar.gz HEAD

clean:                                     ## remove what was built
	rm -rf build

help:                                      ## list the targets
	@awk -F':.*## ' '/^[a-z-]+:.*## /{printf "  %-14s %s\n", $$1, $$2}' $(firstword $(MAKEFILE_LIST))

-include $(OBJECTS:.o=.d)
