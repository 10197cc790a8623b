#!/usr/bin/env python3
"""Checks that dependencies between the folders point one way (see DEVELOPERS.md, "Layout").

The input is what CMake resolved: a line a library, `<library>=<include directory>;...`, where an
include root `.../include-roots/<other>` makes the headers of library <other> visible. RULES is the
layout written down a second time, so that a new link in a CMakeLists.txt is a decision.
"""
import re
import sys

# library (pattern) -> libraries it may see besides itself (pattern); the first match rules.
RULES = [
    (r"firmware_(math|logic)", r""),
    (r"firmware_(hal|settings)", r"firmware_math"),
    (r"firmware_control", r"firmware_(math|settings)"),
    (r"firmware_conditioning", r"firmware_(hal|math|settings)"),
    (r"firmware_controller", r"firmware_.*"),
    (r"hal_mock", r"firmware_(hal|math)"),
    (r"sim_(digest|parallel|plant|properties|safety|scratch)", r""),
    (r"sim_formulas", r"sim_plant"),
    (r"sim_machine", r"sim_(digest|formulas|safety|plant)|hal_mock|firmware_(control|hal|math|settings)"),
    (r"sim_rig", r"sim_plant|hal_mock|firmware_.*"),
    (r"sim_hazards", r"sim_(rig|properties|plant)|hal_mock|firmware_.*"),
    (r"sim_cycle", r"sim_(hazards|rig|properties|plant)|hal_mock|firmware_.*"),
    (r"sim_scenario",
     r"sim_(formulas|safety|machine|cycle|hazards|rig|properties|plant)|hal_mock|firmware_.*"),
    (r"sim_campaign",
     r"sim_(scenario|formulas|safety|machine|cycle|hazards|rig|properties|plant)"
     r"|hal_mock|firmware_.*"),
    (r"sim_campaign_store",
     r"sim_(campaign|scenario|formulas|safety|machine|cycle|hazards|rig|properties|plant)"
     r"|hal_mock|firmware_.*"),
    (r"sim_sizing",
     r"sim_(formulas|parallel|safety|machine|cycle|hazards|rig|properties|plant)|hal_mock|firmware_.*"),
    (r"sim_prove", r"sim_properties|firmware_logic"),
    (r"sim_replay",
     r"sim_(formulas|safety|machine|hazards|rig|properties|plant)|hal_mock|firmware_.*"),
    (r"sim_evidence",
     r"sim_(campaign|digest|scratch|safety|sizing|formulas|machine|cycle|scenario|prove|hazards|rig|properties|plant)|hal_mock|firmware_.*"),
    (r"sim_app", r"sim_.*|hal_mock|firmware_.*"),
]


def offences(lines):
    for line in filter(None, map(str.strip, lines)):
        library, _, directories = line.partition("=")
        roots = re.findall(r"/include-roots/([^/;]+)", directories)
        allowed = next((may for pattern, may in RULES if re.fullmatch(pattern, library)), None)
        if allowed is None:
            yield f"{library}: no rule says what it may see; add one to RULES"
        elif library not in roots:
            yield f"{library}: does not even see itself: the list of include roots is wrong"
        else:
            for other in roots:
                if other != library and not re.fullmatch(allowed, other):
                    yield f"{library}: must not see {other}"


def main():
    with open(sys.argv[1], encoding="utf-8") as file:
        lines = file.readlines()
    found = list(offences(lines)) if lines else ["no library at all"]
    print("\n".join(found) or f"{len(lines)} libraries see what they may")
    sys.exit(1 if found else 0)


if __name__ == "__main__":
    main()
