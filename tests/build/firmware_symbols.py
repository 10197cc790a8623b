#!/usr/bin/env python3
"""Refuses firmware object code that needs more than a bare processor offers.

The given archives and objects are linked together relocatably, as a board port would link them.
What is then still undefined must be on ALLOWED; anything else is reported with the rule it breaks
and the object that wants it. Function-local statics with a run-time guard and type information
leave no undefined symbol behind (their symbols are defined), so those are looked for among the
defined symbols.

Exit status: 0 clean, 1 refused, 2 the check itself could not be made.
"""
import argparse
import os
import re
import subprocess
import sys
import tempfile

# Every C++ compiler may emit calls of these four, freestanding or not. The last is not a function:
# position-independent code names the table that the linker itself makes.
ALLOWED = {"memcpy", "memmove", "memset", "memcmp", "_GLOBAL_OFFSET_TABLE_"}

LIBM = (
    "a?(sin|cos|tan)h?|atan2|sincos|exp|exp2|exp10|expm1|log|log2|log10|log1p|logb|ilogb|pow|sqrt|cbrt|hypot"
    "|fmod|remainder|remquo|modf|frexp|ldexp|scalbl?n|floor|ceil|trunc|l?l?round|l?l?rint|nearbyint"
    "|fma|fdim|fmin|fmax|fabs|copysign|nextafter|nexttoward|erfc?|[lt]gamma"
)

# (rule, pattern of the mangled symbol), first match wins.
RULES = [
    ("allocation", r"_Z(nw|na|dl|da)|_?(malloc|calloc|realloc|free|aligned_alloc|posix_memalign)$"),
    ("exception", r"__cxa_(re)?throw|__cxa_(allocate|free)_exception|__cxa_(begin|end)_catch|__cxa_get_exc|__cxa_init_primary"
                  r"|_Unwind_|__gxx_personality|_ZSt\d+__throw_|_ZSt9terminatev|_ZNK?St\d+\w*(error|exception)"),
    ("type information", r"_ZT[IS]|_ZTVN10__cxxabiv1|_ZTVNSt|__dynamic_cast|__cxa_bad_"),
    ("static guard", r"__cxa_guard_|_ZGVZ"),
    ("exit-time destructor", r"__cxa_(thread_)?atexit|atexit$|__dso_handle"),
    ("mathematical library", rf"(__)?({LIBM})(f|l)?(_finite)?$"),
    ("stream", r"_ZN?K?S[iod]|_ZSt4(cout|cerr|clog)|_ZNK?St8ios_base|_ZNSt6locale|_ZSt16__ostream"),
    ("foreign symbol", r""),
]
GUARD_OR_TYPE_INFO = re.compile(r"_ZGVZ|_ZT[IS]")


def rule_of(symbol):
    return next(rule for rule, pattern in RULES if re.match(pattern, symbol))


def run(*command):
    done = subprocess.run(command, capture_output=True, text=True)
    if done.returncode != 0:
        print(f"firmware_symbols: {' '.join(command)}: {done.stderr.strip()}", file=sys.stderr)
        sys.exit(2)
    return done.stdout


def symbols(nm, path):
    """Yields (file, symbol, is_undefined) of an object or archive."""
    for line in run(nm, "-A", path).splitlines():
        place, _, rest = line.rpartition(": ") if ": " in line else line.rpartition(":")
        kind, symbol = rest.split()[-2:]
        yield place.replace(".a:", ".a(") + ")" * (".a:" in place), symbol, kind in "Uwv"


def offences(nm, ld, inputs):
    """Returns {(rule, symbol): objects that want or hold it} of all inputs linked together."""
    with tempfile.TemporaryDirectory() as scratch:
        linked = os.path.join(scratch, "firmware.o")
        run(ld, "-r", "-o", linked, "--whole-archive", *inputs)
        found = {
            symbol
            for _, symbol, undefined in symbols(nm, linked)
            if (undefined and symbol not in ALLOWED) or (not undefined and GUARD_OR_TYPE_INFO.match(symbol))
        }
    result = {(rule_of(symbol), symbol): [] for symbol in found}
    for path in inputs if found else []:
        for place, symbol, _ in symbols(nm, path):
            if symbol in found:
                result[rule_of(symbol), symbol].append(place)
    return result


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--nm", default="nm")
    parser.add_argument("--ld", default="ld")
    parser.add_argument("inputs", nargs="+", help="archives and objects of the firmware")
    arguments = parser.parse_args()
    refused = offences(arguments.nm, arguments.ld, arguments.inputs)
    for (rule, symbol), places in sorted(refused.items()):
        readable = run("c++filt", symbol).strip()
        for place in sorted(set(places)):
            print(f"{rule}: {os.path.relpath(place)} needs {readable} [{symbol}]")
    if refused:
        sys.exit(1)
    print(f"{len(arguments.inputs)} files need nothing but {', '.join(sorted(ALLOWED))}")


if __name__ == "__main__":
    main()
