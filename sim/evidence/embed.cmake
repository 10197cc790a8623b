# Writes OUTPUT, a source file that holds the texts of FILES (separated by `|`), in their order. So
# the program needs none of them at run time.
string(REPLACE "|" ";" FILES "${FILES}")
set(text "#include \"sim/evidence/assets.hpp\"\n\nnamespace ovenproof::evidence {\nnamespace {\n")
set(list "")
set(number 0)
foreach(file IN LISTS FILES)
  file(READ ${file} bytes HEX)
  string(LENGTH "${bytes}" digits)
  math(EXPR size "${digits} / 2")
  string(REGEX REPLACE "(................................................................)" "\\1\n" bytes "${bytes}")
  string(REGEX REPLACE "([0-9a-f][0-9a-f])" "0x\\1," bytes "${bytes}")
  string(APPEND text "\nconst unsigned char text_${number}[] = {\n${bytes}0};\n")
  get_filename_component(name ${file} NAME)
  string(APPEND list "    {\"${name}\", {reinterpret_cast<const char*>(text_${number}), ${size}}},\n")
  math(EXPR number "${number} + 1")
endforeach()
file(WRITE ${OUTPUT} "${text}
const Asset all[] = {
${list}};

}  // namespace

std::span<const Asset> assets() { return all; }

}  // namespace ovenproof::evidence
")
