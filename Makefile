# The front door. Everything is built below build/; nothing else is written,
# except demo/out by `make demo`.
.DEFAULT_GOAL := help
FUZZ_SECONDS ?= 30
JOBS := $(shell nproc 2>/dev/null || echo 2)

.PHONY: help demo test bench fuzz lint soil-score check-proof clean

help:
	@echo 'make demo    build, fill the invented parish, show its outlook'
	@echo 'make test    build, run every test'
	@echo 'make bench   measure speed, against the numpy twin where there is one'
	@echo 'make fuzz    fuzz every byte door for FUZZ_SECONDS=$(FUZZ_SECONDS) each'
	@echo 'make lint    format, warnings, clang-tidy, layers, globals, headers'
	@echo 'make soil-score   measure the soil model on the monitored farm again'
	@echo 'make check-proof  prove the check on its guide and the open table again'
	@echo 'make clean   remove build/ and demo/out/'
	@echo 'What is missing is installed first (Debian, Ubuntu: apt-get).'

demo:
	@scripts/install_deps.sh build
	@scripts/build.sh gcc pannage
	@demo/load.sh build/gcc/pannage

# ctest's summary is the end of the output.
test:
	@scripts/install_deps.sh build test
	@scripts/build.sh gcc
	@ctest --preset gcc -j $(JOBS)

bench:
	@scripts/install_deps.sh build bench
	@scripts/build.sh gcc pannage benches
	@scripts/bench.sh build/gcc

fuzz:
	@scripts/install_deps.sh build test lint
	@scripts/fuzz.sh $(FUZZ_SECONDS)

lint:
	@scripts/install_deps.sh build test lint
	@scripts/lint.sh

soil-score:
	@scripts/install_deps.sh build
	@scripts/build.sh gcc pannage
	@build/gcc/pannage score soil tests/ref/soil/spen_farm_daily_2016_2019.csv \
		--fit 2017 --judge 2018-2019 --latitude 53.87 --elevation 57 \
		--svg-dir docs/plots

check-proof:
	@scripts/install_deps.sh build bench
	@scripts/build.sh gcc truth_guide truth_mushrooms truth_cross_check bench_check
	@scripts/check_proof.sh build/gcc

clean:
	@rm -rf build demo/out
